"""Interval-censored normal by maximum likelihood, and its interval likelihood."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.stats.censoring import normal_log_between


@dataclass(frozen=True)
class IntervalNormal:
    """Maximum-likelihood normal from exact and interval-censored values."""

    mean: float
    sd: float
    cov: np.ndarray  # of (mean, log sd)
    log_likelihood: float

    @property
    def stderr(self):
        """Standard errors of the mean and of log sd."""
        return np.sqrt(np.diag(self.cov))


def interval_normal(lower, upper):
    """Fit a normal distribution to values known exactly or only between bounds.

    Parameters
    ----------
    lower, upper : array_like, shape (n,)
        Bounds; equal where the value is exact, infinite where open.

    Returns
    -------
    IntervalNormal
        Mean, standard deviation, covariance of (mean, log sd) from the observed information.

    Raises
    ------
    UnusableInput
        If bounds are crossed, or all values agree so that no spread can be fitted.

    References
    ----------
    .. [1] W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data (1998),
       ch. 8 (from memory).
    """
    from scipy.optimize import minimize

    lower, upper = np.atleast_1d(lower).astype(float), np.atleast_1d(upper).astype(float)
    if (lower > upper).any():
        raise UnusableInput("a lower bound lies above its upper", "bounds", "swap the two")
    if lower.max() <= upper.min():
        what = "all values share a point, so they carry no spread"
        raise UnusableInput(what, "bounds", "add readings, or state the spread")
    exact = lower == upper

    def parts(params):
        mean, sd = params[0], np.exp(params[1])
        a, b = (lower - mean) / sd, (upper - mean) / sd
        log_p = np.where(exact, -0.5 * a**2 - np.log(sd * np.sqrt(2 * np.pi)), 0.0)
        log_p[~exact] = normal_log_between(a[~exact], b[~exact])
        return sd, a, b, log_p

    def density_over_p(z, log_p):
        """φ(z)/p, zero at an open end."""
        return np.where(np.isfinite(z), np.exp(-0.5 * z**2 - log_p) / np.sqrt(2 * np.pi), 0.0)

    def gradient(params):
        sd, a, b, log_p = parts(params)
        fa, fb = density_over_p(a, log_p), density_over_p(b, log_p)
        finite_a, finite_b = np.where(np.isfinite(a), a, 0), np.where(np.isfinite(b), b, 0)
        d_mean = np.where(exact, finite_a, fa - fb) / sd
        d_log_sd = np.where(exact, finite_a**2 - 1, finite_a * fa - finite_b * fb)
        return -np.array([d_mean.sum(), d_log_sd.sum()])

    def negative(params):
        return -parts(params)[3].sum()

    middle = np.where(np.isfinite(lower) & np.isfinite(upper), (lower + upper) / 2, np.nan)
    middle = np.where(np.isnan(middle), np.where(np.isfinite(lower), lower, upper), middle)
    start = np.array([middle.mean(), np.log(max(middle.std(), 1e-3))])
    best = minimize(negative, start, jac=gradient, method="BFGS", options={"gtol": 1e-9})
    step = 1e-5
    hessian = np.column_stack(
        [
            (gradient(best.x + step * e) - gradient(best.x - step * e)) / (2 * step)
            for e in np.eye(2)
        ]
    )
    cov = np.linalg.inv((hessian + hessian.T) / 2)
    return IntervalNormal(float(best.x[0]), float(np.exp(best.x[1])), cov, -float(best.fun))
