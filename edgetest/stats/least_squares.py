"""Least squares for one curve or for many curves at once: the core every wear fit runs through."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput

STEP = 1e-12  # or the relative step, which ends exact data whose residuals vanish
MAX_DAMPING = 1e14


@dataclass(frozen=True)
class LeastSquares:
    """A curve fitted to readings: `params` in the order of the start values.

    `stderr` and `cov` carry the residual variance on `df` = n - p degrees of freedom.
    """

    params: np.ndarray
    stderr: np.ndarray
    cov: np.ndarray
    residuals: np.ndarray
    residual_sd: float
    df: int
    converged: bool
    iterations: int


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


def fit_curve(function, x, y, *, start, sd=None, jacobian=None, max_iterations=2000):
    """Fit `function(x, *params)` to readings by weighted nonlinear least squares.

    Parameters
    ----------
    function : callable
        The curve; takes `x` and the parameters, returns an array like `y`.
    x, y : array_like, shape (n,)
        Where the readings were taken and what they were.
    start : sequence of float
        Start values of the parameters.
    sd : array_like, shape (n,), optional
        Relative size of each reading's error; all alike if left out.
    jacobian : callable, optional
        Derivatives (n, p) as `jacobian(x, *params)`; five-point differences if left out.
    max_iterations : int
        Evaluations before giving up.

    Returns
    -------
    LeastSquares

    Raises
    ------
    UnusableInput
        With fewer readings than parameters, or a curve that is not finite at the start.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    start = np.asarray(start, dtype=float)
    root_w = np.ones_like(y) if sd is None else 1 / np.asarray(sd, dtype=float)
    if y.size < start.size:
        what = f"{y.size} readings cannot hold {start.size} parameters"
        raise UnusableInput(what, where="y", mend="take more readings or a simpler curve")

    def slopes(b):
        return jacobian(x, *b) if jacobian else _differences(function, x, b)

    def evaluate(params, _which):
        residual = (function(x, *params[0]) - y) * root_w
        return residual[None], (slopes(params[0]) * root_w[:, None])[None]

    with np.errstate(all="ignore"):
        finite = np.all(np.isfinite(function(x, *start)))
    if not finite:
        raise UnusableInput(
            f"the curve is not finite at {start}", "start", "choose other start values"
        )
    # Cautious first: BoxBOD and Eckerle4 of NIST StRD run away at a lower first damping.
    for damping in (1.0, 0.1, 1e-3):
        found = minimise(evaluate, start[None], damping=damping, max_iterations=max_iterations)
        if found.converged[0]:
            break
    params = found.params[0]
    residuals = y - function(x, *params)
    df = y.size - start.size
    variance = float(np.sum((residuals * root_w) ** 2)) / df if df else np.nan
    jac = slopes(params) * root_w[:, None]
    scale = np.sqrt((jac**2).sum(axis=0))
    _, r = np.linalg.qr(jac / scale)
    inverse = np.linalg.solve(r, np.eye(start.size)) / scale[:, None]
    cov = variance * inverse @ inverse.T
    return LeastSquares(
        params,
        np.sqrt(np.diag(cov)),
        cov,
        residuals,
        float(np.sqrt(variance)),
        df,
        bool(found.converged[0]),
        found.iterations,
    )


def _differences(function, x, params):
    """Five-point derivatives (n, p), good to about 1e-11 of the largest."""
    columns = []
    for i, value in enumerate(params):
        h = 1e-4 * (abs(value) or 1.0)
        at = [
            function(x, *np.r_[params[:i], value + k * h, params[i + 1 :]]) for k in (-2, -1, 1, 2)
        ]
        columns.append((at[0] - 8 * at[1] + 8 * at[2] - at[3]) / (12 * h))
    return np.stack(columns, axis=1)
