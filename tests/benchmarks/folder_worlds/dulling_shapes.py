"""How do the strokes that a piece needs grow as an edge dulls? Seven shapes of one mean rise.

f(s) = 1/g(s) is the work of a stroke, s the tool's strokes so far, those of the piece in hand
included one by one. g (strokes needed, fresh edge = 1) takes one of these shapes, scaled so that
its mean rise over the run is (nearly) the rate drawn:

    linear      g = 1 + k s             exponential  g = exp(k s)
    saturating  g = 1 + k(1-exp(-s/s0)), s0 a sixth to a half of the run
    root        g = 1 + k sqrt(s)       late         g = 1 + k s^2
    step        g = 1, then 1 + k after a nick at 20 to 75 % of the run (a tenth of k creeps)
    work_line   f = 1 - k s (never under 0.2)
"""

import numpy as np

SHAPES = ("linear", "exponential", "saturating", "root", "late", "step", "work_line")


def lognormal_about_one(rng, sd, size=None):
    """Log-normal scatter whose mean is about one."""
    return np.exp(rng.normal(0, sd, size) - sd * sd / 2)


def slope(x, y):
    """Least-squares slope of y over x."""
    x = np.asarray(x, float)
    return float(np.sum((x - x.mean()) * (y - np.mean(y))) / np.sum((x - x.mean()) ** 2))


def strokes_needed(shape, rise, run, dulling):
    """g(s): strokes needed at s strokes for one of a fresh edge, up by `rise` over `run`."""
    if shape == "linear":
        return lambda s: 1 + rise * s / run
    if shape == "exponential":
        k = np.log1p(rise) / run
        return lambda s: np.exp(k * np.minimum(s, 1.5 * run))
    if shape == "saturating":
        s0 = dulling["s0_share"] * run
        k = rise / (1 - np.exp(-run / s0))
        return lambda s: 1 + k * (1 - np.exp(-s / s0))
    if shape == "root":
        return lambda s: 1 + rise * np.sqrt(s / run)
    if shape == "late":
        return lambda s: 1 + rise * np.minimum(s / run, 1.5) ** 2
    if shape == "step":
        at = dulling["nick_share"] * run
        return lambda s: 1 + rise * (0.9 * (s >= at) + 0.1 * s / run)
    if shape == "work_line":
        k = (1 - 1 / (1 + rise)) / run
        return lambda s: 1 / np.maximum(1 - k * s, 0.2)
    raise ValueError(shape)


def dulled(tool, made, run):
    """g(s) of a tool over its run; one throughout where it does not dull."""
    rate = made.rate[tool]
    if rate == 0:
        return np.ones_like
    return strokes_needed(made.shape[tool], rate * run / 100, run, made.dulling)
