"""How do groups within groups scatter: generalised confidence limits of a variance between them."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

SHARES = (np.arange(80) + 0.5) / 80  # quantiles that stand for a distribution
STEPS = 45  # halvings of a variance's bracket
LARGEST = 100.0  # of a variance of logs: beyond any that is met


@dataclass(frozen=True)
class NestedScatter:
    """Standard deviations within groups and between them, each with its interval.

    Attributes
    ----------
    within, within_low, within_high : float
    between, between_low, between_high : float
    df_within, df_between : int
    """

    within: float
    within_low: float
    within_high: float
    between: float
    between_low: float
    between_high: float
    df_within: int
    df_between: int


def nested_scatter(sizes, squares, left, df, level=0.95, *, fewer=1.0, fewer_within=None):
    """Variance components of groups and of what lies within them, unequal groups allowed.

    Parameters
    ----------
    sizes : array_like, shape (n,)
        How much of the variance between groups each contrast of groups holds, above 0.
    squares : array_like, shape (n,)
        Squares of those contrasts; each expects the variance within plus `sizes` times that
        between, and is normal.
    left : float
        Sum of squares within groups.
    df : int
        Its degrees of freedom.
    level : float
    fewer : float
        Share of the degrees of freedom that tails heavier than the normal's leave to the limits.
    fewer_within : float, optional
        The same of what lies within groups; `fewer` if not given.

    Returns
    -------
    NestedScatter or None
        None where there is no contrast of groups or nothing within them. The variance between
        is the one that makes the weighted sum of squares what it expects; its limits are those
        of its generalised pivot [1]_, for unequal groups [2]_.

    References
    ----------
    .. [1] S. Weerahandi, "Generalized confidence intervals", J. Am. Stat. Assoc. 88 (1993) 899.
    .. [2] D. A. Harville, A. P. Fenech, "Confidence intervals for a variance ratio, or for
       heritability, in an unbalanced mixed linear model", Biometrics 41 (1985) 137.
    """
    sizes, squares = np.asarray(sizes, float), np.asarray(squares, float)
    n = len(sizes)
    if n == 0 or df < 1 or left <= 0:
        return None
    tail = (1 - level) / 2
    within = left / df
    own = fewer if fewer_within is None else fewer_within
    low, high = left * own / chi2.ppf((1 - tail, tail), df * own)
    drawn = left * own / chi2.ppf(SHARES, df * own)
    between = _where(sizes, squares, np.array([within]), np.array([float(n)]))[0, 0]
    pivots = _where(sizes, squares, drawn, chi2.ppf(SHARES, n * fewer) / fewer)
    ends = np.quantile(pivots, (tail, 1 - tail), method="hazen")  # each stands for its middle
    within, low, high, between, least, most = np.sqrt([within, low, high, between, *ends]).tolist()
    return NestedScatter(within, low, high, between, least, most, int(df), n)


def _where(sizes, squares, within, sums):
    """The variance between at which the weighted sum of squares is each of some values."""
    shape = (len(within), len(sums))
    low, high = np.zeros(shape), np.full(shape, LARGEST)
    at = within[:, None, None]

    def total(between):
        return (squares / (at + between[..., None] * sizes)).sum(axis=-1)

    none = total(low) <= sums
    for _ in range(STEPS):
        middle = (low + high) / 2
        above = total(middle) > sums
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return np.where(none, 0.0, (low + high) / 2)
