"""One curve through the package's least-squares core: derivatives by differences, errors."""

from dataclasses import dataclass

import numpy as np

from edgetest.stats.least_squares import minimise


@dataclass(frozen=True)
class OneCurve:
    """A curve fitted to readings: `params` in the order of the start values."""

    params: np.ndarray
    stderr: np.ndarray
    residual_sd: float
    df: int
    converged: bool


def fit_curve(function, x, y, *, start, **settings):
    """Least squares of `function(x, *params)` to readings, derivatives by differences."""
    x, y, start = (np.asarray(each, dtype=float) for each in (x, y, start))
    found = descend(function, x, y, start, **settings)
    params, df = found.params[0], y.size - start.size
    sd = float(np.sqrt(np.sum((y - function(x, *params)) ** 2) / df))
    stderr = sd * unit_errors(function, x, params)
    return OneCurve(params, stderr, sd, df, bool(found.converged[0]))


def descend(function, x, y, start, **settings):
    """`minimise` on one curve."""

    def evaluate(params, _which):
        return (function(x, *params[0]) - y)[None], differences(function, x, params[0])[None]

    return minimise(evaluate, np.asarray(start, dtype=float)[None], **settings)


def unit_errors(function, x, params):
    """Standard errors of the parameters for readings that scatter by one."""
    jac = differences(function, x, params)
    scale = np.sqrt((jac**2).sum(axis=0))
    _, r = np.linalg.qr(jac / scale)
    inverse = np.linalg.solve(r, np.eye(len(params))) / scale[:, None]
    return np.sqrt((inverse**2).sum(axis=1))


def differences(function, x, params):
    """Five-point derivatives (n, p), good to about 1e-11 of the largest."""
    columns = []
    for i, value in enumerate(params):
        h = 1e-4 * (abs(value) or 1.0)
        at = [
            function(x, *np.r_[params[:i], value + k * h, params[i + 1 :]]) for k in (-2, -1, 1, 2)
        ]
        columns.append((at[0] - 8 * at[1] + 8 * at[2] - at[3]) / (12 * h))
    return np.stack(columns, axis=1)
