"""Groups of lives of which some are only bounds: blades stopped before the limit.

Log lives are normal; the means have a flat prior and the scatter one of 1/sigma, with which
lives that are all known give exactly the t interval. A bound enters as the chance to last
at least so long, so the interval opens upwards as it must.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import log_ndtr, ndtr

_SCALES, _POINTS, _SHIFTS = 64, 101, 241


@dataclass(frozen=True)
class GroupPosterior:
    """Mean of one group's log lives, for each of a row of scatters.

    `mean` and `weight` have shape (scales, points): the weights of a scatter sum to 1;
    `log_mass` (scales,) is what the data say of the scatter itself.
    """

    sigma: np.ndarray
    mean: np.ndarray
    weight: np.ndarray
    log_mass: np.ndarray

    @cached_property
    def share(self):
        """Posterior weight of each scatter from this group alone, prior 1/sigma."""
        return _normalised(self.log_mass)

    @property
    def sd(self):
        """Median scatter."""
        return float(np.exp(np.interp(0.5, _middle(self.share), np.log(self.sigma))))

    def quantile(self, probability):
        """Quantile of the group's mean, scatter averaged out."""
        order = np.argsort(self.mean, axis=None)
        below = _middle((self.weight * self.share[:, None]).ravel()[order])
        return np.interp(probability, below, self.mean.ravel()[order])


def _middle(weight):
    """Distribution function at the points that carry `weight`, half of their own counted."""
    return np.cumsum(weight, axis=-1) - weight / 2


def _normalised(log_mass):
    """Weights that sum to 1; the grid of scatters is even in log, which is the 1/sigma prior."""
    mass = np.exp(log_mass - log_mass.max())
    return mass / mass.sum()


def group_posterior(log_life, censored, sigma):
    """Grid posterior (1/sigma prior) of a group's mean log life under censoring.

    Parameters
    ----------
    log_life : array_like, shape (n,)
    censored : array_like of bool, shape (n,)
        True for a bound from below; at least one false.
    sigma : ndarray, shape (scales,)
        Blade-to-blade standard deviations, even in log.
    """
    exact, bound = log_life[~censored], log_life[censored]
    n, centre = len(exact), exact.mean()
    # The bounds can pull the mean up to about where it would be if they were lives.
    top = max(centre, log_life.mean())
    reach = 8 * sigma / np.sqrt(n)
    position = np.linspace(0, 1, _POINTS)
    mean = (centre - reach)[:, None] + position * (top - centre + 2 * reach)[:, None]
    log_density = -0.5 * n * ((mean - centre) / sigma[:, None]) ** 2
    for limit in bound:
        log_density += log_ndtr((mean - limit) / sigma[:, None])
    peak = log_density.max(axis=1, keepdims=True)
    density = np.exp(log_density - peak)
    total = density.sum(axis=1)
    step = (top - centre + 2 * reach) / (_POINTS - 1)
    scatter = ((exact - centre) ** 2).sum()
    log_mass = peak[:, 0] + np.log(total * step) - n * np.log(sigma) - scatter / (2 * sigma**2)
    return GroupPosterior(sigma, mean, density / total[:, None], log_mass)


def scale_grid(groups):
    """Scatters worth trying, from the spread of lives and bounds about their means."""
    spread = np.sqrt(
        sum(((x - x.mean()) ** 2).sum() for x in groups) / sum(len(x) - 1 for x in groups)
    )
    spread = max(float(spread), 1e-6)
    return np.geomspace(spread / 12, spread * 150, _SCALES)


@dataclass(frozen=True)
class BoundedContrast:
    """Second group minus first where bounds are among the lives; reads like a `Contrast`."""

    difference: float
    stderr: float  # half of the central 68.3 % interval
    df: float
    shift: np.ndarray  # grid of differences
    below: np.ndarray  # chance that the difference is below
    method: str

    def limits(self, level, family):
        """Interval of the difference; a family of comparisons by Sidak's bound."""
        tail = (1 - level ** (1 / family.size)) / 2
        return tuple(np.interp([tail, 1 - tail], self.below, self.shift).tolist())

    def probability_above(self, shift=0.0):
        """Chance that the difference is above `shift`."""
        return float(1 - np.interp(shift, self.shift, self.below))


def bounded_contrast(first, second, *, one_scatter):
    """Contrast of two groups with bounds among their lives.

    Parameters
    ----------
    first, second : tuple of (log_life, censored)
        At least one life that is no bound in each, and two lives or bounds in each.
    one_scatter : bool
        Both groups share a scatter (balanced designs) or each has its own.

    Returns
    -------
    BoundedContrast
    """
    sigma = scale_grid([first[0], second[0]])
    a = group_posterior(first[0], first[1], sigma)
    b = group_posterior(second[0], second[1], sigma)
    if one_scatter:
        share = _normalised(a.log_mass + b.log_mass)
        rows = np.flatnonzero(share > 1e-7)
        parts = [(share[k], a.mean[k], a.weight[k], b.mean[k], b.weight[k]) for k in rows]
        df = (~first[1]).sum() + (~second[1]).sum() - 2
    else:
        at = np.linspace(-4.5, 4.5, 181)
        weight = np.diff(ndtr(np.r_[-9.0, (at[1:] + at[:-1]) / 2, 9.0]))
        parts = [(1.0, a.quantile(ndtr(at)), weight, b.quantile(ndtr(at)), weight)]
        df = min((~first[1]).sum(), (~second[1]).sum()) - 1
    centre = b.quantile(0.5) - a.quantile(0.5)
    spread = np.hypot(*(np.diff(g.quantile([0.16, 0.84]))[0] / 2 for g in (a, b)))
    shift = centre + spread * np.sinh(np.linspace(-6, 6, _SHIFTS))
    below = sum(share * _difference_below(shift, *part) for share, *part in parts)
    below = np.maximum.accumulate(below)
    low, middle, high = np.interp([0.1587, 0.5, 0.8413], below, shift)
    method = "lognormal with bounds"
    return BoundedContrast(
        float(middle), float(high - low) / 2, float(max(df, 1)), shift, below, method
    )


def _difference_below(shift, first, first_weight, second, second_weight):
    """Chance that second less first is below each `shift`, both given on points."""
    reach = shift[:, None] + first
    below = np.interp(reach.ravel(), second, _middle(second_weight), left=0.0, right=1.0)
    return below.reshape(reach.shape) @ first_weight
