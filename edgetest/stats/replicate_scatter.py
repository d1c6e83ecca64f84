"""Random-effects means of groups (normal-normal meta-analysis) with a prior of the scatter.

Each replicate (a blade) has an estimate with a known covariance, and differs from its group
(a heat treatment) by a scatter that few replicates hardly show. The scatter has a log-normal
prior and is integrated out, so there is one rule for every number of replicates and no test
beforehand of whether they differ.
"""

from dataclasses import dataclass
from functools import cache
from math import inf, pi, sqrt

import numpy as np
from scipy.special import chdtri, ndtr, ndtri

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.regression import NORMAL_DF

# Gauss-Legendre nodes in the probability of the scatter, and of the variance within replicates:
# twice as many move an end of an interval by less than 1 % of its width.
SCATTERS, VARIANCES = 20, 12
SETTLED = 1e-15  # a step so small, as a share of the reach, that no digit moves any more
SQRT_2PI = sqrt(2 * pi)
LEAST_REPLICATES = 2  # one replicate of a group says nothing of the group


@dataclass(frozen=True)
class UsualScatter:
    """Log-normal prior of the standard deviation between replicates: median, and sd of its log."""

    median: float
    log_sd: float

    def points(self, count=SCATTERS):
        """Values of the standard deviation and their weights, shape (count,) each."""
        share, weight = shares(count)
        return self.median * np.exp(self.log_sd * ndtri(share)), weight


@cache
def shares(count):
    """Gauss-Legendre nodes and weights on 0 to 1, at which a quantile function is summed."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    found = (nodes + 1) / 2, weights / 2
    for each in found:
        each.flags.writeable = False
    return found


@dataclass(frozen=True)
class Mixture:
    """A quantity as a mixture of normals: weights, means and standard deviations, shape (m,)."""

    weight: np.ndarray
    mean: np.ndarray
    sd: np.ndarray

    def below(self, value):
        """Probability of less than `value`."""
        return float(self.weight @ ndtr((value - self.mean) / self.sd))

    def quantile(self, share):
        """The value that a share of the probability lies below: Newton's steps inside brackets."""
        reach = 40 * self.sd.max()
        low, high = float(self.mean.min() - reach), float(self.mean.max() + reach)
        at = float(self.weight @ (self.mean + ndtri(share) * self.sd))
        for _ in range(200):
            far = (at - self.mean) / self.sd
            off = float(self.weight @ ndtr(far)) - share
            low, high = (at, high) if off < 0 else (low, at)
            steep = float((self.weight / self.sd) @ np.exp(-(far**2) / 2)) / SQRT_2PI
            best = at - off / steep if steep > 0 else inf
            best = best if low < best < high else (low + high) / 2
            if abs(best - at) <= SETTLED * max(abs(best), reach) or best in (low, high):
                return best
            at = best
        return at

    def ends(self, level):
        """Centre, and the ends of the interval with equal tails."""
        centre = float(self.weight @ self.mean)
        return centre, self.quantile((1 - level) / 2), self.quantile((1 + level) / 2)

    def factor(self, unit, level, method):
        """Its exponential, as an `Estimate`."""
        value, low, high = np.exp(self.ends(level)).tolist()
        return Estimate(value, low, high, unit, level, method)


@dataclass(frozen=True)
class GroupMeans:
    """Means of the groups on the scale of the estimates, for each scatter that may be.

    `means` has shape (m, g), `covs` (m, g, g), `weight` (m,); `scatter` is the posterior
    median of the standard deviation between replicates.
    """

    groups: tuple[str, ...]
    replicates: tuple[int, ...]
    weight: np.ndarray
    means: np.ndarray
    covs: np.ndarray
    scatter: float

    def contrast(self, weights):
        """A contrast of the groups' means."""
        weights = np.asarray(weights, dtype=float)
        variance = np.einsum("i,mij,j->m", weights, self.covs, weights)
        return Mixture(self.weight, self.means @ weights, np.sqrt(variance))

    def mean(self, group):
        """The mean of one group."""
        return self.contrast([float(name == group) for name in self.groups])

    def difference(self, first, second):
        """Mean of the first group less that of the second."""
        return self.contrast([float(n == first) - float(n == second) for n in self.groups])


def group_means(value, cov, group, usual, *, df=np.inf):
    """Means of groups of replicates whose scatter has a prior: y ~ N(X m, f V + t² I).

    Here y are the replicates' estimates, V their covariance, known up to a factor f; X says
    which replicate belongs to which group, m are the groups' means, and t is the standard
    deviation between replicates of a group.

    Parameters
    ----------
    value : array_like, shape (n,)
        Estimate of each replicate, on the scale on which replicates scatter evenly (log).
    cov : array_like, shape (n, n)
        Covariance V of these estimates within the replicates.
    group : sequence of str, length n
        Group of each replicate.
    usual : UsualScatter
        Prior of t, the standard deviation between replicates of a group.
    df : float
        Degrees of freedom behind the size of `cov` (its factor f); infinite: it is known.

    Returns
    -------
    GroupMeans
        Groups in the order of their first replicate. Flat prior of the means; the scatter is
        weighed by its prior and the restricted likelihood.

    Raises
    ------
    UnusableInput
        If a group has fewer than two replicates.

    References
    ----------
    .. [1] J. P. T. Higgins, S. G. Thompson, D. J. Spiegelhalter, "A re-evaluation of
       random-effects meta-analysis", J. R. Statist. Soc. A 172 (2009) 137-159.
    """
    value, cov = np.asarray(value, dtype=float), np.asarray(cov, dtype=float)
    names = tuple(dict.fromkeys(group))
    design = np.array([[float(own == name) for name in names] for own in group])
    replicates = tuple(int(count) for count in design.sum(axis=0))
    if min(replicates) < LEAST_REPLICATES:
        what = f"{names[replicates.index(min(replicates))]} has one replicate"
        raise UnusableInput(what, "groups", "test two or more of each")
    (scatter, weight), (share, rest) = usual.points(), shares(VARIANCES)
    factor = df / chdtri(df, share) if df < NORMAL_DF else np.ones(VARIANCES)
    scatter, factor = np.repeat(scatter, VARIANCES), np.tile(factor, SCATTERS)
    prior = np.outer(weight, rest).ravel()
    # V = Q L Q': in the turned axes every total covariance is diagonal.
    own, turn = np.linalg.eigh(cov)
    total = factor[:, None] * own + scatter[:, None] ** 2
    design, turned = turn.T @ design, turn.T @ value
    covs = np.linalg.inv((design.T / total[:, None, :]) @ design)
    means = np.squeeze(covs @ ((turned / total) @ design)[..., None], axis=-1)
    left = turned - means @ design.T
    square = (left**2 / total).sum(axis=1)
    log_weight = (np.linalg.slogdet(covs)[1] - np.log(total).sum(axis=1) - square) / 2
    weight = prior * np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    order = np.argsort(scatter)
    middle = scatter[order][np.searchsorted(np.cumsum(weight[order]), 0.5)]
    return GroupMeans(names, replicates, weight, means, covs, float(middle))
