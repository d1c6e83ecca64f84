"""Nonlinear least squares of many small curves at once (Levenberg-Marquardt in a trust region)."""

from dataclasses import dataclass, fields

import numpy as np

STEP = 1e-12  # or the relative step, which ends exact data whose residuals vanish
# First radius, in norms of the scaled start values: of 0.1, 1, 10 and 100 the one from which all
# starts of `tests/reference/test_curve_nist.py`, and most of 144 others about them, arrive.
FIRST_RADIUS = 10.0
LEAST_RADIUS = 1e-15  # in the same measure: no step is left to try
MOST_BEND = 0.75  # of the step: more acceleration than that is beyond its own expansion [3]
LOOK_AHEAD = 0.1  # of the step, at which the residuals' bend along it is seen [3]


@dataclass(frozen=True)
class Minimum:
    """Where `minimise` ended, one row a problem: `params` (B, k) and `sse` (B,)."""

    params: np.ndarray
    sse: np.ndarray
    converged: np.ndarray
    evaluations: int


@dataclass
class _Descent:
    """The problems still under way: b rows.

    `which` of all; `theta` (b, k), residuals `r` (b, n), derivatives `jac` (b, n, k), `sse`,
    `scale` (b, k) of the parameters (the largest norm that each column had), `radius`, and
    `gain`, what an undamped step promised that was then taken; 0 where none was.
    """

    which: np.ndarray
    theta: np.ndarray
    r: np.ndarray
    jac: np.ndarray
    sse: np.ndarray
    scale: np.ndarray
    radius: np.ndarray
    gain: np.ndarray

    def keep(self, rows):
        """Only these rows."""
        for field in fields(self):
            setattr(self, field.name, getattr(self, field.name)[rows])


@dataclass(frozen=True)
class _Quadratic:
    """The sum of squares as its tangent sees it, along the axes of the scaled Gauss-Newton matrix.

    `values` and `slope` (b, k), `vectors` (b, k, k), None of a single parameter; `gain` (b,) is
    what an undamped step would take off.
    """

    values: np.ndarray
    slope: np.ndarray
    vectors: np.ndarray | None
    gain: np.ndarray

    def back(self, turned, scale):
        """From the axes to the parameters."""
        if self.vectors is not None:
            turned = np.matmul(self.vectors, turned[:, :, None])[:, :, 0]
        return turned / scale

    def along(self, columns, scale):
        """From the parameters' derivatives (b, k) to the axes."""
        columns = columns / scale
        if self.vectors is None:
            return columns
        return np.matmul(columns[:, None, :], self.vectors)[:, 0]


