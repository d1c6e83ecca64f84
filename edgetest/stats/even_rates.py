"""Do counts on several exposures come of one rate? Pearson's sum, exact where counts are few."""

from itertools import combinations
from math import comb

import numpy as np
from scipy.special import chdtrc, gammaln

MOST_WAYS = 50_000  # of sharing the total out that are gone through; beyond it chi-square


def p_of_one_rate(count, exposure):
    """Chance of counts as uneven as these, or more, where one rate holds for all.

    Parameters
    ----------
    count : array_like of int, shape (n,)
        Not all 0.
    exposure : array_like, shape (n,)
        Above 0.

    Returns
    -------
    float
        Given their sum the counts are multinomial [1]_: every way to share it out is weighed
        where these are few; of many, Pearson's sum is taken for chi-square.

    References
    ----------
    .. [1] A. Agresti, Categorical Data Analysis, 3rd ed. (2013), chapter 1; from memory.
    """
    count, share = np.asarray(count, float), np.asarray(exposure, float)
    share = share / share.sum()
    total, groups = int(count.sum()), len(count)
    seen = _pearson(count[None], share, total)[0]
    ways = comb(total + groups - 1, groups - 1)
    if ways > MOST_WAYS:
        return float(chdtrc(groups - 1, seen))
    bars = np.array(list(combinations(range(total + groups - 1), groups - 1)))
    edges = np.hstack([np.full((ways, 1), -1), bars, np.full((ways, 1), total + groups - 1)])
    shared = np.diff(edges, axis=1) - 1.0
    log_chance = gammaln(total + 1) - gammaln(shared + 1).sum(axis=1) + shared @ np.log(share)
    uneven = _pearson(shared, share, total) >= seen * (1 - 1e-9)
    return float(min(np.exp(log_chance[uneven]).sum(), 1.0))


def _pearson(counts, share, total):
    """Pearson's sum of each row."""
    expected = total * share
    return ((counts - expected) ** 2 / expected).sum(axis=1)
