"""Powers of heat treatments by a hierarchical normal prior: each its own, none far from the rest.

Log powers x of T heat treatments: x_t normal about a common mean m with SD tau, m normal about
the log of the expected power with SD `PRIOR_SD`, tau half-normal with scale `TREATMENTS_DIFFER`.
tau is integrated over a grid: two heat treatments cannot tell it, and neither a test whether they
differ nor a tau estimated from them keeps false claims down. The readings enter as
log L(x) = -a (x - c)² / 2 + b (x - c) for each heat treatment, c the prior's centre. Given tau:

    s_t = 1 / (1 + tau² a_t),    v = 1 / (1 / PRIOR_SD² + Σ a_t s_t),    m = v Σ b_t s_t
    x_t = s_t m + tau² s_t b_t,  cov(x) = diag(tau² s) + v s s'
    2 log L(tau) = Σ (log s_t + tau² s_t b_t²) + log v + v (Σ b_t s_t)² + constant

Source: A. Gelman, J. B. Carlin, H. S. Stern, D. B. Dunson, A. Vehtari, D. B. Rubin, Bayesian Data
Analysis, 3rd ed. (2013), section 5.4 (normal means with the hyperparameters integrated).
"""

from dataclasses import dataclass

import numpy as np

PRIOR_SD = 0.5  # of the mean log p: 95 % of p between 0.75 and 5.3 where it is expected about 2
TREATMENTS_DIFFER = 0.4  # scale of the SD of log p between heat treatments
TAUS = (np.arange(25) + 0.5) * 0.05  # to three scales


@dataclass(frozen=True)
class TreatmentPowers:
    """Moments of the log powers, about the prior's centre.

    `shift` (T,) their means and `cov` (T, T) their covariance; `common` and `common_var` those
    of the mean that they lie about.
    """

    shift: np.ndarray
    cov: np.ndarray
    common: float
    common_var: float


def prior_cov(number, tau):
    """Prior covariance (T, T) of the log powers of `number` heat treatments at one tau."""
    return tau**2 * np.eye(number) + PRIOR_SD**2


def powers_together(precision, pull):
    """Mean and covariance of the heat treatments' log powers, tau integrated.

    Parameters
    ----------
    precision, pull : ndarray (T,)
        a and b of the module's formulas. A single heat treatment has no other to differ from:
        its power is the common mean.

    Returns
    -------
    TreatmentPowers
    """
    a, b = np.maximum(precision, 0.0), pull
    taus = TAUS if len(a) > 1 else np.zeros(1)
    var = taus[:, None] ** 2
    s = 1 / (1 + var * a)
    v = 1 / (PRIOR_SD**-2 + s @ a)
    total = s @ b
    log_like = (np.log(s) + var * s * b**2).sum(axis=1) + np.log(v) + v * total**2
    log_weight = log_like / 2 - (taus / TREATMENTS_DIFFER) ** 2 / 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    common = v * total
    each = s * common[:, None] + var * s * b
    shift, mean = weight @ each, float(weight @ common)
    off, away = each - shift, common - mean
    cov = np.einsum("k,ks,kt->st", weight * v, s, s) + np.einsum("k,ks,kt->st", weight, off, off)
    cov += np.diag(weight @ (var * s))
    return TreatmentPowers(shift, cov, mean, float(weight @ (v + away**2)))
