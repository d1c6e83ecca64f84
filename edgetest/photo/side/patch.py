"""Small damage fitted in the straightened picture itself, where the blur hides its form.

Light added up across the edge loses what the picture still shows: how wide a notch is at each
depth. So a small departure is fitted as it lies in the picture: its form (see `form.shape`)
drawn on the smooth line, blurred both ways, against every pixel about it. The edge's own
roughness, and what no such form fits, move each column by a little; these movements have the
covariance of the sound edge and are taken out together (generalised least squares).
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import cho_factor, cho_solve, toeplitz
from scipy.special import ndtr

from edgetest.photo.chip_model import BLURS_LONG, form_prior, form_slopes, with_summit
from edgetest.photo.departures import FLOOR_PX
from edgetest.photo.descent import Damping, descend
from edgetest.photo.side.speck import tell_speck

MODEL = 0.03
BLURS_TOP = 8.0  # damage longer than this shows its summit, whatever its form
BLUR_U = 0.06
MOST_PIXELS = 9000
NOWHERE = 1e-12  # weight of a column that the form does not reach
DAMPING = Damping(turns=12, ease=6, press=8, most=1e4, still=1e-3)


@dataclass(frozen=True)
class Patch:
    """The straightened picture about one departure, ready to be fitted.

    `cover` (columns, rows) is the blade's share of the light, `columns` are the samples along
    the edge; `weight` (columns, samples) is
    what the blur along the edge makes of the finer `samples`; `line` is the smooth line there
    and `rows` are the offsets of the rows. `alike` is the covariance of the columns.
    """

    cover: np.ndarray
    columns: np.ndarray
    rows: np.ndarray
    samples: np.ndarray
    line: np.ndarray
    weight: np.ndarray
    alike: np.ndarray
    blur: float
    noise: float


def cut_patch(strip, line, low, high, depth_px, blur, noise, covariance):
    """Patch of the columns from `low` to `high`; None where it is too large to be worth it.

    Parameters
    ----------
    strip : Strip
    line : ndarray, shape (n,)
        Offset of the smooth line at each column (with other damage on it).
    low, high : int
    depth_px : float
        How far from the line to look, negative into the blade.
    blur, noise : float
    covariance : ndarray
        Autocovariance of the sound edge by lag, pixels squared.
    """
    reach = 4 * blur + 2
    near = line[low:high]
    first = near.min() - reach + min(depth_px, 0) - strip.offsets[0]
    last = near.max() + reach + max(depth_px, 0) - strip.offsets[0]
    first, last = max(0, int(first)), min(len(strip.offsets), int(last) + 2)
    if (high - low) * (last - first) > MOST_PIXELS or high - low < 8:
        return None
    at = np.arange(low, high, dtype=float)
    step = float(np.clip(0.4 * blur, 0.3, 1.0))
    samples = np.arange(low - 3.5 * blur - 1, high + 3.5 * blur + 1, step)
    weight = np.exp(-0.5 * ((at[:, None] - samples) / max(blur, 0.3)) ** 2)
    weight /= weight.sum(axis=1, keepdims=True)
    alike = np.zeros(high - low)
    alike[: min(alike.size, covariance.size)] = covariance[: alike.size]
    return Patch(
        np.ascontiguousarray(strip.cover[first:last, low:high].T, dtype=float),
        at,
        strip.offsets[first:last],
        samples,
        np.interp(samples, np.arange(line.size), line),
        weight,
        _possible(alike),
        max(blur, 0.3),
        float(np.hypot(noise, MODEL)),
    )


def _possible(covariance):
    """Covariance matrix of columns by lag; one that no process has is lifted until one has it."""
    matrix = toeplitz(covariance)
    try:
        cho_factor(matrix, lower=True)
    except np.linalg.LinAlgError:
        # No eigenvalue lies below the least of the spectrum (Szegő's bounds of a Toeplitz matrix).
        turns = np.outer(np.linspace(0, np.pi, 4 * covariance.size), np.arange(covariance.size))
        spectrum = 2 * np.cos(turns) @ covariance - covariance[0]
        matrix[np.diag_indices_from(matrix)] += max(-float(spectrum.min()), 0.0) + FLOOR_PX**2
    return matrix


def refine_forms(strip, line, forms, stretches, blur, noise, covariance):
    """Forms of damage, those that the blur reaches fitted again to the pixels.

    Parameters
    ----------
    strip : Strip
    line : ndarray, shape (n,)
        Offset of the smooth line.
    forms : list of Form
        Fitted to the edge line.
    stretches : list of Stretch
    blur, noise : float
    covariance : ndarray
        Autocovariance of the sound edge by lag.
    """
    smooth = covariance.copy()
    smooth[0] = min(smooth[0], max(2 * smooth[1] - smooth[2], smooth[1])) + FLOOR_PX**2
    forms = list(forms)
    index = np.arange(line.size, dtype=float)
    for number, (form, stretch) in enumerate(zip(forms, stretches, strict=True)):
        if stretch.high - stretch.low >= BLURS_LONG * blur:
            continue
        others = line.copy()
        for other in (number - 1, number + 1):
            if 0 <= other < len(forms):
                others += stretches[other].sign * form_slopes(index, forms[other].theta)[0]
        # A speck that lets light by reaches further than a roll of as much darkness.
        depth = np.exp(form.theta[3]) * (2.5 if stretch.sign > 0 else -1.3)
        patch = cut_patch(strip, others, form.low, form.high, depth, blur, noise, smooth)
        if patch is None:
            continue
        theta, cov = refine(patch, stretch.sign, form.theta, form.misfit, form.bounds)
        form = replace(form, theta=theta, cov=cov)
        if stretch.high - stretch.low > BLURS_TOP * blur:
            left, variance = _left_over(patch, stretch.sign, theta, form.misfit)
            form = with_summit(form, left, variance)
        if stretch.sign > 0:
            form = replace(form, kind=tell_speck(patch, theta))
        forms[number] = form
    return forms


def refine(patch, sign, theta, misfit, bounds):
    """Form of a departure by the pixels themselves.

    Parameters
    ----------
    patch : Patch
    sign : {-1, 1}
    theta : ndarray, shape (6,)
        Where to start: centre, log left, log right, log depth, log p, log q.
    misfit : ndarray
        Covariance by lag of how far the true form may lie from the best of the family.
    bounds : (ndarray, ndarray)

    Returns
    -------
    theta, cov : ndarray
    """
    loose = patch.alike + toeplitz(misfit)
    limit = np.array([0.2 * np.exp(theta[1:3].max()) + 0.5, 0.5, 0.5, 0.5, 0.4, 0.4])
    theta, state = descend(
        lambda theta: _state(patch, sign, theta, loose), theta, limit, bounds, DAMPING
    )
    excess = max(1.0, state[3] / max(1, patch.cover.size - 6))
    return theta, np.linalg.pinv(state[2]) * excess


def _state(patch, sign, theta, alike):
    """Total cost, gradient, normal matrix, cost of the data alone."""
    height, slopes = form_slopes(patch.samples, theta)
    off = (patch.line + sign * height)[:, None] - patch.rows
    seen = patch.weight @ ndtr(off / patch.blur)
    bell = np.exp(-0.5 * (off / patch.blur) ** 2) / (patch.blur * np.sqrt(2 * np.pi))
    moved = patch.weight @ bell
    # All at once: (columns, 7, rows)
    product = np.empty((len(bell), 7, bell.shape[1]))
    product[:, :6] = sign * slopes.T[:, :, None] * bell[:, None, :]
    product[:, 6] = -off * bell  # by log blur
    jac = (patch.weight @ product.reshape(len(bell), -1)).reshape(len(seen), 7, -1) / patch.noise
    moved = moved / patch.noise
    miss = (seen - patch.cover) / patch.noise
    power = np.sum(moved**2, axis=1)
    mixed = np.einsum("cr,ckr->ck", moved, jac)
    pull = np.sum(moved * miss, axis=1)
    # Movements of the columns taken out: (alike^-1 + power)^-1, without inverting `alike`.
    root = np.sqrt(power + NOWHERE)
    inner = cho_factor(np.eye(power.size) + root[:, None] * alike * root, lower=True)
    mixed, pull = mixed / root[:, None], pull / root
    both = np.column_stack([mixed, pull])
    freed = both - cho_solve(inner, both)
    flat = jac.transpose(1, 0, 2).reshape(7, -1)
    normal = flat @ flat.T - mixed.T @ freed[:, :7] + 1e-9 * np.eye(7)
    gradient = flat @ miss.ravel() - mixed.T @ freed[:, 7]
    cost = float(np.sum(miss**2) - pull @ freed[:, 7])
    # The blur, too, is only known so well.
    share = normal[:6, 6] / (normal[6, 6] + BLUR_U**-2)
    cost -= gradient[6] ** 2 / (normal[6, 6] + BLUR_U**-2)
    gradient = gradient[:6] - share * gradient[6]
    normal = normal[:6, :6] - np.outer(share, normal[6, :6])
    prior, prior_jac = form_prior(theta)
    gradient = gradient + prior_jac.T @ prior
    normal = normal + prior_jac.T @ prior_jac
    return cost + float(prior @ prior), gradient, normal, cost


def _left_over(patch, sign, theta, misfit):
    """By column, the mean of the misfit of the form given the pixels, and its variance."""
    own = toeplitz(misfit)
    height = form_slopes(patch.samples, theta)[0]
    off = ((patch.line + sign * height)[:, None] - patch.rows) / patch.blur
    miss = (patch.weight @ ndtr(off) - patch.cover) / patch.noise
    bell = np.exp(-0.5 * off**2) / (patch.blur * np.sqrt(2 * np.pi))
    moved = patch.weight @ bell / patch.noise
    root = np.sqrt(np.sum(moved**2, axis=1) + NOWHERE)
    inner = cho_factor(np.eye(root.size) + root[:, None] * (patch.alike + own) * root, lower=True)
    pull = cho_solve(inner, np.sum(moved * miss, axis=1) / root)
    known = root[:, None] * own
    return -sign * own @ (root * pull), np.diag(own) - np.sum(
        known * cho_solve(inner, known), axis=0
    )
