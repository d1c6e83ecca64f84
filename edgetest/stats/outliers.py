"""Readings that stand out from their fellows: named, never dropped."""

import numpy as np
from scipy.special import stdtrit

from edgetest.errors import UnusableInput


def grubbs(values, *, level=0.95, two_sided=True):
    """The value farthest from the mean and whether it is farther than chance allows.

    Parameters
    ----------
    values : array_like, shape (n,)
        3 or more.
    level : float
    two_sided : bool
        False: only the larger side is looked at.

    Returns
    -------
    index : int
        Of the value.
    statistic, critical : float
        Its distance from the mean in standard deviations, and the bound.

    References
    ----------
    .. [1] F. E. Grubbs, "Procedures for detecting outlying observations in samples",
       Technometrics 11 (1969) 1-21.
    """
    values = _enough(values, 3)
    away = values - values.mean()
    distance = np.abs(away) if two_sided else away
    index = int(distance.argmax())
    sd = values.std(ddof=1)
    error = (1 - level) / (2 if two_sided else 1)
    statistic = float(distance[index] / sd) if sd > 0 else 0.0
    return index, statistic, _critical(len(values), error / len(values))


def name_outliers(values, most, *, level=0.95):
    """Indices of up to `most` values that stand out, by the generalised extreme deviate test.

    Parameters
    ----------
    values : array_like, shape (n,)
        n above `most` + 2; normal but for the outliers (log readings).
    most : int
        Largest number of outliers to look for.
    level : float

    Returns
    -------
    outliers : tuple of int
        Indices, the farthest first; () where none stands out.
    statistics, critical : ndarray, shape (most,)
        Distance and bound at each step: the largest step whose distance passes its bound
        counts, since two outliers can hide each other.

    References
    ----------
    .. [1] B. Rosner, "Percentage points for a generalized ESD many-outlier procedure",
       Technometrics 25 (1983) 165-172.
    """
    values = _enough(values, most + 3)
    left = np.arange(len(values))
    order, statistics, critical = [], [], []
    for _ in range(most):
        part = values[left]
        sd = part.std(ddof=1)
        distance = np.abs(part - part.mean())
        worst = int(distance.argmax())
        statistics.append(distance[worst] / sd if sd > 0 else 0.0)
        critical.append(_critical(len(part), (1 - level) / 2 / len(part)))
        order.append(int(left[worst]))
        left = np.delete(left, worst)
    passed = np.flatnonzero(np.array(statistics) > np.array(critical))
    count = int(passed[-1]) + 1 if passed.size else 0
    return tuple(order[:count]), np.array(statistics), np.array(critical)


def _critical(n, error):
    """Bound on the largest of n distances, each allowed the one-sided `error`."""
    t = stdtrit(n - 2, 1 - error)
    return float((n - 1) * t / np.sqrt(n * (n - 2 + t**2)))


def _enough(values, least):
    values = np.asarray(values, dtype=float)
    if values.ndim != 1 or len(values) < least or not np.isfinite(values).all():
        what = f"{values.size} values"
        raise UnusableInput(what, "values", f"give {least} or more, all of them numbers")
    return values


def studentised_residuals(design, values):
    """Externally studentised residuals of a least-squares fit: each value against all others.

    Parameters
    ----------
    design : array_like, shape (n, p)
        One column a parameter; columns may depend on one another.
    values : array_like, shape (n,)

    Returns
    -------
    t : ndarray (n,)
        Student's t with n - rank - 1 degrees of freedom each, where nothing is wrong; nan where
        the others cannot foretell the value, or leave no degree of freedom.
    p : ndarray (n,)
        Two-sided probability of so large a t.
    expected : ndarray (n,)
        What the others foretell.

    References
    ----------
    .. [1] R. D. Cook and S. Weisberg, "Residuals and Influence in Regression", Chapman and
       Hall 1982, section 2.2.1 (from memory).
    """
    from scipy.special import stdtr

    design, values = np.asarray(design, dtype=float), np.asarray(values, dtype=float)
    u, s, _ = np.linalg.svd(design, full_matrices=False)
    basis = u[:, s > 1e-10 * s.max(initial=0.0)]
    df = len(values) - basis.shape[1] - 1
    left = values - basis @ (basis.T @ values)
    free = 1 - (basis**2).sum(axis=1)
    told = (free > 1e-9) & (df > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = np.where(told, left / free, np.nan)  # value less what the others foretell
        others = (left @ left - left * ahead) / df
        t = ahead * np.sqrt(free) / np.sqrt(np.maximum(others, 0.0))
    return t, 2 * stdtr(max(df, 1), -np.abs(t)), values - ahead
