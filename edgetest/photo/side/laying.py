"""Where does one outline of an edge lie on another? Correlation of the sound edge's roughness.

Cross-correlation over shift and small stretch, judged by its null distribution: of two
unrelated lines r √n is about normal, n the samples that are independent (Bartlett's formula).
"""

from dataclasses import dataclass

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft
from scipy.signal import find_peaks
from scipy.stats import t as student

STRETCH = 0.03  # two scales of one camera differ by less
LEAST_INDEPENDENT = 25.0  # independent samples on both: fewer agree by chance too easily
LAGS = 60  # samples over which a line's own likeness is added up
CANDIDATES = 40  # shifts of each stretch whose chips are looked at as well


@dataclass(frozen=True)
class Candidate:
    """A place of the first line on the second: where, how alike, and how telling that is."""

    shift_um: float  # added to the place in the middle of the overlap
    stretch: float
    middle_um: float
    likeness: float
    independent: float  # samples of overlap that are independent
    evidence: float  # logarithm of the odds that it gives against "unrelated"
    shift_u_um: float = 0.0

    def on_second(self, place_um):
        """Where a place of the first lies on the second, µm."""
        away = (self.stretch - 1) * (place_um - self.middle_um)
        return place_um + self.shift_um + away


@dataclass(frozen=True)
class Search:
    """Candidates, best first, and how many independent places were tried."""

    candidates: tuple[Candidate, ...]
    tried: float


def search(first, seconds):
    """Every place where one line could lie on another.

    Parameters
    ----------
    first : edgetest.photo.side.sound_line.SoundLine
    seconds : sequence of (float, SoundLine)
        The second line with its positions divided by each stretch.

    Returns
    -------
    Search

    References
    ----------
    .. [1] M. S. Bartlett, "Some aspects of the time-correlation problem in regard to tests of
       significance", J. R. Statist. Soc. 98 (1935) 536-543.
    """
    count = next_fast_len(first.value.size + max(one.value.size for _, one in seconds))
    own = _spectra(first, count)
    found, tried = [], 0.0
    for stretch, second in seconds:
        if not (first.enough and second.enough):
            continue
        alike, overlap = _likeness(own, _spectra(second, count), count)
        alone = _alone(first, second)
        independent = overlap / alone
        lags = _lags(first.value.size, second.value.size, count)
        usable = (independent >= LEAST_INDEPENDENT) & (lags > -count)
        if not usable.any():
            continue
        independent = independent / _excess(alike, independent, usable)
        evidence = np.where(usable, _evidence(alike, independent), -np.inf)
        tried += float(usable.sum()) / alone
        order = np.argsort(lags)
        found += _peaks(first, second, stretch, lags[order], alike[order],
                        independent[order], evidence[order])  # fmt: skip
    found.sort(key=lambda one: -one.evidence)
    return Search(tuple(found), max(tried, 1.0))


def chance_of(likeness, independent, tried):
    """Probability that unrelated lines agree so well anywhere (Student's t, Bonferroni)."""
    r = min(max(likeness, -0.999999), 0.999999)
    df = max(independent - 2, 1.0)
    return float(min(1.0, tried * student.sf(r * np.sqrt(df / (1 - r * r)), df)))


def stretches(length_um, width_um):
    """Stretches to try: so close that the ends of the overlap slip by less than a peak's width."""
    step = max(width_um / max(length_um, 1.0), 2e-4)
    half = int(np.ceil(STRETCH / step))
    return 1 + step * np.arange(-half, half + 1)


def _spectra(line, count):
    """Transforms of a line, of its square, and of where it is sound."""
    mask = line.sound.astype(float)
    return rfft(line.value, count), rfft(line.value**2, count), rfft(mask, count)


