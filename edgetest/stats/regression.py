"""Poisson and quasi-Poisson regression of counts with exposure, and with priors.

Newton steps on the penalised likelihood; a prior on a coefficient enters as its normal
density, which keeps few billets from running away with a slope they cannot know.
"""

from dataclasses import dataclass
from math import exp, inf, sqrt

import numpy as np
from scipy.special import chdtr, chdtrc, gammainc, stdtr, stdtrit

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate

# With priors degrees of freedom are no whole numbers; below half of one nothing is estimated.
LEAST_DF = 0.5
NORMAL_DF = 1e9  # Student's t with more degrees of freedom is the normal
LARGEST_LOG = 700.0  # its exponential is still a float
SPREADS = ("moderated", "poisson", "estimated")


@dataclass(frozen=True)
class UsualSpread:
    """Prior of the dispersion: as if `df` further billets had differed by `cv` beyond chance.

    No source; chosen by tests/benchmarks/chop_coverage.py, so that two or three billets a blade
    keep a 95 % interval at 92 % or better for wood that differs by up to 30 %.
    """

    df: float = 3.0
    cv: float = 0.15


@dataclass(frozen=True)
class NormalPrior:
    """Independent normal priors, one a coefficient, shape (k,); an infinite sd is none."""

    mean: np.ndarray
    sd: np.ndarray


USUAL_SPREAD = UsualSpread()


def exponential(log_value):
    """Exponential of a logarithm; infinite beyond all floats: an open end of an interval."""
    return exp(log_value) if log_value < LARGEST_LOG else inf


@dataclass(frozen=True)
class LogContrast:
    """A contrast of coefficients on the log scale, with Student's t (infinite df: normal)."""

    value: float
    stderr: float
    df: float

    def half(self, level):
        """Half the width of its interval."""
        return float(stdtrit(min(self.df, NORMAL_DF), 0.5 + level / 2)) * self.stderr

    def factor(self, unit, level, method):
        """Its exponential, as an `Estimate`; an end beyond all numbers is open."""
        half = self.half(level)
        value, low, high = (exponential(self.value + step) for step in (0.0, -half, half))
        return Estimate(value, low, high, unit, level, method)

    def probability_below(self, limit=0.0):
        """Confidence that the true value lies below `limit`."""
        return float(stdtr(min(self.df, NORMAL_DF), (limit - self.value) / self.stderr))


def log_contrast(contrast, params, cov, df, *, extra_variance=0.0):
    """The contrast of fitted coefficients; `extra_variance` is what the fit knows nothing of."""
    variance = float(contrast @ cov @ contrast) + extra_variance
    return LogContrast(float(contrast @ params), sqrt(variance), df)


@dataclass(frozen=True)
class RateFit:
    """Coefficients on the log scale; `cov` has the dispersion in it."""

    params: np.ndarray
    cov: np.ndarray
    df: float
    df_interval: float
    pearson: float
    dispersion: float
    p_over: float
    p_under: float
    spread: str

    def contrast(self, weights, *, extra_variance=0.0):
        """A contrast of the coefficients, as a `LogContrast`."""
        return log_contrast(
            weights, self.params, self.cov, self.df_interval, extra_variance=extra_variance
        )


def fit_rate(
    design,
    count,
    exposure,
    *,
    spread="moderated",
    prior=None,
    usual=USUAL_SPREAD,
    unfinished=None,
):
    """Quasi-Poisson regression: fit count ~ exposure * exp(design @ params).

    Without a prior statsmodels' GLM gives the same numbers. It has no normal prior on single
    coefficients and no counts that are only lower bounds, and chop tests need both.

    Parameters
    ----------
    design : array_like, shape (n, k)
        One row a billet.
    count, exposure : array_like, shape (n,)
        Chops counted and what they went through (> 0).
    spread : str
        "poisson" (variance = mean), "estimated" (quasi-Poisson: dispersion from the data
        alone) or "moderated" (dispersion drawn towards a usual one, as by more billets).
    prior : NormalPrior, optional
        Of the coefficients; none where missing.
    usual : UsualSpread
        What "moderated" draws towards: 1 + cv² * mean count, with the weight of df billets.
    unfinished : array_like of bool, shape (n,), optional
        Billets given up still standing: the count is only known to be larger than this one.

    Returns
    -------
    RateFit
        `df_interval` are the degrees of freedom for Student's t (infinite where the spread is
        not estimated).

    Raises
    ------
    UnusableInput
        If counts are not counts, exposures not positive, or the design is singular.

    References
    ----------
    .. [1] P. McCullagh, J. A. Nelder, Generalized Linear Models, 2nd ed. (1989), ch. 6, 9.
    .. [2] G. K. Smyth, "Linear models and empirical Bayes methods...", Stat. Appl. Genet.
       Mol. Biol. 3 (2004): drawing few-sample variances towards a common value.
    """
    design, count, exposure = _checked(design, count, exposure)
    k = design.shape[1]
    prior = prior or NormalPrior(np.zeros(k), np.full(k, np.inf))
    open_ended = np.zeros(len(count), bool) if unfinished is None else np.asarray(unfinished, bool)
    if spread not in SPREADS:
        raise UnusableInput(f'"{spread}"', "spread", f"use one of {', '.join(SPREADS)}")
    first, fitted, _ = _newton(design, count, exposure, prior, 1.0, open_ended)
    whole = ~open_ended
    df = float(whole.sum() - _used_df(design, fitted, prior))
    pearson = float(np.sum((count - fitted)[whole] ** 2 / fitted[whole]))
    dispersion, df_interval = 1.0, np.inf
    if spread == "estimated":
        if df < LEAST_DF:
            what = f"{len(count)} counts leave nothing to estimate the spread from"
            raise UnusableInput(what, "spread", "sever more billets or use moderated")
        dispersion, df_interval = pearson / df, df
    elif spread == "moderated":
        df_interval = usual.df + df
        expected = 1 + usual.cv**2 * float(np.mean(fitted))
        dispersion = (usual.df * expected + pearson) / df_interval
    dispersion = max(dispersion, 1e-3)
    params, _, information = _newton(
        design, count, exposure, prior, dispersion, open_ended, start=(first, fitted)
    )
    return RateFit(
        params=params,
        cov=np.linalg.inv(information),
        df=df,
        df_interval=float(df_interval),
        pearson=pearson,
        dispersion=float(dispersion),
        p_over=float(chdtrc(df, pearson)) if df >= LEAST_DF else float("nan"),
        p_under=float(chdtr(df, pearson)) if df >= LEAST_DF else float("nan"),
        spread=spread,
    )


