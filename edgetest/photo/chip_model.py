"""Forms of damage: chips and rolls sized by a form of bounded support, the blur taken out."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import cholesky, solve_triangular, toeplitz

from edgetest.photo.descent import Damping, descend

MISFIT = 0.04  # of the form that damage is fitted by, share of its height, ...
MISFIT_REACH = 0.12  # ... alike over this share of its length
BLURS_LONG = 22.0  # damage longer than this shows its form as it is
DAMPING = Damping(turns=20, ease=5, press=6, most=1e5)
ROWS = 120  # at most so many samples of a stretch are fitted


@dataclass(frozen=True)
class Form:
    """The form fitted to a stretch: `theta` = centre, log left, log right, log depth, log p, log q.

    `heights` are what the picture shows of it (blurred, with its sign) from `low` to `high`;
    `bounds` are those of `theta`, `misfit` is the covariance by lag of how far the true form may
    be off. `shift` is to be added to the depth, whose variance then is `depth_var`.
    """

    low: int
    high: int
    heights: np.ndarray
    theta: np.ndarray
    cov: np.ndarray
    bounds: tuple[np.ndarray, np.ndarray]
    misfit: np.ndarray
    shift: float = 0.0
    depth_var: float | None = None
    kind: str = ""  # of a small roll: "roll", "speck" or "unsure"


PRIOR_MEAN = (np.log(2.0), 0.0)  # of log p and log q: between a notch, a bowl and a dent
PRIOR_SD = (0.6, 0.45)
SLIM_MEAN, SLIM_SD = np.log(0.35), 0.8  # of log(depth / length): matters only under the blur


def shape(x, centre, left, right, depth, p, q):
    """Departure of compact support: depth * (1 - |x|**p)**q, each side its own reach."""
    away = x - centre
    t = np.abs(np.where(away < 0, away / left, away / right))
    return depth * np.clip(1 - np.minimum(t, 1) ** p, 0, None) ** q


def form_slopes(x, theta):
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


def size_departures(e, stretches, blur_px, spread, reach):
    """Depth, length, centre and area of each departure with the blur along the edge taken out.

    Parameters
    ----------
    e : ndarray, shape (n,)
        Departures, pixels.
    stretches : list of Stretch
    blur_px, spread, reach : float
        Blur, spread of the sound edge and its correlation length, pixels: neighbours are taken
        to be alike over `reach`, and each counts for so much less.

    Returns
    -------
    list of dict
        centre, length, depth, area and their standard uncertainties, pixels, by stretch.
    """
    covariance = np.array([max(spread, 0.03) ** 2 * max(1.0, reach)])
    forms = fit_forms(e, stretches, blur_px, covariance)
    return [
        form_sizes(form, stretch, spread, reach)
        for form, stretch in zip(forms, stretches, strict=True)
    ]


def fit_forms(e, stretches, blur_px, covariance):
    """Form of each departure (see `size_departures`), neighbours that touch fitted in turns."""
    forms: list = [None] * len(stretches)
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
                    rest[forms[other].low : forms[other].high] -= forms[other].heights
            forms[number] = _fit_one(rest, stretch, stretches, number, blur_px, covariance)
    return forms


def _touch(one, other, blur_px):
    """Whether two stretches lie so near that the blur mixes them."""
    return max(one.low, other.low) - min(one.high, other.high) < 6 * blur_px + 3


def misfit_covariance(size, misfit, width):
    """Covariance of what lies between a true form and the best of the family, by lag."""
    return misfit**2 * np.exp(-np.arange(size) / max(MISFIT_REACH * width, 0.5))


def _whitening(size, covariance):
    """Matrix that makes departures of such a covariance white, variance 1, over `size` samples.

    Long stretches are averaged over a few neighbours first, which costs them nothing.
    """
    alike = toeplitz(covariance)
    group = -(-size // ROWS)
    if group == 1:
        return solve_triangular(cholesky(alike, lower=True), np.eye(size), lower=True)
    number = np.arange(size) // group
    mean = (number == np.arange(number[-1] + 1)[:, None]) / np.bincount(number)[:, None]
    return solve_triangular(cholesky(mean @ alike @ mean.T, lower=True), mean, lower=True)


def _fit_one(e, stretch, stretches, number, blur_px, covariance):
    """One departure's form.

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
    own = misfit_covariance(high - low, MISFIT * top, width)
    alike = own.copy()
    alike[: covariance.size] += covariance[: alike.size]
    white = _whitening(high - low, alike)
    left, right = max(stretch.peak - stretch.low, 1.5), max(stretch.high - stretch.peak, 1.5)
    highest = top * (1.2 + 6 * blur_px / max(width, 1))  # no form loses more under the blur
    room = 1.25 * np.array([left, right]) + 2 * blur_px + 2
    bounds = (
        np.array([stretch.low - 1, *np.log([0.5, 0.5, 0.3 * top, 0.9, 0.35])]),
        np.array([stretch.high + 1, *np.log([*(room + 0.5 * width), highest, 9.0, 3.0])]),
    )
    shown, blurred = white @ y, white @ blurring

    def state_of(theta):
        return _shape_state(theta, shown, blurred, fine)

    fits = []
    for p in (1.2, 3.0):
        start = np.array([stretch.peak, np.log(left), np.log(right), np.log(1.1 * top),
                          np.log(p), 0.0])  # fmt: skip
        limit = np.array([0.3 * np.exp(start[1:3].max()) + 1, 0.7, 0.7, 0.7, 0.5, 0.5])
        fits.append(descend(state_of, start, limit, bounds, DAMPING))
    theta, (_, _, normal, cost) = min(fits, key=lambda fit: fit[1][0])
    heights = blurring @ form_slopes(fine, theta)[0]
    free = max(1, len(white) - 6)
    excess = max(1.0, cost / free)
    cov = np.linalg.pinv(normal) * excess
    found = Form(low, high, stretch.sign * heights, theta, cov, bounds, own)
    return found if width < BLURS_LONG * blur_px else _topped(found, white, y - heights)