def _likeness(first, second, count):
    """Correlation at every lag, and samples of overlap, in the order of a circular transform."""
    cross, power_a, power_b, overlap = (
        irfft(np.conj(x) * y, count)
        for x, y in ((first[0], second[0]), (first[1], second[2]),
                     (first[2], second[1]), (first[2], second[2]))
    )  # fmt: skip
    overlap = np.maximum(np.rint(overlap), 0)
    floor = 1e-3 * np.maximum(overlap, 1)
    alike = cross / np.sqrt(np.maximum(power_a, floor) * np.maximum(power_b, floor))
    return np.clip(alike, -0.9999, 0.9999), overlap


def _lags(first, second, count):
    """Lag of each place of a circular transform; those beyond any overlap at minus twice it."""
    lags = np.arange(count)
    lags = np.where(lags >= count - first + 1, lags - count, lags)
    return np.where(lags < second, lags, -2 * count)


def _alone(first, second):
    """Samples that stand for one independent one: the sum of both lines' own likeness [1]."""
    total = 1.0
    shares = [_own_likeness(line) for line in (first, second)]
    last = min(len(share) for share in shares)
    for lag in range(1, last):
        total += 2 * shares[0][lag] * shares[1][lag]
    return float(max(total, 1.0))


def _own_likeness(line):
    """Autocorrelation by lag, tapered."""
    value, sound = line.value, line.sound.astype(float)
    last = min(LAGS, value.size // 4)
    power = max(float(value @ value) / max(sound.sum(), 1), 1e-12)
    own = [
        float(value[lag:] @ value[: value.size - lag])
        / max(float(sound[lag:] @ sound[: value.size - lag]), 1.0)
        for lag in range(last)
    ]
    return np.array(own) / power * (1 - np.arange(last) / last)


def _excess(alike, independent, usable):
    """How many times as far as by independent samples the likeness scatters, squared."""
    z = alike[usable] * np.sqrt(independent[usable])
    return max(1.0, (1.4826 * float(np.median(np.abs(z)))) ** 2)


def _evidence(alike, independent):
    """Log odds for "the same edge, here" of a likeness, any true likeness from 0 to 1 as likely."""
    r = np.maximum(alike, 0.0)
    gain = -(independent - 1) / 2 * np.log1p(-r * r)
    return gain + 0.5 * np.log(2 * np.pi * (1 - r * r) ** 2 / np.maximum(independent, 1.0))


def _peaks(first, second, stretch, lags, alike, independent, evidence):
    """Local summits as candidates, below a step."""
    keep = np.isfinite(evidence)
    lags, alike, independent, evidence = (x[keep] for x in (lags, alike, independent, evidence))
    if evidence.size < 3:
        return []
    summits, _ = find_peaks(np.concatenate([[-np.inf], evidence, [-np.inf]]))
    summits = summits - 1
    best = summits[np.argsort(-evidence[summits])[:CANDIDATES]]
    return [_candidate(first, second, stretch, k, lags, alike, independent, evidence) for k in best]


def _candidate(first, second, stretch, k, lags, alike, independent, evidence):
    """One summit, its lag by a parabola and that lag's uncertainty by the summit's bend."""
    lag, bend = float(lags[k]), 0.0
    if 0 < k < lags.size - 1 and lags[k + 1] - lags[k - 1] == 2:
        left, here, right = evidence[k - 1 : k + 2]
        bend = left - 2 * here + right
        lag += float(np.clip(0.5 * (left - right) / bend, -0.5, 0.5)) if bend < 0 else 0.0
    step = first.step_um
    low = max(0.0, -lag)
    high = min(first.value.size, second.value.size - lag)
    middle = first.start_um + step * (low + high) / 2
    # On the second's own scale: its positions were divided by the stretch.
    there = stretch * (second.start_um + (middle - first.start_um) + lag * step)
    return Candidate(there - middle, float(stretch), middle, float(alike[k]), float(independent[k]),
                     float(evidence[k]), step / np.sqrt(-bend) if bend < 0 else step)  # fmt: skip
