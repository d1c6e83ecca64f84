"""Chips and rolls: departures of an edge from its smooth line, found and parted."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d, label
from scipy.signal import find_peaks

SIGMAS = 5.0  # a departure stands out by so many spreads of the sound edge
VALLEY = 0.8  # touching chips are parted where the edge comes back to this share of the lesser
SLIGHT = 0.015  # shallower for its length than this is the edge's own line, not damage
FLOOR_PX = 0.05  # what no form of damage fits closer than
LEAST_PX = 0.4  # departures shallower than this are not told from the camera's sampling


@dataclass(frozen=True)
class Departure:
    """One chip (towards the blade) or roll (away from it); lengths in µm.

    `kind` is "chip", "roll", "dust" or "unsure", which `could_be` puts in words; the depth lies
    between `depth_low_um` and `depth_high_um` (95 %).
    """

    position_um: float
    length_um: float
    depth_um: float
    area_um2: float
    depth_u_um: float
    length_u_um: float
    area_u_um2: float
    depth_low_um: float
    depth_high_um: float
    kind: str = "chip"
    could_be: str = ""

    def to_dict(self):
        """Plain values for JSON."""
        return {
            key: value if isinstance(value, str) else round(float(value), 6)
            for key, value in self.__dict__.items()
        }


@dataclass(frozen=True)
class Stretch:
    """Where a departure lies: samples from `low` to `high` (not with it), its sign and summit."""

    low: int
    high: int
    peak: int
    sign: int


def edge_spread(e, sound):
    """Robust standard deviation of the sound edge about its line, and its correlation length."""
    quiet = e[sound]
    if quiet.size < 20:
        return np.inf, 1.0
    spread = 1.4826 * np.median(np.abs(quiet - np.median(quiet)))
    clipped = np.clip(quiet - np.median(quiet), -3 * spread, 3 * spread)
    power = np.mean(clipped**2) + 1e-12
    reach = 1.0
    for lag in range(1, min(60, quiet.size // 3)):
        share = np.mean(clipped[lag:] * clipped[:-lag]) / power
        if share < 0.1:
            break
        reach += 2 * share
    return float(max(spread, 1e-3)), float(reach)


def edge_covariance(e, sound, spread, reach):
    """Autocovariance of the sound edge by lag, pixels squared, one value a lag from 0.

    Tapered (Parzen), so that it is one of a possible process and forgets what only chance
    makes alike at long lags; never less than what the camera's sampling leaves at lag 0.
    """
    quiet = e[sound] - np.median(e[sound])
    quiet = np.clip(quiet, -3 * spread, 3 * spread)
    last = int(min(quiet.size // 3, np.clip(4 * reach, 20, 150)))
    power = np.array([quiet[lag:] @ quiet[: quiet.size - lag] for lag in range(last)]) / quiet.size
    share = np.arange(last) / last
    parzen = np.where(share < 0.5, 1 - 6 * share**2 * (1 - share), 2 * (1 - share) ** 3)
    power = power * parzen
    power[0] += (0.1 * spread) ** 2 + FLOOR_PX**2
    return power


def find_departures(e, sound, blur_px, *, valley=VALLEY):
    """Stretches where the edge departs from its line.

    Parameters
    ----------
    e : ndarray, shape (n,)
        Departure at every pixel along the edge, positive towards the ground, pixels.
    sound : ndarray of bool, shape (n,)
        Samples taken for the spread of the sound edge.
    blur_px : float
        Standard deviation of the blur.
    valley : float
        Neighbours are parted where the edge comes back to this share of the lesser.

    Returns
    -------
    list of Stretch
        In order along the edge.
    """
    found = []
    calm = gaussian_filter1d(e, max(1.0, 0.7 * blur_px))
    spread, _ = edge_spread(calm, sound)
    # What lies between touching chips is narrow: they are parted on a line hardly smoothed.
    fresh = gaussian_filter1d(e, max(0.7, 0.35 * blur_px))
    loose = edge_spread(fresh, sound)[0]
    hit = np.zeros(e.size, int)
    for width in (max(1.0, 0.7 * blur_px), 3.0):
        smooth = gaussian_filter1d(e, width)
        own = edge_spread(smooth, sound)[0]
        over = np.abs(smooth) > max(SIGMAS * own, LEAST_PX)
        hit = np.where(over & (hit == 0), np.sign(smooth).astype(int), hit)
    for sign in (-1, 1):
        raised = sign * gaussian_filter1d(e, max(1.5, 0.7 * blur_px))
        regions = label(raised > max(1.2 * spread, 0.02))[0]
        struck = np.unique(regions[(hit == sign) & (regions > 0)])
        for number in struck:
            inside = np.flatnonzero(regions == number)
            found += _part(sign * fresh, inside[0], inside[-1] + 1, sign, loose, valley)
    return sorted(found, key=lambda stretch: stretch.low)


def _part(height, low, high, sign, spread, valley_share):
    """One region as one stretch, or several where the edge comes back between them."""
    part = height[low:high]
    padded = np.concatenate([[0.0], part, [0.0]])
    peaks, _ = find_peaks(padded, prominence=max(4 * spread, 0.3))
    peaks = peaks - 1
    if peaks.size < 2:
        return [_trimmed(part, 0, high - low, int(np.argmax(part)), low, sign, spread)]
    cuts, kept = [0], [int(peaks[0])]
    for peak in peaks[1:]:
        valley = kept[-1] + int(np.argmin(part[kept[-1] : peak + 1]))
        if part[valley] < valley_share * min(part[kept[-1]], part[peak]):
            cuts.append(valley)
            kept.append(int(peak))
        elif part[peak] > part[kept[-1]]:
            kept[-1] = int(peak)
    cuts.append(high - low)
    return [
        _trimmed(part, a, b, peak, low, sign, spread)
        for a, b, peak in zip(cuts[:-1], cuts[1:], kept, strict=True)
    ]


def _trimmed(part, first, stop, peak, low, sign, spread):
    """Stretch about one peak without the long low ends that a bent line leaves."""
    under = part < max(0.07 * part[peak], 1.2 * spread)
    before, after = np.flatnonzero(under[first:peak]), np.flatnonzero(under[peak:stop])
    start = first + int(before[-1]) + 1 if before.size else first
    end = peak + int(after[0]) if after.size else stop
    return Stretch(low + start, low + end, low + peak, sign)
