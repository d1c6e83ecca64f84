"""Two lines of one blur, fitted place by place with and without light between them.

At every place the light is a ground on either side, two Gaussian lines of one deviation, and
between them either a ground of its own or none but that of both sides. Which of the two is
true no photograph says where the lines are close: the spacing spans both.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

GROUND = 4.0  # deviations of ground beside each line that are fitted with it
STEPS = 25
ROBUST = 2.5  # deviations beyond which a sample loses weight (Tukey's biweight at twice that)
LEAST_SD_PX = 0.45


@dataclass(frozen=True)
class FittedPair:
    """Two lines at every place.

    Attributes
    ----------
    middle, spacing, first, second, below, above, between : ndarray, shape (n,)
        Middle and distance of the lines in pixels, their heights, the grounds.
    spacing_u : ndarray, shape (n,)
        Standard error of the distance from the noise of its place.
    sd_px : float
        Deviation of the lines, all places together.
    misfit : ndarray, shape (n,)
        Root mean square of the residual.
    """

    middle: np.ndarray
    spacing: np.ndarray
    first: np.ndarray
    second: np.ndarray
    below: np.ndarray
    above: np.ndarray
    between: np.ndarray
    spacing_u: np.ndarray
    sd_px: float
    misfit: np.ndarray


def fit_pair(values, weight, x, start, *, filled):
    """Fit both lines of every place (Gauss-Newton, the deviation shared by all).

    Parameters
    ----------
    values, weight : ndarray, shape (n, m)
        Light and whether it counts.
    x : ndarray, shape (m,)
    start : (float, float, float)
        Middle, spacing and deviation of the mean profile, pixels.
    filled : bool
        Whether light between the lines is fitted, too.

    Returns
    -------
    FittedPair
    """
    seen = weight.max(axis=0) > 0
    mean = np.zeros((1, x.size))
    mean[0, seen] = np.nanmedian(np.where(weight > 0, values, np.nan)[:, seen], axis=0)
    state = _first(mean, x, start)
    state, _, _ = _iterated(mean, seen[None].astype(float), x, state, filled, True)
    sd_px = float(state[0, 7])
    state = np.repeat(state, len(values), axis=0)
    state, misfit, error = _iterated(values, weight, x, state, filled, False)
    middle, spacing, first, second, below, above, between, _ = state.T
    return FittedPair(middle, spacing, first, second, below, above, between, error, sd_px, misfit)


def _first(mean, x, start):
    """First guess from a mean profile: middle, spacing, heights, grounds, deviation."""
    middle, spacing, sd_px = start
    ground = np.percentile(mean, 10)
    heights = [
        float(np.interp(middle + side * spacing / 2, x, mean[0])) - ground for side in (-1, 1)
    ]
    between = max(float(np.interp(middle, x, mean[0])), ground)
    return np.array([[middle, spacing, *heights, ground, ground, between, sd_px]])


def pair_light(x, state, filled):
    """Light of the model, shape (n, m), and its slopes in the eight parameters, (n, m, 8)."""
    middle, spacing, first, second, below, above, between, sd = (
        state[:, k : k + 1] for k in range(8)
    )
    left, right = (x - middle + spacing / 2) / sd, (x - middle - spacing / 2) / sd
    peak_l, peak_r = np.exp(-(left**2) / 2), np.exp(-(right**2) / 2)
    step_l, step_r = ndtr(left), ndtr(right)
    if not filled:
        between = (below + above) / 2
    rise_l, rise_r = between - below, above - between
    light = below + rise_l * step_l + rise_r * step_r + first * peak_l + second * peak_r
    density = 1 / np.sqrt(2 * np.pi)
    d_left = rise_l * density * peak_l - first * left * peak_l
    d_right = rise_r * density * peak_r - second * right * peak_r
    slopes = np.empty((*light.shape, 8))
    slopes[..., 0] = -(d_left + d_right) / sd
    slopes[..., 1] = (d_left - d_right) / (2 * sd)
    slopes[..., 2], slopes[..., 3] = peak_l, peak_r
    if filled:
        slopes[..., 4], slopes[..., 5] = 1 - step_l, step_r
        slopes[..., 6] = step_l - step_r
    else:
        slopes[..., 4] = 1 - step_l / 2 - step_r / 2
        slopes[..., 5] = step_l / 2 + step_r / 2
        slopes[..., 6] = 0.0
    slopes[..., 7] = -(d_left * left + d_right * right) / sd
    return light, slopes


def _iterated(values, weight, x, state, filled, shared):
    """Damped Gauss-Newton with Tukey weights; `shared` moves the deviation, too."""
    free = [0, 1, 2, 3, 4, 5, *([6] if filled else []), *([7] if shared else [])]
    robust = np.ones_like(values)
    for step in range(STEPS):
        light, slopes = pair_light(x, state, filled)
        off = values - light
        counted = weight * robust
        part = slopes[..., free]
        weighted = part * counted[..., None]
        normal = np.einsum("nmi,nmj->nij", weighted, part)
        scale = np.einsum("nii->ni", normal)[:, :, None] * np.eye(len(free))
        normal = normal + (0.05 if step < 3 else 1e-6) * scale + 1e-12 * np.eye(len(free))
        change = np.linalg.solve(normal, np.einsum("nmi,nm->ni", weighted, off)[..., None])[..., 0]
        limit = np.full(len(free), np.inf)
        limit[:2] = state[0, 7] / 2
        if shared:
            limit[-1] = state[0, 7] / 4
        change = np.clip(change, -limit, limit)
        state = state.copy()
        state[:, free] += change
        state[:, 7] = np.maximum(state[:, 7], LEAST_SD_PX)
        if not shared and step >= 3:
            usual = 1.4826 * np.median(np.abs(off), axis=1, keepdims=True) + 1e-6
            robust = np.clip(1 - (off / (2 * ROBUST * usual)) ** 2, 0, 1) ** 2
    if not filled:
        state[:, 6] = (state[:, 4] + state[:, 5]) / 2
    light, slopes = pair_light(x, state, filled)
    off, counted = values - light, weight * robust
    count = np.maximum(counted.sum(axis=1) - len(free), 1)
    misfit = np.sqrt((counted * off**2).sum(axis=1) / count)
    part = slopes[..., free]
    normal = np.einsum("nmi,nmj->nij", part * counted[..., None], part)
    inverse = np.linalg.inv(normal + 1e-12 * np.eye(len(free)))
    return state, misfit, misfit * np.sqrt(np.maximum(inverse[:, 1, 1], 0))