def minimise(evaluate, start, *, max_evaluations=400, offset=1e-8):
    """Minimise the sum of squares of many small problems at once (Levenberg-Marquardt).

    The step stays in a trust region whose axes are scaled by the derivatives [2]_; where the
    region holds it back, it follows the bend of the residuals along it [3]_.

    Parameters
    ----------
    evaluate : callable
        `evaluate(params, which)` returns residuals (b, n) and their derivatives (b, n, k)
        at `params` (b, k) for the problems numbered `which` (b,).
    start : array_like, shape (B, k)
        Start values, one row a problem.
    max_evaluations : int
        Calls of `evaluate` after which a problem is given up (`converged` False).
    offset : float
        Relative offset [1]_ at which a fit has converged: what the step still to come, which
        is taken, would leave to do, in residual standard deviations.

    Returns
    -------
    Minimum

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "A relative offset orthogonality convergence
       criterion for nonlinear least squares", Technometrics 23 (1981) 179-183.
    .. [2] J. J. Moré, "The Levenberg-Marquardt algorithm: implementation and theory", Lecture
       Notes in Mathematics 630 (1978) 105-116.
    .. [3] M. K. Transtrum and J. P. Sethna, "Improvements to the Levenberg-Marquardt algorithm
       for nonlinear least-squares minimization", arXiv:1201.5885 (2012).
    """
    params = np.array(start, dtype=float, ndmin=2)
    sse = np.full(len(params), np.inf)
    converged = np.zeros(len(params), dtype=bool)
    with np.errstate(all="ignore"):  # a wild trial step is rejected, not reported
        now, spent = _begin(evaluate, params), 1
        while True:
            shape = _quadratic(now)
            turned, damping = _within(shape, now.radius)
            step = shape.back(turned, now.scale)
            small = np.all(np.abs(step) <= STEP * (np.abs(now.theta) + 1e-3), axis=1)
            left = shape.gain * np.where(now.gain > shape.gain, shape.gain / now.gain, 1.0)
            done = (left <= offset**2 * now.sse) | (small & (damping == 0)) | (now.sse == 0)
            done &= np.isfinite(now.sse)
            ended = done | ~np.isfinite(now.sse) | (spent >= max_evaluations)
            ended |= now.radius <= LEAST_RADIUS * (_norm(now.scale * now.theta) + 1e-300)
            if ended.all() or ended.sum() > 0.3 * len(ended) or (ended & ~done).any():
                out = now.which[ended]
                last = np.where((done & np.isfinite(step).all(axis=1))[:, None], step, 0.0)
                params[out] = (now.theta + last)[ended]  # the step still to come is tiny: take it
                sse[out], converged[out] = now.sse[ended], done[ended]
                if ended.all():
                    break
                now.keep(~ended)
                continue
            held = np.flatnonzero(damping > 0)
            if len(held):
                step[held] += _bend(evaluate, now, shape, step, damping, held)
                spent += 1
            _try(evaluate, now, step, shape, damping)
            spent += 1
    return Minimum(params, sse, converged, spent)


def _begin(evaluate, params):
    which, theta = np.arange(len(params)), params.copy()
    r, jac = evaluate(theta, which)
    scale = np.maximum(np.sqrt(np.einsum("bnk,bnk->bk", jac, jac)), 1e-150)
    size = _norm(scale * theta)
    radius = FIRST_RADIUS * np.where(size > 0, size, 1.0)
    return _Descent(which, theta, r, jac, _sum_squares(r), scale, radius, 0 * radius)


def _norm(rows):
    return np.sqrt(np.einsum("bk,bk->b", rows, rows))


def _sum_squares(r):
    sse = np.einsum("bn,bn->b", r, r)
    return np.where(np.isfinite(sse), sse, np.inf)


def _quadratic(now):
    """Gauss-Newton matrix and gradient in the scale of the parameters, turned to their axes."""
    if now.jac.shape[2] == 1:
        column = now.jac[:, :, 0]
        values = np.einsum("bn,bn->b", column, column)[:, None]
        slope = np.einsum("bn,bn->b", column, now.r)[:, None]
        gain = (slope**2 / np.maximum(values, 1e-300))[:, 0]
        now.scale = np.maximum(now.scale, np.sqrt(values))
        return _Quadratic(values / now.scale**2, slope / now.scale, None, gain)
    columns = now.jac.transpose(0, 2, 1)
    matrix, slope = columns @ now.jac, np.matmul(columns, now.r[:, :, None])[:, :, 0]
    now.scale = np.maximum(now.scale, np.sqrt(np.diagonal(matrix, axis1=1, axis2=2)))
    unit = matrix / (now.scale[:, :, None] * now.scale[:, None, :])
    slope = slope / now.scale
    broken = ~(np.isfinite(unit).all(axis=(1, 2)) & np.isfinite(slope).all(axis=1))
    if broken.any():
        unit[broken], slope[broken] = np.eye(unit.shape[1]), 0.0
    # Eigenvalues tell a flat direction apart from a singular one without ever failing.
    values, vectors = np.linalg.eigh(unit)
    slope = np.matmul(slope[:, None, :], vectors)[:, 0]
    gain = (slope**2 / np.maximum(values, 1e-14)).sum(axis=1)
    return _Quadratic(np.maximum(values, 0), slope, vectors, np.where(broken, np.inf, gain))


