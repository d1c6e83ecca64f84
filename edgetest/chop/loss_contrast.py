"""Loss of depth of two heat treatments: difference in percent points and ratio, by quadrature.

A loss is 1 - exp(slope) of log depth per 100 chops. Both slopes are normal for each scatter
between blades that may be, so a chance about the losses is a sum over these and over the
second slope.
"""

from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np
from scipy.optimize import brentq
from scipy.special import chdtri, ndtr

from edgetest.chop.count_results import BladeRatio
from edgetest.chop.treatment_pairs import LOSS_SCATTER, means_of, method_between
from edgetest.estimate import Estimate
from edgetest.stats.regression import NORMAL_DF
from edgetest.stats.replicate_scatter import shares

LOSS = "loss of depth per 100 chops"
POINTS = "percent points of depth per 100 chops"
VARIANCES, SLOPES = 24, 21  # nodes of the variance within blades, and of the second slope
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(SLOPES)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True)
class _Slopes:
    """The two slopes as a mixture of normals: weight (m,), means (m, 2), covs (m, 2, 2)."""

    weight: np.ndarray
    means: np.ndarray
    covs: np.ndarray

    @cached_property
    def _first(self):
        """Of each node of the second slope: the share it loses, the first's centre and its SD."""
        sd = np.sqrt(self.covs[:, 1, 1])[:, None]
        second = self.means[:, 1][:, None] + sd * _NODES
        regress = (self.covs[:, 0, 1] / self.covs[:, 1, 1])[:, None]
        centre = self.means[:, 0][:, None] + regress * (second - self.means[:, 1][:, None])
        left = np.sqrt(self.covs[:, 0, 0] - regress[:, 0] * self.covs[:, 0, 1])[:, None]
        return 1 - np.exp(second), centre, left

    def chance(self, apart, factor):
        """Chance that the first loss is below `apart` + `factor` × the second, losses as shares."""
        lost, centre, left = self._first
        kept = 1 - apart - factor * lost  # the first keeps more than this
        with np.errstate(divide="ignore"):
            above = np.where(kept > 0, np.log(np.maximum(kept, 1e-300)), -inf)
        return float(self.weight @ (ndtr((centre - above) / left) @ _WEIGHTS))

    def middle(self):
        """The two losses at the mixture's mean slopes, as shares."""
        return 1 - np.exp(self.weight @ self.means)


def loss_compared(pair, blades, level):
    """Loss of depth of one heat treatment against another.

    Parameters
    ----------
    pair : TreatmentPair
    blades : BladeValues
        Slopes of log depth per 100 chops.
    level : float
        Coverage of all pairs together.

    Returns
    -------
    BladeRatio
        `difference` in percent points; an end of the ratio is open where the second may lose
        nothing.
    """
    own, each = blades.of((*pair.first_blades, *pair.second_blades)), pair.level(level)
    if pair.replicated:
        means = means_of(pair, own, LOSS_SCATTER)
        order = [means.groups.index(pair.first), means.groups.index(pair.second)]
        slopes = _Slopes(means.weight, means.means[:, order], means.covs[:, order][:, :, order])
        method, scatter = method_between(pair), means.scatter
    else:
        slopes, method, scatter = _of_tools(pair, own), "these tools only", None
    first, second = slopes.middle()
    low, high = (
        100 * _solve(lambda d: slopes.chance(d, 1.0), end, -5.0, 5.0)
        for end in ((1 - each) / 2, (1 + each) / 2)
    )
    return BladeRatio(
        pair.first,
        pair.second,
        LOSS,
        _ratio(slopes, first, second, each, method),
        slopes.chance(0.0, 1.0),
        pair.scope,
        float(sum(pair.sizes) - 2) if pair.replicated else None,
        pair.sizes,
        scatter,
        Estimate(100 * (first - second), low, high, POINTS, each, method),
    )


def _ratio(slopes, first, second, level, method):
    """First loss over second: 0 where the first may lose nothing, open where the second may."""
    tail = (1 - level) / 2
    gains = 1 - slopes.chance(0.0, 0.0), 1 - _turned(slopes).chance(0.0, 0.0)
    low, high = 0.0, inf
    if 1 - gains[0] < tail:
        low = _solve(lambda r: slopes.chance(0.0, r), tail, 0.0, 1e4)
    if 1 - gains[1] < tail:
        high = max(_solve(lambda r: slopes.chance(0.0, r), 1 - tail, 0.0, 1e4), 0.0)
    value = first / second if second > 0 else inf
    return Estimate(max(float(value), low), low, high, "", level, method)


def _turned(slopes):
    """The two slopes the other way round."""
    return _Slopes(slopes.weight, slopes.means[:, ::-1], slopes.covs[:, ::-1, ::-1])


def _of_tools(pair, own):
    """Mean slopes of the tools as they are, with what is not known about their variance."""
    a, b = pair.sizes
    weights = np.zeros((2, a + b))
    weights[0, :a], weights[1, a:] = 1 / a, 1 / b
    share, weight = shares(VARIANCES)
    factor = own.df / chdtri(own.df, share) if own.df < NORMAL_DF else np.ones(VARIANCES)
    cov = weights @ own.cov @ weights.T
    means = np.tile(weights @ own.value, (VARIANCES, 1))
    return _Slopes(weight, means, factor[:, None, None] * cov)


def _solve(rising, share, low, high):
    """Where a chance that rises reaches a share; an end where it does not between them."""
    if rising(low) >= share:
        return low
    if rising(high) < share:
        return high
    return float(brentq(lambda at: rising(at) - share, low, high, xtol=1e-13, rtol=1e-14))
