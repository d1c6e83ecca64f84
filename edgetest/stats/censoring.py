"""Likelihood of lives under censoring: log life on a line, z = g·log(t) − h of its group.

Here t is a life, µ and σ are place and scale of its group's log lives, g = 1/σ and h = µ/σ. In
g and h the log-likelihood of the normal and of the smallest extreme value law is concave [1]_,
whatever the censoring, and a fixed median or a fixed ratio is a linear constraint. Newton's
method then cannot miss the maximum.

References
----------
.. [1] J. Burridge, "A note on maximum likelihood estimation for regression models using
   grouped data", J. R. Stat. Soc. B 43 (1981) 41-45.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

# SD of log life between blades: no shop keeps below the first, nor tests above the second.
SMALLEST_SCATTER, LARGEST_SCATTER = 0.01, 30.0


def _normal_log_density(z):
    return -0.5 * z**2 - 0.5 * np.log(2 * np.pi)


def normal_log_between(low, high):
    """log(Φ(high) - Φ(low)) without cancellation, by the smaller tail.

    Parameters
    ----------
    low, high : array_like
        Standard normal bounds, `low` below `high`; -inf and inf where open.

    Returns
    -------
    ndarray
    """
    flip = low > 0
    low, high = np.where(flip, -high, low), np.where(flip, -low, high)
    top = log_ndtr(high)
    return top + np.log1p(-np.exp(np.minimum(log_ndtr(low) - top, -1e-300)))


def _extreme_log_density(z):
    return z - np.exp(np.minimum(z, 300.0))


def _extreme_log_between(low, high):
    at_low, at_high = np.exp(np.minimum(low, 300.0)), np.exp(np.minimum(high, 300.0))
    with np.errstate(divide="ignore"):
        return -at_low + np.log(-np.expm1(at_low - at_high))


@dataclass(frozen=True)
class LifeLaw:
    """Standard law of z: log density, its slope, log of the chance between, and the median."""

    name: str
    log_density: object
    slope: object  # derivative of the log density
    curvature: object  # its second derivative
    log_between: object
    median: float


LAWS = {
    "lognormal": LifeLaw(
        "lognormal",
        _normal_log_density,
        lambda z: -z,
        lambda z: -np.ones_like(z),
        normal_log_between,
        0.0,
    ),
    "weibull": LifeLaw(
        "weibull",
        _extreme_log_density,
        lambda z: 1 - np.exp(np.minimum(z, 300.0)),
        lambda z: -np.exp(np.minimum(z, 300.0)),
        _extreme_log_between,
        float(np.log(np.log(2.0))),
    ),
}


@dataclass(frozen=True)
class Lives:
    """Log lives as intervals: `low` -inf for left-, `high` inf for right-censored ones.

    `group` counts from 0; `weight` is the number of blades a row stands for.
    """

    low: np.ndarray
    high: np.ndarray
    group: np.ndarray
    weight: np.ndarray

    @property
    def exact(self):
        """Rows that are lives and no bounds."""
        return self.low == self.high

    def take(self, rows):
        """The chosen rows."""
        return Lives(self.low[rows], self.high[rows], self.group[rows], self.weight[rows])


@dataclass(frozen=True)
class Line:
    """Maximum of the likelihood: `theta` = (1/σ, µ/σ of each group), and the log-likelihood."""

    theta: np.ndarray
    log_likelihood: float
    at_bound: bool  # the scatter stands at SMALLEST_SCATTER or LARGEST_SCATTER


def log_likelihood(law, lives, theta):
    """Log-likelihood of the lives in cuts, its gradient and its Hessian in theta."""
    design = -np.eye(len(theta) - 1)[lives.group]
    exact, between = lives.exact, ~lives.exact
    value, gradient = 0.0, np.zeros(len(theta))
    hessian = np.zeros((len(theta), len(theta)))
    if exact.any():
        x = np.column_stack([lives.low[exact], design[exact]])
        weight, z = lives.weight[exact], x @ theta
        value += float(weight @ (law.log_density(z) + np.log(theta[0]) - lives.low[exact]))
        gradient += x.T @ (weight * law.slope(z))
        gradient[0] += weight.sum() / theta[0]
        hessian += (x * (weight * law.curvature(z))[:, None]).T @ x
        hessian[0, 0] -= weight.sum() / theta[0] ** 2
    if between.any():
        part = lives.take(between)
        ends = []
        for end in (part.low, part.high):
            finite = np.isfinite(end)
            x = np.column_stack([np.where(finite, end, 0.0), design[between]])
            ends.append((x, np.where(finite, x @ theta, end), finite))
        (x_low, low, has_low), (x_high, high, has_high) = ends
        log_chance = law.log_between(low, high)
        value += float(part.weight @ log_chance)
        pull_low = _pull(law, low, has_low, log_chance)
        pull_high = _pull(law, high, has_high, log_chance)
        gradient += x_high.T @ (part.weight * pull_high) - x_low.T @ (part.weight * pull_low)
        for x, z, pull, sign in ((x_high, high, pull_high, 1.0), (x_low, low, pull_low, -1.0)):
            bend = sign * pull * law.slope(np.where(np.isfinite(z), z, 0.0)) - pull**2
            hessian += (x * (part.weight * bend)[:, None]).T @ x
        cross = (x_high * (part.weight * pull_high * pull_low)[:, None]).T @ x_low
        hessian += cross + cross.T
    return value, gradient, hessian


def _pull(law, z, finite, log_chance):
    """Density over the chance between; 0 at an open end."""
    inner = np.where(finite, z, 0.0)
    return np.where(finite, np.exp(np.minimum(law.log_density(inner) - log_chance, 300.0)), 0.0)


@dataclass(frozen=True)
class Constraint:
    """A place of theta held to the others: theta[place] = row @ (theta without it) + offset."""

    place: int
    row: np.ndarray
    offset: float = 0.0


def fit_line(law, lives, groups, *, hold=None, scatter=None):
    """Maximise the likelihood, free or with a median, a ratio or the scatter held.

    Parameters
    ----------
    law : LifeLaw
    lives : Lives
    groups : int
    hold : Constraint, optional
    scatter : float, optional
        Holds σ at this value.

    Returns
    -------
    Line
    """
    # About their centre, log lives leave 1/σ and µ/σ nearly uncorrelated.
    known = np.r_[lives.low[np.isfinite(lives.low)], lives.high[np.isfinite(lives.high)]]
    centre = float(known.mean())
    shift = np.r_[0.0, np.full(groups, centre)]
    lives = Lives(lives.low - centre, lives.high - centre, lives.group, lives.weight)
    basis, offset = np.eye(groups + 1), np.zeros(groups + 1)
    phi = _start(law, lives, groups)
    if scatter is not None:
        phi = phi / (phi[0] * scatter)
    if hold is not None:
        basis = np.delete(basis, hold.place, axis=1)
        basis[hold.place], offset[hold.place] = hold.row, hold.offset
        basis[hold.place, 0] += centre * (hold.row[1:].sum() - 1)
        phi = np.delete(phi, hold.place)
    phi = _within_reach(lives, basis, offset, phi)
    theta, value, at_bound = _climb(law, lives, basis, offset, phi, scatter)
    value -= centre * float(lives.weight[lives.exact].sum())
    return Line(theta + theta[0] * shift, value, at_bound)


def _climb(law, lives, basis, offset, phi, scatter):
    """Newton's method with a line search; 1/σ stays within what is thought possible."""
    least, most = 1 / LARGEST_SCATTER, 1 / SMALLEST_SCATTER
    if scatter is not None:
        least = most = 1 / scatter
    phi[0] = np.clip(phi[0], least, most)
    value, gradient, hessian = log_likelihood(law, lives, basis @ phi + offset)
    for _ in range(200):
        slope, bend = basis.T @ gradient, basis.T @ hessian @ basis
        stuck = phi[0] >= most * (1 - 1e-9) and slope[0] > 0
        stuck = stuck or (phi[0] <= least * (1 + 1e-9) and slope[0] < 0)
        stuck = stuck or least == most
        free = slice(1, None) if stuck else slice(None)
        step = np.zeros_like(phi)
        step[free] = _newton_step(bend[free, free], slope[free])
        gain = float(slope[free] @ step[free])
        last = gain < 1e-10 * (1 + abs(value))
        reach = min(most, 5 * phi[0]) if step[0] > 0 else max(least, 0.2 * phi[0])
        size = 1.0 if phi[0] + step[0] == phi[0] else min(1.0, (reach - phi[0]) / step[0])
        while size > 1e-12:
            trial = phi + size * step
            new = log_likelihood(law, lives, basis @ trial + offset)
            if np.isfinite(new[0]) and new[0] >= value + 1e-4 * size * gain - 1e-12 * abs(value):
                break
            size /= 2
        else:
            break
        phi, (value, gradient, hessian) = trial, new
        if last:  # one full step past the tolerance: Newton squares the error
            break
    at_bound = bool(phi[0] >= most * (1 - 1e-9) or phi[0] <= least * (1 + 1e-9))
    return basis @ phi + offset, value, at_bound


