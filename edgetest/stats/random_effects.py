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
    sums = _sums(y, design, random, parts)

    def loss(log_ratio):
        return -_profile(sums, np.exp(log_ratio))[0]

    q = random.shape[1]
    runs = [
        minimize(
            loss,
            np.full(q, start),
            method="Nelder-Mead",
            options={"xatol": 1e-6, "fatol": 1e-9, "maxiter": 2000},
        )
        for start in (-1.5, 1.0)
    ]
    best = min(runs, key=lambda run: run.fun)
    ratio = np.exp(np.clip(best.x, -30.0, 30.0))
    log_likelihood, params, information, variance = _profile(sums, ratio)
    return MixedFit(
        params=params,
        cov=variance * np.linalg.inv(information),
        sd_between=ratio * np.sqrt(variance),
        sd_within=float(np.sqrt(variance)),
        log_likelihood=float(log_likelihood),
        groups=len(parts),
    )


@dataclass(frozen=True)
class _Sums:
    """Cross products: all readings together, and by blade for the random columns."""

    n: int
    yy: float
    xy: np.ndarray
    xx: np.ndarray
    zy: np.ndarray
    zx: np.ndarray
    zz: np.ndarray


def _sums(y, x, z, parts):
    """Everything of the data that the likelihood needs, so that a step of it is small."""
    return _Sums(
        n=len(y),
        yy=float(y @ y),
        xy=x.T @ y,
        xx=x.T @ x,
        zy=np.stack([z[p].T @ y[p] for p in parts]),
        zx=np.stack([z[p].T @ x[p] for p in parts]),
        zz=np.stack([z[p].T @ z[p] for p in parts]),
    )


def _profile(sums, ratio):
    """Restricted log-likelihood at sd ratios (between / within), other parameters at their best."""
    ratio = np.clip(ratio, 1e-13, 1e13)
    # Woodbury: (I + Z D Z')^-1 = I - Z D^1/2 (I + D^1/2 Z'Z D^1/2)^-1 D^1/2 Z'.
    inner = np.eye(len(ratio)) + ratio[:, None] * sums.zz * ratio
    zx, zy = ratio[:, None] * sums.zx, ratio * sums.zy
    solved_x = np.linalg.solve(inner, zx)
    information = sums.xx - np.einsum("gqi,gqj->ij", zx, solved_x)
    score = sums.xy - np.einsum("gqi,gq->i", solved_x, zy)
    total = sums.yy - float(np.sum(zy * np.linalg.solve(inner, zy[..., None])[..., 0]))
    params = np.linalg.solve(information, score)
    df = sums.n - len(params)
    variance = max(float(total - score @ params) / df, 1e-300)
    # The constant of the design's own determinant is left out, as R's nlme does.
    log_likelihood = -0.5 * (
        df * (np.log(2 * np.pi * variance) + 1)
        + np.linalg.slogdet(inner)[1].sum()
        + np.linalg.slogdet(information)[1]
    )
    return log_likelihood, params, information, variance
