"""Likelihood of a normal linear model whose values are known exactly or to an interval.

The values have the means Xβ (X the design) and the standard deviation σ. In g = 1/σ and
γ = β/σ the log-likelihood is concave [1]_, whatever is censored, so Newton's method finds its
maximum; many sets of values with one design are solved together.

References
----------
.. [1] J. Burridge, "A note on maximum likelihood estimation for regression models using
   grouped data", J. R. Stat. Soc. B 43 (1981) 41-45.
"""

import numpy as np

from edgetest.stats.censoring import normal_log_between

NARROW = 1e-6  # an interval of log values so narrow is taken as its middle
_STEPS = 80
_SETTLED = 1e-9  # of the log-likelihood still to be gained
_LOG_ROOT = 0.5 * np.log(2 * np.pi)
# Steepest g: 1e5 times finer than the spread of the values; beyond, nothing more is met.
_FINEST = 1e5


def highest(design, low, high):
    """Greatest log-likelihood of each of several sets of values under one design.

    Parameters
    ----------
    design : ndarray (n, p)
        Of full column rank, or its columns' effects that nothing tells stay where they are.
    low, high : ndarray (G, n)
        Ends of the values; equal where known, -inf and inf where open.

    Returns
    -------
    log_likelihood : ndarray (G,)
        Exact values enter by their density, intervals by their chance.
    params : ndarray (G, 1 + p)
        1/σ and β/σ.
    """
    exact = high - low < NARROW
    middle = middles(low, high)
    effects = middle @ np.linalg.pinv(design).T
    mean = effects @ design.T
    rest = np.sqrt(np.mean((middle - mean) ** 2, axis=1))
    width = np.where(np.isfinite(high - low), high - low, 0.0).mean(axis=1)
    unit = np.maximum(rest + width, 1e-9)[:, None]
    # About its own mean and on its own scale each set has g of order one and γ near none.
    start = np.zeros((len(low), 1 + design.shape[1]))
    start[:, 0] = 1.0
    value, params = _climb(design, (low - mean) / unit, (high - mean) / unit, exact, start)
    params[:, :1] /= unit
    params[:, 1:] += params[:, :1] * effects
    return value - exact.sum(axis=1) * np.log(unit[:, 0]), params


def middles(low, high):
    """A place for each value: its middle, or the end that it has (arrays of one shape)."""
    ends = np.isfinite(low), np.isfinite(high)
    lower, upper = np.where(ends[0], low, 0.0), np.where(ends[1], high, 0.0)
    return (lower + upper) / np.maximum(ends[0].astype(int) + ends[1], 1)


def _climb(design, low, high, exact, params):
    """Newton's method with steps halved until they climb, all sets at once."""
    value, gradient, bend = _likelihood(design, low, high, exact, params)
    for _ in range(_STEPS):
        step = _newton(bend, gradient)
        stuck = (params[:, 0] >= _FINEST) & (step[:, 0] > 0)
        step[stuck] = 0.0
        gain = np.einsum("gi,gi->g", gradient, step)
        if (gain < _SETTLED).all():
            break
        fall = np.minimum(step[:, 0], -1e-300)
        size = np.where(step[:, 0] < 0, np.minimum(1.0, -0.8 * params[:, 0] / fall), 1.0)
        for _ in range(40):
            trial = params + size[:, None] * step
            new = _likelihood(design, low, high, exact, trial)
            short = ~(new[0] >= value + 1e-4 * size * gain - 1e-12 * np.abs(value))
            if not short.any():
                break
            size = np.where(short, size / 2, size)
        params, (value, gradient, bend) = trial, new
    return value, params


def _newton(bend, gradient):
    """Step uphill; a slight ridge where a direction is flat."""
    scale = np.sqrt(np.maximum(np.einsum("gii->gi", bend), 1e-12))
    scaled = bend / (scale[:, :, None] * scale[:, None, :])
    scaled = scaled + 1e-9 * np.eye(bend.shape[1])
    return np.linalg.solve(scaled, (gradient / scale)[..., None])[..., 0] / scale


def _likelihood(design, low, high, exact, params):
    """Log-likelihood (G,), its gradient (G, 1 + p), and the Hessian's negative."""
    g, shift = params[:, :1], params[:, 1:] @ design.T
    open_low, open_high = np.isinf(low), np.isinf(high)
    lower, upper = np.where(open_low, 0.0, low), np.where(open_high, 0.0, high)
    z_low = np.where(open_low, -np.inf, g * lower - shift)
    z_high = np.where(open_high, np.inf, g * upper - shift)
    z = np.where(exact, z_low, 0.0)
    log_chance = np.where(exact, 0.0, normal_log_between(z_low, np.where(exact, z_low + 1, z_high)))
    value = np.where(exact, -0.5 * z**2 - _LOG_ROOT + np.log(g), log_chance).sum(axis=1)
    pull_low = np.where(exact | open_low, 0.0, _density_share(z_low, log_chance))
    pull_high = np.where(exact | open_high, 0.0, _density_share(z_high, log_chance))
    z_low, z_high = np.where(open_low, 0.0, z_low), np.where(open_high, 0.0, z_high)
    # Slopes of the log-likelihood along g and along the row's mean over σ.
    along_g = np.where(exact, 1 / g - z * lower, pull_high * upper - pull_low * lower)
    along_mean = np.where(exact, z, pull_low - pull_high)
    # Curvatures: pairs (g, g), (g, mean), (mean, mean), sign turned.
    bend_low, bend_high = pull_low * z_low, pull_high * z_high
    gg = bend_high * upper**2 - bend_low * lower**2 + along_g**2
    gm = -(bend_high * upper - bend_low * lower) + along_g * along_mean
    mm = bend_high - bend_low + along_mean**2
    gg = np.where(exact, 1 / g**2 + lower**2, gg)
    gm, mm = np.where(exact, -lower, gm), np.where(exact, 1.0, mm)
    gradient = np.column_stack([along_g.sum(axis=1), along_mean @ design])
    p = design.shape[1]
    bend = np.empty((len(low), 1 + p, 1 + p))
    bend[:, 0, 0] = gg.sum(axis=1)
    bend[:, 0, 1:] = bend[:, 1:, 0] = gm @ design
    products = (design[:, :, None] * design[:, None, :]).reshape(len(design), -1)
    bend[:, 1:, 1:] = (mm @ products).reshape(len(low), p, p)
    return value, gradient, bend


def _density_share(z, log_chance):
    """Normal density at an end, over the chance between the ends."""
    inner = np.where(np.isfinite(z), z, 0.0)
    return np.exp(np.minimum(-0.5 * inner**2 - _LOG_ROOT - log_chance, 300.0))
