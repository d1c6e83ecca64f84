"""Whole counts that scatter about a mean: log-normal regression, groups at random, ends open.

Log of the count ~ normal about design @ params + the effect of its group, standard deviation s;
groups ~ normal, standard deviation t. A count of y is known to lie between y - 1/2 and y + 1/2,
one that was broken off only from below. Given s and t the penalised likelihood is concave and
Newton's method finds its summit; the two are weighed over a grid by Laplace's method.

References
----------
.. [1] L. Tierney, J. B. Kadane, "Accurate approximations for posterior moments and marginal
   densities", J. Am. Stat. Assoc. 81 (1986) 82-86.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.censoring import normal_log_between

_STEPS, _SETTLED = 60, 1e-9
_GRID = np.linspace(-2.5, 2.5, 9)  # of log s and of log t, in standard deviations of their prior
_CHANCES = (np.arange(201) + 0.5) / 201  # of the normal about each place of the grid
_SMALL = 60  # below it the mean of whole counts is summed, above it is the log-normal's
_LOG_ROOT = 0.5 * np.log(2 * np.pi)


@dataclass(frozen=True)
class UsualSd:
    """Log-normal prior of a standard deviation on the log scale: its middle, and how sure."""

    middle: float
    log_sd: float = 0.5


@dataclass(frozen=True)
class WholeCounts:
    """Counts as the regression takes them, one element a count.

    Parameters
    ----------
    count : ndarray (n,)
        As counted.
    broken_off : ndarray of bool (n,)
        Where more would have been counted.
    group : ndarray of int (n,)
        Group of each count, from 0 (a board); those of one group share its effect.
    """

    count: np.ndarray
    broken_off: np.ndarray
    group: np.ndarray


@dataclass(frozen=True)
class CountPosterior:
    """Coefficients at every place of the grid, and how much each place weighs.

    Parameters
    ----------
    weight : ndarray (G,)
    params : ndarray (G, k)
    cov : ndarray (G, k, k)
    within, between : ndarray (G,)
        s and t of the place.
    """

    weight: np.ndarray
    params: np.ndarray
    cov: np.ndarray
    within: np.ndarray
    between: np.ndarray

    def mean_count(self, contrast, *, extra_sd=0.0, level=0.95, unit="", method=""):
        """Mean of whole counts for a row of the design, over groups drawn anew.

        Parameters
        ----------
        contrast : array_like (k,)
        extra_sd : float
            Standard deviation on the log scale of what the data know nothing of.
        level : float
        unit, method : str

        Returns
        -------
        Estimate
            Median and equal-tailed interval.
        """
        middle, sd = self._along(contrast, extra_sd)
        logs = middle[:, None] + sd[:, None] * ndtri(_CHANCES)
        spread = np.hypot(self.within, self.between)
        return self._estimate(mean_of_counts(logs, spread[:, None]), level, unit, method)

    def coefficient(self, contrast, *, level=0.95, unit="", method=""):
        """A contrast of coefficients itself, with its interval."""
        middle, sd = self._along(contrast, 0.0)
        values = middle[:, None] + sd[:, None] * ndtri(_CHANCES)
        return self._estimate(values, level, unit, method)

    def _along(self, contrast, extra_sd):
        contrast = np.asarray(contrast, float)
        variance = np.einsum("i,gij,j->g", contrast, self.cov, contrast) + extra_sd**2
        return self.params @ contrast, np.sqrt(np.maximum(variance, 0.0))

    def _estimate(self, values, level, unit, method):
        weight = np.broadcast_to(self.weight[:, None] / values.shape[1], values.shape).ravel()
        order = np.argsort(values, axis=None)
        reached = np.cumsum(weight[order]) - weight[order] / 2
        chances = [0.5, (1 - level) / 2, (1 + level) / 2]
        value, low, high = np.interp(chances, reached, values.ravel()[order]).tolist()
        return Estimate(value, low, high, unit, level, method)


def mean_of_counts(log_middle, spread):
    """Mean of a log-normal value rounded to a whole number of 1 or more."""
    log_middle, spread = np.broadcast_arrays(np.asarray(log_middle, float), spread)
    plain = np.exp(np.minimum(log_middle + spread**2 / 2, 700.0))
    small = plain < _SMALL / 4
    if small.any():
        ends = np.log(np.arange(1, _SMALL) + 0.5)
        beyond = ndtr((log_middle[small][:, None] - ends) / spread[small][:, None])
        plain = np.where(small, 0.0, plain)
        np.place(plain, small, 1 + beyond.sum(axis=-1))
    return plain


def fit_whole_counts(design, counts, *, prior, within, between):
    """The regression, at every place of the grid of both standard deviations.

    Parameters
    ----------
    design : array_like (n, k)
    counts : WholeCounts
    prior : NormalPrior
        Of the k coefficients.
    within, between : UsualSd
        Priors of s and t; a grid of one place where log_sd is 0.

    Returns
    -------
    CountPosterior

    Raises
    ------
    UnusableInput
        If the design does not tell its coefficients apart.
    """
    design = np.atleast_2d(np.asarray(design, float))
    k = design.shape[1]
    members = np.eye(int(counts.group.max()) + 1)[counts.group]
    full = np.hstack([design, members])
    s, t, log_prior = scatters(within, between)
    mean = np.concatenate([prior.mean, np.zeros(members.shape[1])])
    own = np.broadcast_to(1 / prior.sd**2, (len(s), k))
    precision = np.hstack([own, np.repeat(t[:, None] ** -2, members.shape[1], axis=1)])
    params, bend, summit = _summits(full, ends_of(counts), s, mean, precision)
    sign, log_det = np.linalg.slogdet(bend)
    if not (sign > 0).all():
        what = "the pieces do not tell the blades, woods and sizes apart"
        raise UnusableInput(what, "chops", "sever more pieces")
    # Of the priors only what changes over the grid counts: the groups' precision.
    log_weight = summit - log_det / 2 - members.shape[1] * np.log(t) + log_prior
    weight = np.exp(log_weight - log_weight.max())
    cov = np.linalg.inv(bend)[:, :k, :k]
    return CountPosterior(weight / weight.sum(), params[:, :k], cov, s, t)


def scatters(within, between):
    """Grid of s and t (G,) with the log density of their priors."""
    steps = [_GRID if one.log_sd > 0 else np.zeros(1) for one in (within, between)]
    first, second = (one.ravel() for one in np.meshgrid(*steps, indexing="ij"))
    s = within.middle * np.exp(within.log_sd * first)
    t = between.middle * np.exp(between.log_sd * second)
    return s, t, -(first**2 + second**2) / 2


def ends_of(counts):
    """Between which logs each count lies, (n,) both; one of 1 has no lower end."""
    low = np.where(counts.count > 1, counts.count - 0.5, 0.0)
    low = np.where(counts.broken_off, counts.count + 0.5, low)
    high = np.where(counts.broken_off, np.inf, counts.count + 0.5)
    with np.errstate(divide="ignore"):
        return np.log(low), np.log(high)


def _summits(design, ends, s, mean, precision):
    """Newton's method at every place: summit (G, k), curvature (G, k, k), height (G,)."""
    start = np.log(np.where(np.isfinite(ends[1]), np.exp(ends[1]) - 0.5, np.exp(ends[0]) * 1.2))
    ridge = design.T @ design + 0.1 * np.eye(design.shape[1])
    params = np.tile(np.linalg.solve(ridge, design.T @ start + 0.1 * mean), (len(s), 1))
    height, gradient, bend = _height(design, ends, s, params, mean, precision)
    for _ in range(_STEPS):
        step = np.linalg.solve(bend + 1e-9 * np.eye(len(mean)), gradient[..., None])[..., 0]
        gain = np.einsum("gi,gi->g", gradient, step)
        if (gain < _SETTLED).all():
            break
        size = np.ones(len(s))
        for _ in range(40):
            trial = params + size[:, None] * step
            new = _height(design, ends, s, trial, mean, precision)
            short = ~(new[0] >= height - 1e-9)
            if not short.any():
                break
            size = np.where(short, size / 2, size)
        params, (height, gradient, bend) = trial, new
    return params, bend, height