def _checked(design, count, exposure):
    """Arrays that can be fitted, or the reason why not."""
    design = np.atleast_2d(np.asarray(design, dtype=float))
    count = np.asarray(count, dtype=float)
    exposure = np.asarray(exposure, dtype=float)
    if not (np.all(np.isfinite(count)) and np.all(count >= 0) and count.sum() > 0):
        raise UnusableInput("a count is missing or below zero, or all are zero", "chops", "mend it")
    if not (np.all(np.isfinite(exposure)) and np.all(exposure > 0)):
        raise UnusableInput("an exposure is missing or not above zero", "area", "measure the wood")
    return design, count, exposure


def _newton(design, count, exposure, prior, dispersion, open_ended, start=None):
    """Iteratively reweighted least squares (Fisher scoring) of the penalised likelihood.

    A count that is only a lower bound enters by its expectation given the bound, with the
    information about it that is missing taken off (Louis 1982). `start` are parameters and
    fitted counts of another dispersion, from which fewer steps are left.
    """
    precision = 1 / prior.sd**2
    ridge, pull = np.diag(precision), precision * prior.mean
    if start is None:
        params, fitted = np.zeros(design.shape[1]), count + np.where(open_ended, 2.0, 0.5)
    else:
        params, fitted = start
    columns = np.ascontiguousarray(design.T)
    for _ in range(200):
        seen, lost = _expected(count, fitted, open_ended)
        known = np.maximum(fitted - lost, 1e-6)
        weight = known / dispersion
        working = np.log(fitted / exposure) + (seen - fitted) / known
        information = (columns * weight) @ design + ridge
        try:
            new = np.linalg.solve(information, columns @ (weight * working) + pull)
        except np.linalg.LinAlgError:
            what = "the billets do not tell the blades, woods and dulling apart"
            raise UnusableInput(what, "chops", "sever more billets, or fewer factors") from None
        step = np.abs(new - params).max()
        params = new
        fitted = exposure * np.exp(np.minimum(np.maximum(design @ params, -50), 50))
        if step < 1e-11:
            break
    lost = _expected(count, fitted, open_ended)[1]
    weight = np.maximum(fitted - lost, 1e-6) / dispersion
    return params, fitted, (columns * weight) @ design + ridge


def _expected(count, fitted, open_ended):
    """Counts with lower bounds replaced by their Poisson expectation, and its variance."""
    if not open_ended.any():
        return count, 0.0
    least, mean = count[open_ended] + 1, fitted[open_ended]
    beyond = np.maximum(gammainc(least, mean), 1e-300)
    first = mean * _at_least(least - 1, mean) / beyond
    pairs = mean**2 * _at_least(least - 2, mean) / beyond
    seen, lost = count.copy(), np.zeros_like(count)
    seen[open_ended] = first
    lost[open_ended] = np.maximum(pairs + first - first**2, 0.0)
    return seen, lost


def _at_least(k, mean):
    """Poisson probability of k or more."""
    return np.where(k > 0, gammainc(np.maximum(k, 1), mean), 1.0)


def _used_df(design, fitted, prior):
    """Degrees of freedom that the data, not the priors, spent."""
    data = design.T @ (fitted[:, None] * design)
    return float(np.trace(np.linalg.solve(data + np.diag(1 / prior.sd**2), data)))
