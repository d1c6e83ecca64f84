"""One law fitted to many curves at once, on the log scale, the fresh reading solved for exactly."""

from dataclasses import dataclass

import numpy as np

from edgetest.stats.least_squares import minimise

# Shapes start from the best point of a grid: what has not settled by then is flat in some way.
WEAR_FIT = {"offset": 1e-6, "max_evaluations": 250}


@dataclass(frozen=True)
class Curves:
    """Curves of one law, padded to the same number of stages S.

    `cuts` (B, S); `log_value` (B, S), natural log of the readings' stage means; `root`
    (B, S, S) or (B, S): root of the inverse covariance of `log_value` (rows of zeros where a
    curve has no stage), a vector of 1/sd where the stages are independent.
    """

    cuts: np.ndarray
    log_value: np.ndarray
    root: np.ndarray

    def take(self, which):
        """The curves numbered `which`, in that order."""
        return Curves(self.cuts[which], self.log_value[which], self.root[which])


@dataclass(frozen=True)
class Shapes:
    """Fits: `log_scale` (B,), `psi` (B, k), weighted sums of squares `sse` (B,), `at_end` (B,).

    `at_end` says that a shape ran to the end of its law's range: no wear seen, or the fresh
    reading not seen.
    """

    log_scale: np.ndarray
    psi: np.ndarray
    sse: np.ndarray
    at_end: np.ndarray


def whiten(root, values):
    """Apply a root (B, S, S) or (B, S) to values (B, S) or (B, S, k)."""
    if root.ndim == 3:
        return np.matmul(root, values if values.ndim == 3 else values[..., None]).reshape(
            values.shape
        )
    return root[..., None] * values if values.ndim == 3 else root * values


def fit_shapes(law, curves, *, held=None, start=None):
    """Fit `law` to every curve: least squares of the whitened log readings.

    Parameters
    ----------
    law : Law
    curves : Curves
    held : dict, optional
        Index of a psi -> its value, (B,) or one number, where it is not fitted.
    start : ndarray (B, k), optional
        Start values; the best point of the law's own grid if left out.

    Returns
    -------
    Shapes
    """
    held = held or {}
    n_curves = len(curves.cuts)
    free = [i for i in range(len(law.psi_names)) if i not in held]
    ones = whiten(curves.root, np.ones_like(curves.cuts))
    unit = ones / np.maximum(np.sqrt(_dot(ones, ones))[:, None], 1e-300)
    target = _without(unit, whiten(curves.root, curves.log_value))
    span = curves.cuts.max(axis=1)
    low, high = law.box(span)
    for i, value in held.items():
        low[:, i] = high[:, i] = value
    if start is None:
        grid = law.starts(span)
        for i in held:
            grid[..., i] = low[:, None, i]
        start = _best_of_grid(law, curves, unit, target, grid)
    for i in held:
        start[:, i] = low[:, i]

    def evaluate(part, which):
        psi = start[which].copy()
        psi[:, free] = part
        inside = (psi >= low[which]) & (psi <= high[which])
        psi = np.clip(psi, low[which], high[which])
        some = len(which) < n_curves
        root, u = (curves.root[which], unit[which]) if some else (curves.root, unit)
        n, wanted = (curves.cuts[which], target[which]) if some else (curves.cuts, target)
        r = _without(u, whiten(root, law.log_shape(n, psi))) - wanted
        slopes = law.slopes(n, psi)
        columns = [slopes[..., i] * inside[:, i, None] for i in free]
        columns = [_without(u, whiten(root, column)) for column in columns]
        jac = columns[0][..., None] if len(free) == 1 else np.stack(columns, axis=-1)
        return r, jac

    found = minimise(evaluate, start[:, free], **WEAR_FIT)
    psi = start.copy()
    psi[:, free] = found.params
    psi = np.clip(psi, low, high)
    at_end = ((psi <= low) | (psi >= high))[:, free].any(axis=1)
    gap = whiten(curves.root, curves.log_value - law.log_shape(curves.cuts, psi))
    scale = _dot(ones, gap) / np.maximum(_dot(ones, ones), 1e-300)
    return Shapes(scale, psi, found.sse, at_end)


def _dot(a, b):
    return np.einsum("bs,bs->b", a, b)


def _without(unit, values):
    """Take the direction `unit` (B, S) out of values (B, S)."""
    return values - unit * _dot(unit, values)[:, None]


def _best_of_grid(law, curves, unit, target, grid):
    """Best grid point of every curve (B, k)."""
    best, best_sse = grid[:, 0].copy(), np.full(len(grid), np.inf)
    for g in range(grid.shape[1]):
        psi = grid[:, g]
        r = _without(unit, whiten(curves.root, law.log_shape(curves.cuts, psi))) - target
        sse = _dot(r, r)
        better = sse < best_sse
        best[better], best_sse[better] = psi[better], sse[better]
    return best
