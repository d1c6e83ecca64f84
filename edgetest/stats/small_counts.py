"""Mean of whole counts so small that their rounding hides how they scatter: 1, 2, 3 strokes.

The model is that of `whole_counts`: log of a count ~ normal about the mean and its group's effect,
a count of y known to lie between y - 1/2 and y + 1/2, one of 1 from below 1 1/2. Where the rounding
is wider than the scatter the likelihood is no hill, and no normal fits it: here it is summed
over the mean and over the groups' effects (Gauss-Hermite), flat in the log of the mean *count*.
A mean count is never below 1, so this prior is proper where every count is 1.
Where all counts are 1 the upper end is at least the mean of which so many ones have half the chance
that the level leaves [1]_.

References
----------
.. [1] C. J. Clopper, E. S. Pearson, "The use of confidence or fiducial limits illustrated in the
   case of the binomial", Biometrika 26 (1934) 404-413.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp, ndtr

from edgetest.estimate import Estimate
from edgetest.stats.whole_counts import ends_of, mean_of_counts

_NODES, _HERMITE = np.polynomial.hermite_e.hermegauss(11)
_HERMITE = _HERMITE / _HERMITE.sum()
_LOW, _BEYOND, _STEP = -2.0, 2.5, 0.07  # of the log mean: below 1, and above the largest count


@dataclass(frozen=True)
class SmallCounts:
    """What some small counts say of their mean, at every place of a grid of both scatters.

    Parameters
    ----------
    log_mean : ndarray (J,)
        Middle of the log counts.
    log_chance : ndarray (G, J)
        Log of the likelihood at that middle, groups summed over.
    within, between : ndarray (G,)
        Standard deviations of pieces and of groups, on the log scale.
    all_one : bool
        Whether every count is 1.
    """

    log_mean: np.ndarray
    log_chance: np.ndarray
    within: np.ndarray
    between: np.ndarray
    all_one: bool

    def evidence(self):
        """Chance of the counts under each pair of scatters (G,), up to one factor."""
        return (self._chance() * self._prior(self._means())).sum(axis=1)

    def mean_count(self, weight, *, extra_sd=0.0, level=0.95, unit="", method=""):
        """Median and equal-tailed interval of the mean count.

        Parameters
        ----------
        weight : ndarray (G,)
            Of the pairs of scatters, these counts included.
        extra_sd : float
            Standard deviation on the log scale of what the counts know nothing of.
        level : float
        unit, method : str

        Returns
        -------
        Estimate
        """
        told = self._chance() * self._prior(self._means())
        every = told.sum(axis=1)  # none of a scatter too small for such counts: it weighs nothing
        told *= np.divide(weight, every, out=np.zeros_like(every), where=every > 0)[:, None]
        spread = np.hypot(self.within, self.between)[:, None]
        shifted = [mean_of_counts(self.log_mean + extra_sd * node, spread) for node in _NODES]
        values = np.stack(shifted, axis=-1)
        shares = told[..., None] * _HERMITE
        order = np.argsort(values, axis=None)
        reached = np.cumsum(shares.ravel()[order]) - shares.ravel()[order] / 2
        chances = [0.5, (1 - level) / 2, (1 + level) / 2]
        value, low, high = np.interp(chances, reached, values.ravel()[order]).tolist()
        if self.all_one:
            low, high = 1.0, max(high, self._most(weight, values, (1 - level) / 2))
        return Estimate(value, low, high, unit, level, method)

    def _chance(self):
        """Up to one factor, so that hundreds of counts are still told."""
        return np.exp(self.log_chance - self.log_chance.max())

    def _means(self):
        return mean_of_counts(self.log_mean, np.hypot(self.within, self.between)[:, None])

    def _prior(self, means):
        """Flat in the log of the mean count."""
        return np.gradient(np.log(means), axis=1)

    def _most(self, weight, values, share):
        """The mean count under which so many ones have this chance."""
        chance = weight @ np.exp(self.log_chance)
        place = np.interp(-share, -chance, np.arange(len(chance)))
        means = np.einsum("g,gjh,h->j", weight, values, _HERMITE)
        return float(np.interp(place, np.arange(len(means)), means))


def small_counts(counts, within, between):
    """Likelihood of the mean of some counts.

    Parameters
    ----------
    counts : WholeCounts
    within, between : array_like (G,)
        Pairs of standard deviations, on the log scale.

    Returns
    -------
    SmallCounts
    """
    within, between = np.asarray(within, float), np.asarray(between, float)
    highest = np.log(counts.count.max() + 0.5) + _BEYOND
    log_mean = np.linspace(_LOW, highest, int(np.ceil((highest - _LOW) / _STEP)) + 1)
    middle = log_mean[None, :, None] + between[:, None, None] * _NODES  # (G, J, H)
    log_chance = np.zeros((len(within), len(log_mean)))
    for alike, times in _groups(counts).items():
        together = np.zeros(middle.shape)
        for (low, high), pieces in alike:
            below, above = ((end - middle) / within[:, None, None] for end in (low, high))
            with np.errstate(divide="ignore"):  # no chance at all under so small a scatter
                together += pieces * np.log(ndtr(above) - ndtr(below))
        log_chance += times * logsumexp(together, axis=-1, b=_HERMITE)
    all_one = bool((counts.count == 1).all() and not counts.broken_off.any())
    return SmallCounts(log_mean, log_chance, within, between, all_one)


def _groups(counts):
    """How often each group occurs, as pairs of ends and how many pieces have them."""
    ends = list(zip(*(end.tolist() for end in ends_of(counts)), strict=True))
    of_groups = defaultdict(list)
    for group, pair in zip(counts.group.tolist(), ends, strict=True):
        of_groups[group].append(pair)
    return Counter(tuple(sorted(Counter(pairs).items())) for pairs in of_groups.values())