def _topped(form, white, rest):
    """A long form with its summit as the edge line shows it.

    What the form leaves is parted into roughness and misfit (the mean of the misfit given
    both covariances).
    """
    own = toeplitz(form.misfit)
    left = own @ (white.T @ (white @ rest))
    return with_summit(form, left, np.diag(own) - np.sum((white @ own) ** 2, axis=0))


def with_summit(form, left, variance):
    """The form with its depth where form and misfit `left` together (by column) go furthest."""
    at = np.arange(form.low, form.high, dtype=float)
    value = form_slopes(at, form.theta)[0]
    middle = int(np.clip(np.rint(form.theta[0]), form.low, form.high - 1)) - form.low
    value[middle] = np.exp(form.theta[3])  # a notch is sharp between two columns
    top = int(np.argmax(value + left))
    shift = value[top] + left[top] - np.exp(form.theta[3])
    # What the blur hides of a sharp summit is not in the misfit that is seen.
    hidden = form.cov[3, 3] * np.exp(2 * form.theta[3])
    return replace(form, shift=float(shift), depth_var=float(variance[top] + hidden))


def form_prior(theta):
    """What is known of a form before it is seen: (misses, their slopes), in standard deviations."""
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
    return prior, prior_jac


def _shape_state(theta, y, blurring, fine):
    """Total cost, gradient, normal matrix and cost of the data alone; `y` and rows whitened."""
    value, slopes = form_slopes(fine, theta)
    seen = blurring @ np.vstack([value, slopes]).T
    jac = seen[:, 1:]
    miss = seen[:, 0] - y
    prior, prior_jac = form_prior(theta)
    cost = float(miss @ miss)
    gradient = jac.T @ miss + prior_jac.T @ prior
    normal = jac.T @ jac + prior_jac.T @ prior_jac + 1e-9 * np.eye(6)
    return cost + float(prior @ prior), gradient, normal, cost


def form_sizes(form, stretch, spread, reach, line_u=0.0):
    """Sizes of a fitted departure, pixels; `line_u` is the smooth line's uncertainty there."""
    theta, cov = form.theta, form.cov
    centre, (left, right, depth, p, q) = float(theta[0]), np.exp(theta[1:])
    # The shape exceeds a tenth of its depth out to this share of its reach.
    tenth = (1 - 0.1 ** (1 / q)) ** (1 / p)
    x = np.linspace(0, 1, 201)
    mean = np.mean(shape(x, 0, 1, 1, 1, p, q))
    length = tenth * (left + right)
    averaged = spread / np.sqrt(max(1.0, length / max(1.0, reach)))
    depth_u = np.sqrt(max(cov[3, 3] * depth**2 if form.depth_var is None else form.depth_var, 0))
    share = left / (left + right)
    by_length = np.array([0, share, 1 - share, 0, 0, 0])
    return {
        "centre": float(centre + tenth * (right - left) / 2),
        "length": float(length),
        "depth": float(depth + form.shift),
        "area": float(depth * mean * (left + right)),
        "depth_u": float(np.sqrt(depth_u**2 + averaged**2 + line_u**2)),
        "length_u": float(np.hypot(length * np.sqrt(max(by_length @ cov @ by_length, 0)), 0.3)),
        "area_u": float(spread * np.sqrt(max(length, 1.0) * max(1.0, reach))),
        "height": float(np.abs(form.heights).max()),
        "kind": form.kind,
        "peak": stretch.peak,
        "reach": (form.low, form.high),
    }
