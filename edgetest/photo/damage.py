"""Chips and rolls: departures of an edge from its smooth line, found, parted and sized."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d, label
from scipy.optimize import least_squares
from scipy.signal import find_peaks

SIGMAS = 5.0  # a departure stands out by so many spreads of the sound edge
VALLEY = 0.75  # touching chips are parted where the edge comes back to this share of the lesser
LEAST_PX = 0.3  # departures shallower than this are not told from the camera's sampling


@dataclass(frozen=True)
class Departure:
    """One chip (towards the blade) or roll (away from it); lengths in µm."""

    position_um: float
    length_um: float
    depth_um: float
    area_um2: float
    depth_u_um: float
    length_u_um: float
    area_u_um2: float

    def to_dict(self):
        """Plain values for JSON."""
        return {key: round(float(value), 6) for key, value in self.__dict__.items()}


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


def find_departures(e, sound, blur_px):
    """Stretches where the edge departs from its line.

    Parameters
    ----------
    e : ndarray, shape (n,)
        Departure at every pixel along the edge, positive towards the ground, pixels.
    sound : ndarray of bool, shape (n,)
        Samples taken for the spread of the sound edge.
    blur_px : float
        Standard deviation of the blur.

    Returns
    -------
    list of Stretch
        In order along the edge.
    """
    found = []
    calm = gaussian_filter1d(e, max(1.0, 0.7 * blur_px))
    spread, _ = edge_spread(calm, sound)
    hit = np.zeros(e.size, int)
    for width in (max(1.0, 0.7 * blur_px), 3.0, 8.0):
        smooth = gaussian_filter1d(e, width)
        own, _ = edge_spread(smooth, sound)
        over = np.abs(smooth) > max(SIGMAS * own, LEAST_PX)
        hit = np.where(over & (hit == 0), np.sign(smooth).astype(int), hit)
    for sign in (-1, 1):
        raised = sign * gaussian_filter1d(e, max(1.5, 0.7 * blur_px))
        regions, count = label(raised > max(1.2 * spread, 0.02))
        struck = np.unique(regions[(hit == sign) & (regions > 0)])
        del count
        for number in struck:
            inside = np.flatnonzero(regions == number)
            found += _part(sign * calm, inside[0], inside[-1] + 1, sign, spread)
    return sorted(found, key=lambda stretch: stretch.low)


def _part(height, low, high, sign, spread):
    """One region as one stretch, or several where the edge comes back between them."""
    part = height[low:high]
    padded = np.concatenate([[0.0], part, [0.0]])
    peaks, _ = find_peaks(padded, prominence=max(4 * spread, 0.3))
    peaks = peaks - 1
    if peaks.size < 2:
        return [Stretch(low, high, low + int(np.argmax(part)), sign)]
    cuts, kept = [0], [int(peaks[0])]
    for peak in peaks[1:]:
        valley = kept[-1] + int(np.argmin(part[kept[-1] : peak + 1]))
        if part[valley] < VALLEY * min(part[kept[-1]], part[peak]):
            cuts.append(valley)
            kept.append(int(peak))
        elif part[peak] > part[kept[-1]]:
            kept[-1] = int(peak)
    cuts.append(high - low)
    return [
        Stretch(low + a, low + b, low + peak, sign)
        for a, b, peak in zip(cuts[:-1], cuts[1:], kept, strict=True)
    ]


def shape(x, centre, left, right, depth, p, q):
    """Departure of compact support: depth * (1 - |x|**p)**q, each side its own reach."""
    away = x - centre
    t = np.abs(np.where(away < 0, away / left, away / right))
    return depth * np.clip(1 - np.minimum(t, 1) ** p, 0, None) ** q


STEP = 0.25  # fine samples per pixel of the model before it is blurred


class BlurredShape:
    """`shape` as a blurred picture shows it, at whole pixels of a window."""

    def __init__(self, low, high, blur_px):
        self.pad = 4 * blur_px + 2
        self.fine = np.arange(low - self.pad, high + self.pad + STEP, STEP)
        self.at = np.arange(low, high, dtype=float)
        reach = np.arange(-int(4 * blur_px / STEP) - 1, int(4 * blur_px / STEP) + 2)
        kernel = np.exp(-0.5 * (reach * STEP / max(blur_px, 0.05)) ** 2)
        self.kernel = kernel / kernel.sum()

    def __call__(self, params):
        """Heights at `at`."""
        sharp = shape(self.fine, *params)
        return np.interp(self.at, self.fine, np.convolve(sharp, self.kernel, mode="same"))


def size_departures(e, stretches, blur_px, spread, reach):
    """Depth, length, centre and area of each departure with the blur taken out.

    Parameters
    ----------
    e : ndarray, shape (n,)
        Departures, pixels.
    stretches : list of Stretch
    blur_px, spread, reach : float
        Blur, spread of the sound edge and its correlation length, pixels.

    Returns
    -------
    list of dict
        centre, length, depth, area and their standard uncertainties, pixels, by stretch.
    """
    models = [None] * len(stretches)
    for _ in range(2):
        for number, stretch in enumerate(stretches):
            others = np.zeros_like(e)
            for other, model in enumerate(models):
                if other != number and model is not None:
                    low, high, heights, _, _ = model
                    others[low:high] += heights
            models[number] = _fit_one(e - others, stretch, stretches, number, blur_px, spread)
    return [
        _sizes(model, stretch, blur_px, spread, reach)
        for model, stretch in zip(models, stretches, strict=True)
    ]


def _fit_one(e, stretch, stretches, number, blur_px, spread):
    """One departure's model: (low, high, heights, params, cov)."""
    margin = int(3 * blur_px + 0.15 * (stretch.high - stretch.low) + 3)
    low, high = max(0, stretch.low - margin), min(e.size, stretch.high + margin)
    if number:
        low = max(low, min(stretches[number - 1].high, stretch.low))
    if number + 1 < len(stretches):
        high = min(high, max(stretches[number + 1].low, stretch.high))
    y = stretch.sign * e[low:high]
    model = BlurredShape(low, high, blur_px)
    width = stretch.high - stretch.low
    left = max(stretch.peak - stretch.low, 0.25 * width, 1.0)
    right = max(stretch.high - stretch.peak, 0.25 * width, 1.0)
    top = max(float(y.max()), 1e-3)
    lower = [stretch.low - 1, 0.4, 0.4, 0.3 * top, 0.8, 0.4]
    upper = [stretch.high + 1, 1.6 * width + 3, 1.6 * width + 3, 4 * top, 8.0, 3.0]
    best = None
    for p, q in ((1.3, 1.0), (2.5, 1.0)):
        start = np.clip([stretch.peak, left, right, 1.1 * top, p, q],
                        np.add(lower, 1e-6), np.subtract(upper, 1e-6))  # fmt: skip
        fit = least_squares(lambda params: model(params) - y, start, bounds=(lower, upper),
                            x_scale=[1, width / 4, width / 4, top / 4, 0.5, 0.3],
                            max_nfev=25)  # fmt: skip
        if best is None or fit.cost < best.cost:
            best = fit
    normal = best.jac.T @ best.jac
    variance = max(2 * best.cost / max(1, y.size - 6), spread**2)
    cov = np.linalg.pinv(normal + 1e-9 * np.eye(6)) * variance
    return low, high, stretch.sign * model(best.x), best.x, cov


