"""Several contrasts that are to hold jointly: Tukey and Kramer, Dunnett, Sidak."""

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import gammaln, ndtr

from edgetest.stats.contrast import quantile, student_cdf

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(96)
_Z = 8.0 * _NODES
_DENSITY = 8.0 * _WEIGHTS * np.exp(-0.5 * _Z**2) / np.sqrt(2 * np.pi)


def range_coverage(q, groups, df):
    """Chance that the studentized range of `groups` means stays within `q`.

    Double Gauss quadrature; agrees with scipy.stats.studentized_range to 6 digits for
    df from 2 up and 5 digits at df 1, up to 10 groups.
    """
    scale, mass = _scale_nodes(df)
    inner = ndtr(_Z) - ndtr(_Z - (q * scale)[:, None])
    return float(mass @ (groups * (_DENSITY * inner ** (groups - 1)).sum(axis=1)))


def dunnett_coverage(t, shares, df):
    """Chance that all of several groups' t against one common group stay within `t`.

    Parameters
    ----------
    t : float
        Two-sided bound on each difference over its standard error.
    shares : tuple of float
        For each compared group n / (n + n_reference): the square of its loading on the
        reference group's mean, which all comparisons have in common.
    df : float
        Degrees of freedom of the pooled scatter.

    References
    ----------
    .. [1] C. W. Dunnett, "A multiple comparison procedure for comparing several treatments
       with a control", J. Am. Stat. Assoc. 50 (1955) 1096-1121.
    """
    scale, mass = _scale_nodes(df)
    reach = (t * scale)[:, None]
    inside = _DENSITY
    for share, times in Counter(shares).items():  # groups of one size have one integral
        middle, rest = np.sqrt(share) * _Z, np.sqrt(1 - share)
        one = ndtr((reach - middle) / rest) - ndtr((-reach - middle) / rest)
        inside = inside * one**times
    return float(mass @ inside.sum(axis=1))


@lru_cache(maxsize=256)
def studentized_range_quantile(level, groups, df):
    """Quantile of the studentized range; over sqrt(2) it is Tukey and Kramer's multiple."""
    return _solve(lambda q: range_coverage(q, groups, df), level)


@lru_cache(maxsize=256)
def dunnett_quantile(level, shares, df):
    """Two-sided quantile of Dunnett's t; arguments as `dunnett_coverage`."""
    return _solve(lambda t: dunnett_coverage(t, shares, df), level)


@dataclass(frozen=True)
class Family:
    """Comparisons that are to hold jointly: "range" (all pairs), "dunnett" or "sidak".

    `size` is the number of groups for "range" and of comparisons else; "sidak" of size 1 is
    a single t. `shares` as in `dunnett_coverage`.
    """

    kind: str
    size: int
    shares: tuple[float, ...] = ()

    def quantile(self, level, df):
        """Bound on |t| that holds jointly with `level`."""
        if self.kind == "range":
            return studentized_range_quantile(level, self.size, df) / np.sqrt(2)
        if self.kind == "dunnett":
            return dunnett_quantile(level, self.shares, df)
        return float(quantile(df, level ** (1 / self.size)))

    def coverage(self, t, df):
        """Chance that all |t| of the family stay within `t` where nothing differs."""
        if self.kind == "range":
            return range_coverage(t * np.sqrt(2), self.size, df)
        if self.kind == "dunnett":
            return dunnett_coverage(t, self.shares, df)
        return float((2 * student_cdf(t, df) - 1) ** self.size)


def _scale_nodes(df):
    """Nodes and weights of sqrt(chi-square / df), for averaging over the unknown scatter."""
    if not np.isfinite(df):
        return np.ones(1), np.ones(1)
    # On the log scale the density is smooth even at df 1, with a long lower tail.
    spread = np.sqrt(0.5 / df)
    low, high = -max(10 * spread, 22 / df), min(10 * spread, 3.0)
    x = low + (high - low) * (_NODES + 1) / 2
    log_mass = df * (x - np.exp(2 * x) / 2)
    log_norm = np.log(2) + df / 2 * np.log(df / 2) - gammaln(df / 2)
    return np.exp(x), _WEIGHTS * (high - low) / 2 * np.exp(log_norm + log_mass)


def _solve(coverage, level):
    """Root of coverage(q) = level for q above zero (Brent's method on the log scale).

    Of the chance to fall outside the log is taken too, which is then nearly straight.
    """
    from scipy.optimize import brentq  # 0.1 s that two groups alone need not wait for

    wanted = np.log1p(-level)

    def short(log_q):
        return wanted - np.log(max(1 - coverage(np.exp(log_q)), 1e-15))

    low, high = np.log(0.05), np.log(2000.0)
    if short(low) * short(high) >= 0:  # beyond what the integral can tell: the middle
        return float(np.exp((low + high) / 2))
    return float(np.exp(brentq(short, low, high, xtol=1e-13)))
