"""Nonlinear least squares of many small curves at once (Levenberg-Marquardt)."""

from dataclasses import dataclass

import numpy as np

STEP = 1e-12  # or the relative step, which ends exact data whose residuals vanish
MAX_DAMPING = 1e14


@dataclass(frozen=True)
class Minimum:
    """Where `minimise` ended, one row a problem: `params` (B, k) and `sse` (B,)."""

    params: np.ndarray
    sse: np.ndarray
    converged: np.ndarray
    iterations: int


def minimise(evaluate, start, *, damping=1e-3, max_iterations=400, offset=1e-8):
    """Minimise the sum of squares of many small problems at once (Levenberg-Marquardt).

    Parameters
    ----------
    evaluate : callable
        `evaluate(params, which)` returns residuals (b, n) and their derivatives (b, n, k)
        at `params` (b, k) for the problems numbered `which` (b,).
    start : array_like, shape (B, k)
        Start values, one row a problem.
    damping : float
        First damping; small where the start values are good.
    max_iterations : int
        Evaluations after which a problem is given up (`converged` False).
    offset : float
        Relative offset [1]_ at which a fit has converged: the step still to come, in
        residual standard deviations.

    Returns
    -------
    Minimum

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "A relative offset orthogonality convergence
       criterion for nonlinear least squares", Technometrics 23 (1981) 179-183.
    .. [2] D. W. Marquardt, J. SIAM 11 (1963) 431-441.
    """
    params = np.array(start, dtype=float, ndmin=2)
    n_problems = len(params)
    sse_all = np.full(n_problems, np.inf)
    converged = np.zeros(n_problems, dtype=bool)
    which = np.arange(n_problems)
    with np.errstate(all="ignore"):  # a wild trial step is rejected, not reported
        theta = params.copy()
        r, jac = evaluate(theta, which)
        sse = _sum_squares(r)
        lam = np.full(n_problems, float(damping))
        grow = np.full(n_problems, 4.0)
        iteration = 0
        while len(which):
            iteration += 1
            hess, grad = _normal_equations(jac, r)
            step, gain = _damped_step(hess, grad, lam)
            small = np.all(np.abs(step) <= STEP * (np.abs(theta) + 1e-3), axis=1)
            done = (gain <= offset**2 * sse) | (small & (lam < 1.0)) | (sse == 0)
            ended = done | (lam > MAX_DAMPING) | ~np.isfinite(sse) | (iteration >= max_iterations)
            if ended.all() or ended.sum() > 0.3 * len(which) or (ended & ~done).any():
                out = which[ended]
                last = np.where((done & np.isfinite(step).all(axis=1))[:, None], step, 0.0)
                params[out] = theta[ended] + last[ended]  # the step still to come is tiny: take it
                sse_all[out], converged[out] = sse[ended], done[ended]
                keep = ~ended
                which, theta, sse, lam, grow = (
                    which[keep],
                    theta[keep],
                    sse[keep],
                    lam[keep],
                    grow[keep],
                )
                r, jac, step = r[keep], jac[keep], step[keep]
                if not len(which):
                    break
            trial = theta + step
            trial_r, trial_jac = evaluate(trial, which)
            trial_sse = _sum_squares(trial_r)
            better = trial_sse <= sse * (1 + 1e-13)
            lam = np.where(better, lam / 10, lam * grow)
            grow = np.where(better, 4.0, grow * 2)
            if better.all():
                theta, r, jac, sse = trial, trial_r, trial_jac, trial_sse
            else:
                theta = np.where(better[:, None], trial, theta)
                r = np.where(better[:, None], trial_r, r)
                jac = np.where(better[:, None, None], trial_jac, jac)
                sse = np.where(better, trial_sse, sse)
    return Minimum(params, sse_all, converged, iteration)


def _sum_squares(r):
    sse = np.einsum("bn,bn->b", r, r)
    return np.where(np.isfinite(sse), sse, np.inf)


def _normal_equations(jac, r):
    """Gauss-Newton matrix (b, k, k) and gradient (b, k) of half the sum of squares."""
    if jac.shape[2] == 1:
        column = jac[:, :, 0]
        hess = np.einsum("bn,bn->b", column, column)[:, None, None]
        return hess, np.einsum("bn,bn->b", column, r)[:, None]
    turned = jac.transpose(0, 2, 1)
    return turned @ jac, np.einsum("bkn,bn->bk", turned, r)


def _damped_step(hess, grad, lam):
    """Marquardt step and the part of the sum of squares that an undamped one would take."""
    if hess.shape[1] == 1:
        h, g = np.maximum(hess[:, 0, 0], 1e-300), grad[:, 0]
        return (-g / (h * (1 + lam)))[:, None], g * g / h
    scale = np.sqrt(np.maximum(np.diagonal(hess, axis1=1, axis2=2), 1e-300))
    unit = hess / (scale[:, :, None] * scale[:, None, :])
    g = grad / scale
    broken = ~(np.isfinite(unit).all(axis=(1, 2)) & np.isfinite(g).all(axis=1))
    if broken.any():
        unit[broken], g[broken] = np.eye(hess.shape[1]), 0.0
    # Eigenvalues tell a flat direction apart from a singular one without ever failing.
    values, vectors = np.linalg.eigh(unit)
    turned = np.einsum("bij,bi->bj", vectors, g)
    step = -np.einsum(
        "bij,bj->bi", vectors, turned / (np.maximum(values, 0) + lam[:, None] + 1e-16)
    )
    gain = (turned**2 / np.maximum(values, 1e-14)).sum(axis=1)
    return step / scale, np.where(broken, np.inf, gain)