def _height(design, ends, s, params, mean, precision):
    """Penalised log-likelihood (G,), its gradient and the Hessian's negative."""
    low, high = ((end - params @ design.T) / s[:, None] for end in ends)
    log_chance = normal_log_between(low, high)
    pull_low, pull_high = (_share(z, log_chance) for z in (low, high))
    slope = pull_low - pull_high
    z_low, z_high = (np.where(np.isfinite(z), z, 0.0) for z in (low, high))
    curve = np.maximum(pull_high * z_high - pull_low * z_low + slope**2, 1e-9)
    off = params - mean
    value = log_chance.sum(axis=1) - (precision * off**2).sum(axis=1) / 2
    gradient = (slope / s[:, None]) @ design - precision * off
    bend = np.einsum("gn,ni,nj->gij", curve / s[:, None] ** 2, design, design, optimize=True)
    diagonal = np.arange(design.shape[1])
    bend[:, diagonal, diagonal] += precision
    return value, gradient, bend


def _share(z, log_chance):
    """Normal density at an end, over the chance between the ends; none at an open end."""
    inner = np.where(np.isfinite(z), z, 0.0)
    return np.where(
        np.isfinite(z), np.exp(np.minimum(-0.5 * inner**2 - _LOG_ROOT - log_chance, 300.0)), 0.0
    )
