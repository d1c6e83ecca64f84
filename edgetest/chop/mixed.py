"""Linear mixed model with independent random effects of the blades, by restricted likelihood."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class MixedFit:
    """Fixed effects with covariance, standard deviations between blades and within them."""

    params: np.ndarray
    cov: np.ndarray
    sd_between: np.ndarray
    sd_within: float
    log_likelihood: float
    groups: int


def fit_mixed(y, design, group, random):
    """Y = design @ params + random @ b[group] + error; b independent, normal, mean zero.

    Parameters
    ----------
    y : array_like, shape (n,)
        Readings.
    design : array_like, shape (n, k)
        Fixed effects.
    group : sequence, length n
        The blade of each reading.
    random : array_like, shape (n, q)
        Columns whose coefficients differ from blade to blade.

    Returns
    -------
    MixedFit
        Restricted maximum likelihood; `sd_between` in the units of each random coefficient.

    Raises
    ------
    UnusableInput
        If the fixed effects cannot be told apart.

    References
    ----------
    .. [1] N. M. Laird, J. H. Ware, "Random-effects models for longitudinal data", Biometrics
       38 (1982) 963-974.
    .. [2] J. C. Pinheiro, D. M. Bates, Mixed-Effects Models in S and S-PLUS (2000), ch. 2.
    """
    from scipy.optimize import minimize

    y, design, random = (np.asarray(a, dtype=float) for a in (y, design, random))
    labels = np.asarray([str(g) for g in group])
    if np.linalg.matrix_rank(design) < design.shape[1]:
        what = "the columns repeat each other"
        raise UnusableInput(what, "depths", "drop the blocks, or chop every blade in every block")
    parts = [labels == name for name in dict.fromkeys(labels.tolist())]
    blocks = [(y[p], design[p], random[p]) for p in parts]

    def loss(log_ratio):
        return -_profile(blocks, np.exp(log_ratio))[0]

    q = random.shape[1]
    runs = [
        minimize(
            loss,
            np.full(q, start),
            method="Nelder-Mead",
            options={"xatol": 1e-9, "fatol": 1e-11, "maxiter": 4000},
        )
        for start in (-2.0, 0.0, 2.0)
    ]
    best = min(runs, key=lambda run: run.fun)
    ratio = np.exp(np.clip(best.x, -30.0, 30.0))
    log_likelihood, params, information, variance = _profile(blocks, ratio)
    return MixedFit(
        params=params,
        cov=variance * np.linalg.inv(information),
        sd_between=ratio * np.sqrt(variance),
        sd_within=float(np.sqrt(variance)),
        log_likelihood=float(log_likelihood),
        groups=len(parts),
    )


def _profile(blocks, ratio):
    """Restricted log-likelihood at sd ratios (between / within), other parameters at their best."""
    k = blocks[0][1].shape[1]
    n = sum(len(y) for y, _, _ in blocks)
    information, score, total, log_det = np.zeros((k, k)), np.zeros(k), 0.0, 0.0
    for y, x, z in blocks:
        scaled = z * np.clip(ratio, 1e-13, 1e13)
        inner = np.eye(scaled.shape[1]) + scaled.T @ scaled
        sx, sy = scaled.T @ x, scaled.T @ y
        information += x.T @ x - sx.T @ np.linalg.solve(inner, sx)
        score += x.T @ y - sx.T @ np.linalg.solve(inner, sy)
        total += y @ y - sy @ np.linalg.solve(inner, sy)
        log_det += np.linalg.slogdet(inner)[1]
    params = np.linalg.solve(information, score)
    df = n - k
    variance = max(float(total - score @ params) / df, 1e-300)
    # The design's own determinant is left out, as R's nlme and lme4 do.
    log_likelihood = -0.5 * (
        df * (np.log(2 * np.pi * variance) + 1) + log_det + np.linalg.slogdet(information)[1]
    )
    return log_likelihood, params, information, variance
