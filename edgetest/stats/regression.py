"""Log-linear regression of counts with exposure: Poisson, negative binomial, dispersion.

Newton steps on the penalised likelihood; a prior on a coefficient enters as its normal
density, which keeps few billets from running away with a slope they cannot know.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import chdtr, chdtrc, gammainc, gammaln

from edgetest.errors import UnusableInput

# The prior of the dispersion: as if three further billets had differed by 15 % beyond chance.
# No source; chosen by tests/benchmarks/chop_coverage.py, so that two or three billets a blade
# keep a 95 % interval at 92 % or better for wood that differs by up to 30 %.
PRIOR_DF, PRIOR_CV = 3.0, 0.15
SPREADS = ("moderated", "poisson", "estimated", "negative_binomial")


@dataclass(frozen=True)
class RateFit:
    """Coefficients on the log scale; `dispersion` multiplies, `alpha` adds alpha * mean²."""

    params: np.ndarray
    cov: np.ndarray
    fitted: np.ndarray
    df: float
    df_interval: float
    pearson: float
    deviance: float
    log_likelihood: float
    dispersion: float
    alpha: float
    p_over: float
    p_under: float
    spread: str


def fit_rate(
    design,
    count,
    exposure,
    *,
    spread="moderated",
    prior_mean=None,
    prior_sd=None,
    prior_df=PRIOR_DF,
    prior_cv=PRIOR_CV,
    unfinished=None,
):
    """Fit count ~ exposure * exp(design @ params).

    Parameters
    ----------
    design : array_like, shape (n, k)
        One row a billet.
    count, exposure : array_like, shape (n,)
        Chops counted and what they went through (> 0).
    spread : str
        "poisson" (variance = mean), "estimated" (dispersion from the data alone),
        "moderated" (dispersion drawn towards a usual one, as by three more billets) or
        "negative_binomial" (variance = mean + alpha * mean², alpha by maximum likelihood).
    prior_mean, prior_sd : array_like, shape (k,), optional
        Normal prior of each coefficient; infinite sd is none.
    prior_df, prior_cv : float
        Prior of the dispersion for "moderated": its weight in billets, and how much billets
        alike in size and wood differ (1 + cv² * mean count is the dispersion it expects).
    unfinished : array_like of bool, shape (n,), optional
        Billets given up still standing: the count is only known to be larger than this one.

    Returns
    -------
    RateFit
        `cov` includes the dispersion; `df_interval` are the degrees of freedom for Student's
        t (infinite where the spread is not estimated).

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
    mean = np.zeros(k) if prior_mean is None else np.asarray(prior_mean, dtype=float)
    sd = np.full(k, np.inf) if prior_sd is None else np.asarray(prior_sd, dtype=float)
    prior = (mean, 1 / sd**2)
    open_ended = np.zeros(len(count), bool) if unfinished is None else np.asarray(unfinished, bool)
    if spread == "negative_binomial" and open_ended.any():
        mend = "use moderated, or leave the unsevered billets out"
        raise UnusableInput("billets given up do not go with this spread", "spread", mend)
    if spread not in SPREADS:
        raise UnusableInput(f'"{spread}"', "spread", f"use one of {', '.join(SPREADS)}")
    params, fitted, _ = _newton(design, count, exposure, prior, 1.0, 0.0, open_ended)
    whole = ~open_ended
    df = whole.sum() - _used_df(design, fitted, prior)
    pearson = float(np.sum((count - fitted)[whole] ** 2 / fitted[whole]))
    dispersion, alpha, df_interval = 1.0, 0.0, np.inf
    if spread == "estimated":
        if df < 0.5:
            what = f"{len(count)} counts leave nothing to estimate the spread from"
            raise UnusableInput(what, "spread", "sever more billets or use moderated")
        dispersion, df_interval = pearson / df, df
    elif spread == "moderated":
        df_interval = prior_df + df
        expected = 1 + prior_cv**2 * float(np.mean(fitted))
        dispersion = (prior_df * expected + pearson) / df_interval
    elif spread == "negative_binomial":
        alpha = _likeliest_alpha(design, count, exposure, prior)
        df_interval = max(df, 0.5)
    dispersion = max(dispersion, 1e-3)
    params, fitted, information = _newton(
        design, count, exposure, prior, dispersion, alpha, open_ended
    )
    return RateFit(
        params=params,
        cov=np.linalg.inv(information),
        fitted=fitted,
        df=float(df),
        df_interval=float(df_interval),
        pearson=pearson,
        deviance=poisson_deviance(count[whole], fitted[whole]),
        log_likelihood=_log_likelihood(count[whole], fitted[whole], alpha),
        dispersion=float(dispersion),
        alpha=float(alpha),
        p_over=float(chdtrc(df, pearson)) if df >= 0.5 else float("nan"),
        p_under=float(chdtr(df, pearson)) if df >= 0.5 else float("nan"),
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


def poisson_deviance(count, fitted):
    """Twice the log-likelihood ratio of the saturated Poisson model to the fitted one."""
    with np.errstate(divide="ignore", invalid="ignore"):
        term = np.where(count > 0, count * np.log(count / fitted), 0.0)
    return float(2 * np.sum(term - count + fitted))


def _newton(design, count, exposure, prior, dispersion, alpha, open_ended):
    """Penalised maximum likelihood by iteratively reweighted least squares.

    A count that is only a lower bound enters by its expectation given the bound, with the
    information about it that is missing taken off (Louis 1982).
    """
    mean, precision = prior
    fitted = count + np.where(open_ended, 2.0, 0.5)
    params = np.zeros(design.shape[1])
    for _ in range(200):
        seen, lost = _expected(count, fitted, open_ended)
        weight = np.maximum(fitted - lost, 1e-6) / (1 + alpha * fitted) / dispersion
        working = np.log(fitted / exposure) + (seen - fitted) / np.maximum(fitted - lost, 1e-6)
        information = design.T @ (weight[:, None] * design) + np.diag(precision)
        try:
            new = np.linalg.solve(information, design.T @ (weight * working) + precision * mean)
        except np.linalg.LinAlgError:
            what = "the billets do not tell the blades, woods and dulling apart"
            raise UnusableInput(what, "chops", "sever more billets, or fewer factors") from None
        step = np.max(np.abs(new - params))
        params = new
        fitted = exposure * np.exp(np.clip(design @ params, -50, 50))
        if step < 1e-11:
            break
    lost = _expected(count, fitted, open_ended)[1]
    weight = np.maximum(fitted - lost, 1e-6) / (1 + alpha * fitted) / dispersion
    return params, fitted, design.T @ (weight[:, None] * design) + np.diag(precision)


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
    return float(np.trace(np.linalg.solve(data + np.diag(prior[1]), data)))


def _log_likelihood(count, fitted, alpha):
    """Poisson or negative binomial log-likelihood, constants included."""
    if alpha < 1e-9:
        return float(np.sum(count * np.log(fitted) - fitted - gammaln(count + 1)))
    size = 1 / alpha
    return float(
        np.sum(
            gammaln(count + size)
            - gammaln(size)
            - gammaln(count + 1)
            + size * np.log(size / (size + fitted))
            + count * np.log(fitted / (size + fitted))
        )
    )


def _likeliest_alpha(design, count, exposure, prior):
    """The negative binomial's alpha by profile likelihood; 0 where the Poisson is likelier."""
    from scipy.optimize import minimize_scalar

    whole = np.zeros(len(count), dtype=bool)

    def loss(log_alpha):
        alpha = float(np.exp(log_alpha))
        _, fitted, _ = _newton(design, count, exposure, prior, 1.0, alpha, whole)
        return -_log_likelihood(count, fitted, alpha)

    best = minimize_scalar(loss, bounds=(-14.0, 4.0), method="bounded", options={"xatol": 1e-7})
    return 0.0 if best.x < -13 else float(np.exp(best.x))