def _sizes(model, stretch, blur_px, spread, reach):
    """Sizes of a fitted departure."""
    low, high, heights, params, cov = model
    centre, left, right, depth, p, q = params
    # The shape exceeds a tenth of its depth out to this share of its reach.
    tenth = (1 - 0.1 ** (1 / q)) ** (1 / p)
    x = np.linspace(-1, 1, 401)
    mean = np.mean(shape(x, 0, 1, 1, 1, p, q))
    length = tenth * (left + right)
    correlated = np.sqrt(max(1.0, reach))
    depth_u = np.hypot(
        correlated * np.sqrt(max(cov[3, 3], 0)), spread / np.sqrt(max(1, length / reach))
    )
    depth_u = min(depth_u, depth)
    return {
        "centre": float(centre + tenth * (right - left) / 2),
        "summit": float(centre),
        "length": float(length),
        "depth": float(depth),
        "area": float(depth * mean * (left + right)),
        "depth_u": float(depth_u),
        "length_u": float(
            np.hypot(correlated * np.sqrt(max(cov[1, 1] + cov[2, 2] + 2 * cov[1, 2], 0)), 0.3)
        ),
        "area_u": float(spread * np.sqrt(max(length, 1.0) * reach)),
        "peak": stretch.peak,
        "reach": (low, high),
        "heights": heights,
        "blur": blur_px,
    }
