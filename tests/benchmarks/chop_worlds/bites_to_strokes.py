"""How many blows until bites of uneven size have gone through? First passage of gamma bites.

The renewal function of gamma increments: the mean number of hits is 1 + sum over n of
P(Gamma(n k, 1/k) < x). Strokes are hits and near misses.
"""

from functools import cache

import numpy as np
from scipy.special import gammainc


@cache
def table_of_hits(shape):
    """Bites needed, and the mean number of hits that they take, for bites of this gamma shape."""
    needed = np.concatenate([np.linspace(0.0, 12.0, 121), np.linspace(12.5, 60.0, 96)])
    n = np.arange(1, int(60 * 2 + 40 / shape + 60))
    hits = 1 + gammainc(n[None, :] * shape, needed[:, None] * shape).sum(axis=1)
    return needed, hits


def mean_hits(needed, shape):
    """Mean number of hits for `needed` bites; linear beyond the table, as renewal theory says."""
    x, hits = table_of_hits(shape)
    beyond = needed + (1 + 1 / shape) / 2
    return np.where(needed > x[-1], beyond, np.interp(needed, x, hits))


def draw_hits(needed, shape, rng):
    """Hits until gamma bites of mean 1 reach `needed`; at least 1."""
    total, hits = 0.0, 0
    while True:
        steps = rng.gamma(shape, 1 / shape, size=int(1.5 * max(needed - total, 1)) + 12)
        sums = total + np.cumsum(steps)
        reached = np.searchsorted(sums, needed)
        if reached < len(sums):
            return hits + int(reached) + 1
        total, hits = float(sums[-1]), hits + len(sums)
