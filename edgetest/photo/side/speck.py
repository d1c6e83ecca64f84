"""Rolls told from specks of dust that lie on the edge.

A roll is steel: as dark as the blade, and widest where it leaves it. A speck lets light by, or
is narrower where it touches than higher up, so that light shows under it. A disc of free
darkness is laid over the pixels beside the roll's own form, and the better one tells.
"""

import numpy as np
from scipy.special import ndtr

from edgetest.photo.chip_model import form_slopes

CLEARLY = 20.0  # by so much less misfit (variance 1) one explanation is better than the other
OPAQUE = 0.85  # a speck lets more light by than this
OVERHANG = 0.3  # of a disc's radius that its centre lies above the edge, to show light under it


def tell_speck(patch, theta):
    """Whether a small roll is dust: "roll", "speck" (it lets light by), or "unsure".

    Parameters
    ----------
    patch : Patch
        About the roll.
    theta : ndarray, shape (6,)
        Its form.
    """
    as_roll = _light(patch, patch.line + form_slopes(patch.samples, theta)[0])
    bare = _light(patch, patch.line)
    # Only above the edge: its own roughness is neither's doing.
    seen = (bare < 0.3) & (np.abs(patch.columns - theta[0])[:, None] < np.exp(theta[1:3]).max() + 3)
    seen &= patch.weight.any(axis=1)[:, None]
    miss_roll = np.sum((as_roll - patch.cover)[seen] ** 2) / patch.noise**2
    disc, miss_disc = _fit_disc(patch, theta, seen, bare)
    line = float(np.interp(disc[0], patch.samples, patch.line))
    radius, darkness = np.exp(disc[2]), disc[3]
    overhangs = disc[1] - line > OVERHANG * radius
    if miss_roll < miss_disc - CLEARLY or not (darkness < OPAQUE or overhangs):
        return "roll"
    # A hooked roll overhangs, too: only what lets light by is surely dust.
    return "speck" if miss_disc < miss_roll - CLEARLY and darkness < OPAQUE else "unsure"


def _light(patch, height):
    """Blade's share of the light where the edge runs at such offsets."""
    return patch.weight @ ndtr((height[:, None] - patch.rows) / patch.blur)


def _disc(patch, disc, bare):
    """Blade's share of the light with a disc (column, offset, log radius, darkness) on it."""
    half = np.sqrt(np.clip(np.exp(2 * disc[2]) - (patch.samples - disc[0]) ** 2, 0, None))
    top = np.maximum(disc[1] + half, patch.line)[:, None]
    bottom = np.maximum(disc[1] - half, patch.line)[:, None]
    blot = ndtr((top - patch.rows) / patch.blur) - ndtr((bottom - patch.rows) / patch.blur)
    return bare + disc[3] * (patch.weight @ blot)


def _fit_disc(patch, theta, seen, bare):
    """Disc that explains the pixels best, and its misfit (Levenberg-Marquardt, 4 unknowns)."""
    length, depth = np.exp(theta[1]) + np.exp(theta[2]), np.exp(theta[3])
    line = float(np.interp(theta[0], patch.samples, patch.line))
    starts = []
    for radius, darkness in ((0.45 * length, 1.0), (0.55 * max(depth, 2.0), 0.6)):
        disc = np.array([theta[0], line + depth - radius, np.log(radius), darkness])
        if darkness < 1:
            disc[1] = line + 0.5 * depth / darkness
        starts.append((np.sum((_disc(patch, disc, bare) - patch.cover)[seen] ** 2), disc))
    return _descend(patch, min(starts, key=lambda start: start[0])[1], seen, bare)


def _descend(patch, disc, seen, bare):
    """One descent of `_fit_disc` from a start."""

    def misses(at):
        return (_disc(patch, at, bare) - patch.cover)[seen] / patch.noise

    steps = np.diag([0.1, 0.1, 0.03, 0.03])
    miss, damping = misses(disc), 1e-2
    for _ in range(15):
        slope = np.stack([(misses(disc + step) - miss) / step.max() for step in steps], axis=1)
        normal = slope.T @ slope
        change = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + 1e-9), slope.T @ miss)
        trial = disc - np.clip(change, [-2, -2, -0.4, -0.3], [2, 2, 0.4, 0.3])
        trial[3] = np.clip(trial[3], 0.05, 1.0)
        other = misses(trial)
        gained = miss @ miss - other @ other
        if gained > 0:
            disc, miss, damping = trial, other, damping / 5
            if gained < 0.1:
                break
        else:
            damping *= 8
            if damping > 1e3:
                break
    return disc, float(miss @ miss)
