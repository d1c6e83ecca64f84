"""The same edge before and after: both outlines laid together, and how each chip has grown."""

from dataclasses import dataclass

import numpy as np
from scipy.signal import fftconvolve

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.photo.departures import Departure

LEAST_OVERLAP = 0.4  # share of the shorter outline that both must show
LEAST_LIKENESS = 0.5


@dataclass(frozen=True)
class Followed:
    """One place of damage before and after; `growth_um` of its depth, with its interval."""

    before: Departure | None
    after: Departure | None
    position_um: float  # on the first picture's scale
    growth_um: float
    low_um: float
    high_um: float

    @property
    def word(self):
        """How it fared: "new", "gone", "grown", "shrunk" or "same"."""
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        if self.low_um > 0:
            return "grown"
        return "shrunk" if self.high_um < 0 else "same"

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "position_um": plain(self.position_um),
            "state": self.word,
            "before": self.before.to_dict() if self.before else None,
            "after": self.after.to_dict() if self.after else None,
            "growth_um": plain(self.growth_um),
            "low_um": plain(self.low_um),
            "high_um": plain(self.high_um),
        }


@dataclass(frozen=True)
class Following:
    """Two pictures of one edge laid together.

    `shift_um` is added to a position of the first to find it on the second; `likeness` is
    the correlation of the outlines there (1 = the same).
    """

    shift_um: float
    likeness: float
    overlap_um: float
    chips: tuple[Followed, ...]
    rolls: tuple[Followed, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "shift_um": plain(self.shift_um),
            "likeness": plain(self.likeness),
            "overlap_um": plain(self.overlap_um),
            "chips": [one.to_dict() for one in self.chips],
            "rolls": [one.to_dict() for one in self.rolls],
        }

    def summary(self):
        """What a maker reads out."""
        words = [one.word for one in (*self.chips, *self.rolls)]
        order = ("new", "grown", "same", "shrunk", "gone")
        parts = [f"{words.count(word)} {word}" for word in order if word in words]
        return f"{self.overlap_um / 1000:.2f} mm of edge on both: {', '.join(parts) or 'no damage'}"


def follow(before, after, *, shift_um=None, level_factor=1.96):
    """Match the damage of one edge on two measurements of its side.

    Parameters
    ----------
    before, after : ProfileMeasurement
        Measured; the scales may differ.
    shift_um : float, optional
        Where the first picture's zero lies on the second; found from the outlines otherwise.
    level_factor : float
        Standard uncertainties on each side of a growth.

    Returns
    -------
    Following

    Raises
    ------
    UnusableInput
        If one was refused, or the outlines cannot be laid together.
    """
    for name, one in (("before", before), ("after", after)):
        if one.status != "measured":
            what = "this photograph was not measured"
            raise UnusableInput(what, where=name, mend="give one that can be measured")
    step = max(before.um_per_px, after.um_per_px)
    first, second = _even(before, step), _even(after, step)
    if shift_um is None:
        lag, likeness = _best_lag(first, second)
        if likeness < LEAST_LIKENESS:
            raise UnusableInput(
                "the two outlines have no damage in common to lay them together by",
                where="before and after",
                mend="say how much further along the second picture the first begins (--shift-um)",
            )
        start_um = float(after.position_um[0] - before.position_um[0])
        shift_um = lag * step + start_um
    else:
        likeness = float("nan")
    low = max(before.position_um[0], after.position_um[0] - shift_um)
    high = min(before.position_um[-1], after.position_um[-1] - shift_um)
    if high - low < LEAST_OVERLAP * min(np.ptp(before.position_um), np.ptp(after.position_um)):
        what = f"only {max(high - low, 0):.0f} µm of edge are on both pictures"
        raise UnusableInput(
            what, where="before and after", mend="photograph the same stretch again"
        )
    match = [
        _matched(getattr(before, kind), getattr(after, kind), shift_um, (low, high), level_factor)
        for kind in ("chips", "rolls")
    ]
    return Following(float(shift_um), float(likeness), float(high - low), *match)


def _even(measurement, step):
    """Departures at even steps of µm along the edge."""
    place = measurement.position_um
    return np.interp(np.arange(place[0], place[-1], step), place, measurement.departure_um)


def _best_lag(first, second):
    """Lag (steps, below one) at which two outlines agree best, and their correlation there."""
    a, b = first - np.median(first), second - np.median(second)
    ones_a, ones_b = np.ones_like(a), np.ones_like(b)
    cross = fftconvolve(b, a[::-1])
    power_a = fftconvolve(ones_b, (a * a)[::-1])
    power_b = fftconvolve(b * b, ones_a[::-1])
    overlap = fftconvolve(ones_b, ones_a[::-1])
    floor = 1e-6 * max(float(np.sum(a * a)), float(np.sum(b * b)), 1e-12)
    likeness = cross / np.sqrt(np.maximum(power_a, floor) * np.maximum(power_b, floor))
    # Little overlap makes a high correlation cheap: weigh it by the damage that it covers.
    share = np.sqrt(np.clip(power_a, 0, None) / max(float(np.sum(a * a)), 1e-12))
    likeness = np.where(overlap >= LEAST_OVERLAP * min(a.size, b.size), likeness, -1)
    score = likeness * np.clip(share, 0, 1)
    best = int(np.argmax(score))
    lag = best - (a.size - 1)
    if 0 < best < score.size - 1:
        left, here, right = score[best - 1 : best + 2]
        bend = left - 2 * here + right
        lag = lag + (0.5 * (left - right) / bend if bend < 0 else 0.0)
    return float(lag), float(likeness[best])


def _matched(before, after, shift_um, overlap, level_factor):
    """Pairs of departures at the same place, and those seen on one picture only."""
    left, found = list(after), []
    for one in before:
        if not overlap[0] <= one.position_um <= overlap[1]:
            continue
        near = [x for x in left if abs(x.position_um - shift_um - one.position_um)
                <= 0.5 * max(one.length_um, x.length_um)]  # fmt: skip
        best = min(
            near, key=lambda x: abs(x.position_um - shift_um - one.position_um), default=None
        )
        if best is not None:
            left.remove(best)
        found.append(_followed(one, best, one.position_um, level_factor))
    for one in left:
        place = one.position_um - shift_um
        if overlap[0] <= place <= overlap[1]:
            found.append(_followed(None, one, place, level_factor))
    return tuple(sorted(found, key=lambda item: item.position_um))


def _followed(before, after, position_um, level_factor):
    """Growth of the depth and its interval."""
    growth = (after.depth_um if after else 0.0) - (before.depth_um if before else 0.0)
    u = np.hypot(after.depth_u_um if after else 0.0, before.depth_u_um if before else 0.0)
    return Followed(before, after, float(position_um), float(growth),
                    float(growth - level_factor * u), float(growth + level_factor * u))  # fmt: skip
