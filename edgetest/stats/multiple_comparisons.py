"""Many heat treatments, blocks and a control blade: the same contrasts, adjusted and paired."""

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
    """Root of coverage(q) = level for q above zero, by false position on the log scale.

    Of the chance to fall outside the log is taken too, which is then nearly straight; a side
    that does not move has its weight halved (Illinois), so both ends close in.
    """
    wanted = np.log1p(-level)

    def short(log_q):
        return wanted - np.log(max(1 - coverage(np.exp(log_q)), 1e-15))

    low, high = np.log(0.05), np.log(2000.0)
    at_low, at_high, side = short(low), short(high), 0
    for _ in range(60):
        if at_low * at_high >= 0:  # beyond what the integral can tell: the end itself
            break
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        found = short(middle)
        if found < 0:
            low, at_low = middle, found
            at_high, side = (at_high / 2 if side < 0 else at_high), -1
        else:
            high, at_high = middle, found
            at_low, side = (at_low / 2 if side > 0 else at_low), 1
        if abs(found) < 1e-11 or high - low < 1e-13:
            return float(np.exp(middle))
    return float(np.exp((low + high) / 2))


@dataclass(frozen=True)
class BlockFit:
    """Least squares of log life on heat treatment and block."""

    effects: np.ndarray  # (treatments,) relative to their mean
    unscaled: np.ndarray  # (treatments, treatments) covariance of the effects / variance
    variance: float
    df: int
    complete: bool  # every block holds every heat treatment


def fit_blocks(treatment, block, log_life):
    """Heat treatments compared within blocks.

    Parameters
    ----------
    treatment, block : array_like of int, shape (n,)
        Indices from 0.
    log_life : array_like, shape (n,)

    Returns
    -------
    BlockFit or None
        None where blocks and heat treatments cannot be told apart. With one blade of
        each of two heat treatments in every block this is the paired t test.
    """
    treatment, block = np.asarray(treatment), np.asarray(block)
    count = treatment.max() + 1
    blocks = np.eye(block.max() + 1)[block]
    # Heat treatments coded against their mean, so that blocks carry the level.
    coding = np.vstack([np.eye(count - 1), -np.ones(count - 1)])
    design = np.hstack([blocks, coding[treatment]])
    rank = np.linalg.matrix_rank(design)
    if rank < design.shape[1]:
        return None
    params, *_ = np.linalg.lstsq(design, log_life, rcond=None)
    df = len(log_life) - rank
    residuals = log_life - design @ params
    variance = float(residuals @ residuals / df) if df > 0 else np.nan
    inner = np.linalg.inv(design.T @ design)[-(count - 1) :, -(count - 1) :]
    table = np.zeros((block.max() + 1, count))
    np.add.at(table, (block, treatment), 1)
    return BlockFit(
        effects=coding @ params[-(count - 1) :],
        unscaled=coding @ inner @ coding.T,
        variance=variance,
        df=int(df),
        complete=bool((table > 0).all()),
    )


def control_drift(log_life, log_life_se, block, is_control):
    """What the control blade says of each block: how far its medium stood from the mean.

    Parameters
    ----------
    log_life, log_life_se : array_like, shape (n,)
        Log lives and their standard uncertainties, control runs among them.
    block : array_like of str, shape (n,)
    is_control : array_like of bool, shape (n,)
        At least one true.

    Returns
    -------
    drift : ndarray, shape (n,)
        Control's mean in the row's block less its mean over blocks; 0 in a block without.
    drift_se : ndarray, shape (n,)
        Its standard uncertainty, common to all rows of the block.
    bare : list of str
        Blocks that hold blades and no control run.
    """
    names, where = np.unique(block[is_control], return_inverse=True)
    runs = np.bincount(where)
    level = np.bincount(where, weights=log_life[is_control]) / runs
    stderr = np.sqrt(np.bincount(where, weights=log_life_se[is_control] ** 2)) / runs
    place = {name: i for i, name in enumerate(names.tolist())}
    rows = [place.get(name) for name in block.tolist()]
    drift = np.array([0.0 if i is None else level[i] - level.mean() for i in rows])
    drift_se = np.array([0.0 if i is None else stderr[i] for i in rows])
    return drift, drift_se, sorted(set(block[~is_control].tolist()) - set(place))
