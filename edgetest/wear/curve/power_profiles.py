"""What each blade's readings say of the wedge law's power: profile likelihoods."""

import numpy as np

from edgetest.wear.curve.batch_fit import fit_shapes
from edgetest.wear.curve.profile_likelihood import Pull

POWER = 1  # place of log p in the wedge law's psi
AT_ONCE = 4e6  # numbers in the roots of curves that are fitted together: 32 MB
POWER_STEPS = np.linspace(-5.0, 5.0, 21)  # standard errors at which powers are profiled


def power_profile(law, curves, log_powers, start=None):
    """Sum of squares (B, G) of every curve at each log power (G,), or each at its own (B, G)."""
    n, g = len(curves.cuts), np.shape(log_powers)[-1]
    powers, out = np.broadcast_to(log_powers, (n, g)), np.empty((n, g))
    some = max(int(AT_ONCE // (g * curves.root[0].size)), 1)
    for begin in range(0, n, some):
        which = np.arange(begin, min(begin + some, n))
        many = curves.take(np.repeat(which, g))
        first = None if start is None else np.repeat(start[which], g, axis=0)
        shapes = fit_shapes(law, many, held={POWER: powers[which].ravel()}, start=first)
        out[which] = shapes.sse.reshape(-1, g)
    return out


def power_pulls(fitted, stretch):
    """Profile likelihood of each blade's power by the other blades and the prior.

    Parameters
    ----------
    fitted : Fitted
    stretch : ndarray (B,)
        Quantile used for each blade over the normal one: the prior is not stretched by a
        scatter known from few readings, so that its deviance is raised by as much.

    Returns
    -------
    Pull
    """
    group, var, grid = fitted.group, np.diag(fitted.power_cov), fitted.powers_tried
    sse = fitted.at_powers
    total = np.zeros(grid.shape)
    np.add.at(total, group, sse)
    # What the other heat treatments and the prior say of one: its moments without its readings.
    precision = np.maximum(1 / var - fitted.precision, 1e-6)
    centre = (fitted.powers.shift / var - fitted.pull) / precision + fitted.prior_mean
    prior = precision[:, None] * (grid - centre[:, None]) ** 2
    others = total[group] - sse + stretch[:, None] ** 2 * prior[group]
    at = grid[group]
    return Pull(POWER, at, np.stack([_signed_root(*each) for each in zip(at, others, strict=True)]))


def _signed_root(grid, goal):
    """Signed root of the deviance: the rise above the minimum, negative to its left."""
    i = int(np.clip(np.argmin(goal), 1, len(grid) - 2))
    bend = goal[i - 1] - 2 * goal[i] + goal[i + 1]
    move = float(np.clip((goal[i - 1] - goal[i + 1]) / (2 * bend), -1, 1)) if bend > 0 else 0.0
    lowest = goal[i] - bend * move**2 / 2
    centre = grid[i] + move * (grid[1] - grid[0])
    return np.sign(grid - centre) * np.sqrt(np.maximum(goal - lowest, 0.0))
