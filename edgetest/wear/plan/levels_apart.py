"""Are repeated readings of one edge, or of edges of clearly different size?"""

import numpy as np
from scipy.special import fdtrc

# A gap between two groups of readings is clear where it exceeds so many standard deviations
# within them: fewer than 1 % of 3,000 made-up sets of 4 to 60 normal readings have such a gap
# (1.5 + 240 / n² follows the 99 % points that were simulated: 15.6 at 4, 5.2 at 8, 2.1 at 20).
GAP, GAP_FEW = 1.5, 240.0
FACTOR = 1.3  # in mean, below which groups count as one size; own choice
DIFFERS = 0.01  # chance below which two levels' scatters differ


def sizes_apart(value):
    """Means of two groups that readings fall into, where a clear gap parts them.

    Parameters
    ----------
    value : array_like, shape (n,)
        Readings, above 0.

    Returns
    -------
    (float, float) or None
        Geometric means of the smaller and the larger group of two readings or more each.
    """
    value = np.asarray(value, dtype=float)
    n = len(value)
    if n < 4 or not (value > 0).all():
        return None
    y = np.sort(np.log(value))
    for k in np.argsort(-np.diff(y)[1 : n - 2])[:3] + 2:  # widest gaps first, two or more a side
        low, high = y[:k], y[k:]
        squares = ((low - low.mean()) ** 2).sum() + ((high - high.mean()) ** 2).sum()
        clear = y[k] - y[k - 1] > (GAP + GAP_FEW / n**2) * np.sqrt(squares / (n - 2))
        if clear and high.mean() - low.mean() > np.log(FACTOR):
            return float(np.exp(low.mean())), float(np.exp(high.mean()))
    return None


def scatter_differs(squares, df):
    """Whether the scatter of the levels differs more than chance lets it (largest F).

    Parameters
    ----------
    squares : array_like, shape (levels,)
        Sums of squares within each level.
    df : array_like, shape (levels,)

    Returns
    -------
    bool
        By the F of the largest to the smallest variance, at 1 % over all pairs (Bonferroni).
    """
    squares, df = np.asarray(squares, dtype=float), np.asarray(df, dtype=float)
    known = df > 0
    if known.sum() < 2:
        return False
    variance, df = squares[known] / df[known], df[known]
    most, least = variance.argmax(), variance.argmin()
    if variance[most] == 0:
        return False
    ratio = variance[most] / variance[least] if variance[least] > 0 else np.inf
    pairs = len(df) * (len(df) - 1)
    return bool(fdtrc(df[most], df[least], ratio) * pairs < DIFFERS)
