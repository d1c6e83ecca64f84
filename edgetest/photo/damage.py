"""Chips and rolls: departures of an edge from its smooth line, found, parted and sized."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cholesky, solve_triangular, toeplitz
from scipy.ndimage import gaussian_filter1d, label
from scipy.signal import find_peaks

SIGMAS = 5.0  # a departure stands out by so many spreads of the sound edge
VALLEY = 0.75  # touching chips are parted where the edge comes back to this share of the lesser
SLIGHT = 0.015  # shallower for its length than this is the edge's own line, not damage
MISFIT = 0.06  # of the form that damage is fitted by, share of its height
ROWS = 120  # at most so many samples of a stretch are fitted
FLOOR_PX = 0.05  # what no form of damage fits closer than
LEAST_PX = 0.4  # departures shallower than this are not told from the camera's sampling


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
            found += _part(sign * calm, inside[0], inside[-1] + 1, sign, spread)
    return sorted(found, key=lambda stretch: stretch.low)


def _part(height, low, high, sign, spread):
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
        if part[valley] < VALLEY * min(part[kept[-1]], part[peak]):
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


PRIOR_MEAN = (np.log(1.8), 0.0)  # of log p and log q: between a notch, a bowl and a dent
PRIOR_SD = (0.5, 0.4)
SLIM_MEAN, SLIM_SD = np.log(0.35), 0.8  # of log(depth / length): matters only under the blur


def shape(x, centre, left, right, depth, p, q):
    """Departure of compact support: depth * (1 - |x|**p)**q, each side its own reach."""
    away = x - centre
    t = np.abs(np.where(away < 0, away / left, away / right))
    return depth * np.clip(1 - np.minimum(t, 1) ** p, 0, None) ** q


def _shape_slopes(x, theta):
    """`shape` and its derivatives by (centre, log left, log right, log depth, log p, log q)."""
    centre, (left, right, depth, p, q) = theta[0], np.exp(theta[1:])
    away = x - centre
    before = away < 0
    reach = np.where(before, left, right)
    t = np.clip(np.abs(away) / reach, 1e-6, 1)
    power = t**p
    base = np.clip(1 - power, 1e-4, None)
    inside = t < 1
    value = np.where(inside, depth * base**q, 0)
    by_power = -value * q / base  # d value / d (t ** p)
    by_log_t = by_power * power * p
    return value, np.stack([
        by_log_t * np.where(before, 1, -1) / (t * reach),
        np.where(before, -by_log_t, 0),
        np.where(before, 0, -by_log_t),
        value,
        by_power * power * np.log(t) * p,
        value * np.log(base) * q,
    ])  # fmt: skip


def _blur_matrix(at, fine, step, blur_px):
    """What a blurred picture shows at `at` of heights given at `fine` (rows sum to 1)."""
    weight = np.exp(-0.5 * ((at[:, None] - fine[None, :]) / max(blur_px, 0.3)) ** 2)
    return weight * (step / (max(blur_px, 0.3) * np.sqrt(2 * np.pi)))


def size_departures(e, stretches, blur_px, spread, reach, *, covariance=None):
    """Depth, length, centre and area of each departure with the blur along the edge taken out.

    Parameters
    ----------
    e : ndarray, shape (n,)
        Departures, pixels.
    stretches : list of Stretch
    blur_px, spread, reach : float
        Blur, spread of the sound edge and its correlation length, pixels.
    covariance : ndarray, optional
        Autocovariance of the sound edge by lag; without it neighbours are taken to be alike
        over `reach` and each counts for so much less.

    Returns
    -------
    list of dict
        centre, length, depth, area and their standard uncertainties, pixels, by stretch.
    """
    if covariance is None:
        covariance = np.array([max(spread, 0.03) ** 2 * max(1.0, reach)])
    models: list = [None] * len(stretches)
    for turn in range(2):
        for number, stretch in enumerate(stretches):
            beside = [
                other for other in (number - 1, number + 1)
                if 0 <= other < len(stretches) and _touch(stretch, stretches[other], blur_px)
            ]  # fmt: skip
            if turn and not beside:
                continue
            rest = e
            if turn:
                rest = e.copy()
                for other in beside:
                    low, high, heights = models[other][:3]
                    rest[low:high] -= heights
            models[number] = _fit_one(rest, stretch, stretches, number, blur_px, covariance)
    return [
        _sizes(model, stretch, spread, reach)
        for model, stretch in zip(models, stretches, strict=True)
    ]


def _touch(one, other, blur_px):
    """Whether two stretches lie so near that the blur mixes them."""
    return max(one.low, other.low) - min(one.high, other.high) < 6 * blur_px + 3


def _whitening(size, covariance, misfit):
    """Matrix that makes roughness and misfit of the form white, variance 1, over `size` samples.

    Long stretches are averaged over a few neighbours first, which costs them nothing.
    """
    padded = np.zeros(size)
    padded[: min(size, covariance.size)] = covariance[:size]
    padded[0] += misfit**2
    alike = toeplitz(padded)
    group = -(-size // ROWS)
    if group == 1:
        return solve_triangular(cholesky(alike, lower=True), np.eye(size), lower=True)
    number = np.arange(size) // group
    mean = (number == np.arange(number[-1] + 1)[:, None]) / np.bincount(number)[:, None]
    return solve_triangular(cholesky(mean @ alike @ mean.T, lower=True), mean, lower=True)


def _fit_one(e, stretch, stretches, number, blur_px, covariance):
    """One departure's model: (low, high, heights, theta, cov).

    Least squares with weak priors on the form (Levenberg-Marquardt): where the blur hides
    the form, the priors carry it and the uncertainty says so.
    """
    width = stretch.high - stretch.low
    margin = int(3 * blur_px + 0.15 * width + 3)
    low, high = max(0, stretch.low - margin), min(e.size, stretch.high + margin)
    if number:
        low = max(low, min(stretches[number - 1].high, stretch.low))
    if number + 1 < len(stretches):
        high = min(high, max(stretches[number + 1].low, stretch.high))
    at = np.arange(low, high, dtype=float)
    y = stretch.sign * e[low:high]
    step = max(0.25, (high - low) / 400)
    pad = 3.5 * blur_px + 1
    fine = np.arange(low - pad, high + pad, step)
    blurring = _blur_matrix(at, fine, step, blur_px)
    top = max(float(y.max()), 0.05)
    white = _whitening(high - low, covariance, MISFIT * top)
    left, right = max(stretch.peak - stretch.low, 1.5), max(stretch.high - stretch.peak, 1.5)
    highest = top * (1.2 + 6 * blur_px / max(width, 1))  # no form loses more under the blur
    room = 1.25 * np.array([left, right]) + 2 * blur_px + 2
    bounds = (
        np.array([stretch.low - 1, *np.log([0.5, 0.5, 0.3 * top, 0.9, 0.35])]),
        np.array([stretch.high + 1, *np.log([*(room + 0.5 * width), highest, 9.0, 3.0])]),
    )
    fits = []
    for p in (1.2, 3.0):
        start = np.array([stretch.peak, np.log(left), np.log(right), np.log(1.1 * top),
                          np.log(p), 0.0])  # fmt: skip
        fits.append(_fit_shape(start, white @ y, white @ blurring, fine, bounds))
    theta, _, normal, cost = min(fits, key=lambda fit: fit[1])
    heights = blurring @ _shape_slopes(fine, theta)[0]
    free = max(1, len(white) - 6)
    excess = max(1.0, cost / free)
    cov = np.linalg.pinv(normal) * excess
    return low, high, stretch.sign * heights, theta, cov


def _fit_shape(theta, y, blurring, fine, bounds, *, turns=20):
    """Levenberg-Marquardt: (theta, total cost, normal matrix, cost of the data alone)."""
    damping, state = 1e-2, _shape_state(theta, y, blurring, fine)
    limit = np.array([0.3 * np.exp(theta[1:3].max()) + 1, 0.7, 0.7, 0.7, 0.5, 0.5])
    for _ in range(turns):
        total, gradient, normal = state[0], state[1], state[2]
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), gradient)
        trial = theta - np.clip(step, -limit, limit)
        trial = np.clip(trial, *bounds)
        other = _shape_state(trial, y, blurring, fine)
        if other[0] < total:
            done = total - other[0] < 1e-4 * total
            theta, state, damping = trial, other, max(damping / 5, 1e-6)
            if done:
                break
        else:
            damping *= 6
            if damping > 1e5:
                break
    return theta, state[0], state[2], state[3]


def _shape_state(theta, y, blurring, fine):
    """Total cost, gradient, normal matrix and cost of the data alone; `y` and rows whitened."""
    value, slopes = _shape_slopes(fine, theta)
    seen = blurring @ np.vstack([value, slopes]).T
    jac = seen[:, 1:]
    miss = seen[:, 0] - y
    span = np.exp(theta[1]) + np.exp(theta[2])
    slim = np.zeros(6)
    slim[1], slim[2], slim[3] = -np.exp(theta[1]) / span, -np.exp(theta[2]) / span, 1.0
    lean = np.array([0, 1.0, -1.0, 0, 0, 0])
    prior = np.array([
        (theta[4] - PRIOR_MEAN[0]) / PRIOR_SD[0],
        (theta[5] - PRIOR_MEAN[1]) / PRIOR_SD[1],
        (theta[3] - np.log(span) - SLIM_MEAN) / SLIM_SD,
        (theta[1] - theta[2]) / 0.7,
    ])  # fmt: skip
    prior_jac = np.vstack([
        np.eye(6)[4] / PRIOR_SD[0], np.eye(6)[5] / PRIOR_SD[1], slim / SLIM_SD, lean / 0.7
    ])  # fmt: skip
    cost = float(miss @ miss)
    gradient = jac.T @ miss + prior_jac.T @ prior
    normal = jac.T @ jac + prior_jac.T @ prior_jac + 1e-9 * np.eye(6)
    return cost + float(prior @ prior), gradient, normal, cost


def _sizes(model, stretch, spread, reach):
    """Sizes of a fitted departure, pixels."""
    low, high, heights, theta, cov = model
    centre, (left, right, depth, p, q) = float(theta[0]), np.exp(theta[1:])
    # The shape exceeds a tenth of its depth out to this share of its reach.
    tenth = (1 - 0.1 ** (1 / q)) ** (1 / p)
    x = np.linspace(0, 1, 201)
    mean = np.mean(shape(x, 0, 1, 1, 1, p, q))
    length = tenth * (left + right)
    averaged = spread / np.sqrt(max(1.0, length / max(1.0, reach)))
    share = left / (left + right)
    by_length = np.array([0, share, 1 - share, 0, 0, 0])
    return {
        "centre": float(centre + tenth * (right - left) / 2),
        "length": float(length),
        "depth": float(depth),
        "area": float(depth * mean * (left + right)),
        "depth_u": float(np.hypot(depth * np.sqrt(max(cov[3, 3], 0)), averaged)),
        "length_u": float(np.hypot(length * np.sqrt(max(by_length @ cov @ by_length, 0)), 0.3)),
        "area_u": float(spread * np.sqrt(max(length, 1.0) * max(1.0, reach))),
        "height": float(np.abs(heights).max()),
        "peak": stretch.peak,
        "reach": (low, high),
    }