def _within(shape, radius):
    """The step (b, k) along the axes that stays within the radius, and its damping (b,)."""
    damping = np.zeros(len(radius))
    step = -shape.slope / (shape.values + 1e-16)
    length = _norm(step)
    far = np.flatnonzero(length > 1.1 * radius)
    if not len(far):
        return step, damping
    values, slope, goal = shape.values[far], shape.slope[far], radius[far]
    lam = np.maximum(_norm(slope) / goal - values.max(axis=1), 0.0)
    for _ in range(30):  # Hebden's iteration: the inverse of the length is all but straight
        inverse = 1 / (values + lam[:, None] + 1e-16)
        here = (slope * inverse) ** 2
        length = np.sqrt(here.sum(axis=1))
        if (np.abs(length - goal) <= 0.1 * goal).all():
            break
        lam += here.sum(axis=1) / (here * inverse).sum(axis=1) * (length - goal) / goal
        lam = np.maximum(lam, 0.0)
    step[far], damping[far] = -slope * inverse, np.maximum(lam, 1e-300)
    return step, damping


def _foreseen(shape, damping):
    """What the damped step takes off the sum of squares (b,), as the tangent sees it."""
    lam = damping[:, None]
    part = shape.slope**2 * (shape.values + 2 * lam) / (shape.values + lam + 1e-16) ** 2
    return part.sum(axis=1)


def _bend(evaluate, now, shape, step, damping, held):
    """Half the acceleration along the step [3], cut short where it outgrows the step."""
    v, scale = step[held], now.scale[held]
    ahead, _ = evaluate(now.theta[held] + LOOK_AHEAD * v, now.which[held])
    jac, along = now.jac[held], (ahead - now.r[held]) / LOOK_AHEAD
    curved = 2 / LOOK_AHEAD * (along - np.einsum("bnk,bk->bn", jac, v))
    part = _Quadratic(
        shape.values[held],
        shape.slope[held],
        None if shape.vectors is None else shape.vectors[held],
        shape.gain[held],
    )
    turned = part.along(np.einsum("bnk,bn->bk", jac, curved), scale)
    bend = part.back(-0.5 * turned / (part.values + damping[held, None] + 1e-16), scale)
    share = MOST_BEND / 2 * _norm(scale * v) / np.maximum(_norm(scale * bend), 1e-300)
    bend *= np.minimum(share, 1.0)[:, None]
    return np.where(np.isfinite(bend).all(axis=1)[:, None], bend, 0.0)


def _try(evaluate, now, step, shape, damping):
    """Take the step where it is none for the worse; the radius learns from what it brought."""
    trial = now.theta + step
    r, jac = evaluate(trial, now.which)
    sse = _sum_squares(r)
    better = sse <= now.sse * (1 + 1e-13)
    foreseen = _foreseen(shape, damping)
    now.gain = np.where(better & (damping == 0), shape.gain, 0.0)
    brought = np.where(foreseen > 1e-13 * now.sse, (now.sse - sse) / foreseen, 1.0)
    length = _norm(now.scale * step)
    wild = ~(sse <= 100 * now.sse)
    shrunk = np.minimum(now.radius, length) * np.where(wild, 0.1, np.where(brought < 0, 0.25, 0.5))
    grown = np.maximum(now.radius, 2 * length)
    good = (brought > 0.75) | ((damping == 0) & (brought >= 0.25))
    now.radius = np.where(brought < 0.25, shrunk, np.where(good, grown, now.radius))
    if better.all():
        now.theta, now.r, now.jac, now.sse = trial, r, jac, sse
    else:
        now.theta = np.where(better[:, None], trial, now.theta)
        now.r = np.where(better[:, None], r, now.r)
        now.jac = np.where(better[:, None, None], jac, now.jac)
        now.sse = np.where(better, sse, now.sse)