def _within_reach(lives, basis, offset, phi):
    """The start with a scatter so wide that no life stands far out.

    Far out on the extreme value law Newton's steps are one unit of z each, and z may be 1000.
    """
    theta = basis @ phi + offset
    ends = np.r_[lives.low, lives.high]
    group = np.r_[lives.group, lives.group]
    known = np.isfinite(ends)
    far = np.abs(theta[0] * ends[known] - theta[1:][group[known]]).max()
    return phi * min(1.0, 3.0 / far) if far > 0 else phi


def _newton_step(bend, slope):
    """Step uphill; a ridge where the likelihood is flat in some direction."""
    scale = np.sqrt(np.maximum(-np.diag(bend), 1e-12))
    scaled = -bend / np.outer(scale, scale)
    ridge = 1e-10
    while True:
        try:
            root = np.linalg.cholesky(scaled + ridge * np.eye(len(scale)))
        except np.linalg.LinAlgError:
            ridge *= 100
            continue
        return np.linalg.solve(root.T, np.linalg.solve(root, slope / scale)) / scale


def _start(law, lives, groups):
    """Theta from the middles of the intervals, with a generous scatter: uphill is then easy."""
    middle = np.where(np.isfinite(lives.low), lives.low, lives.high)
    both = np.isfinite(lives.low) & np.isfinite(lives.high)
    middle = np.where(both, (lives.low + np.where(both, lives.high, 0.0)) / 2, middle)
    total = np.bincount(lives.group, weights=lives.weight, minlength=groups)
    sums = np.bincount(lives.group, weights=lives.weight * middle, minlength=groups)
    mean = sums / np.maximum(total, 1e-300)
    scatter = np.sqrt(lives.weight @ (middle - mean[lives.group]) ** 2 / lives.weight.sum())
    sigma = float(np.clip(scatter, 0.3, 5.0))
    return np.r_[1 / sigma, (mean - sigma * law.median) / sigma]
