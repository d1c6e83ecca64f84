"""How well one explanation of land and lens fits the mean profile of an edge."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from edgetest.photo.apex.lens_edges import (
    FORMS,
    HALF_FALL,
    LEAST_BLUR_PX,
    edge_of,
    round_side,
)
from edgetest.photo.descent import Damping, descend

APERTURES = ("disc", *FORMS)
# Where the lens's own parameter starts: pixels, and blurs.
STARTS = {
    "moved": (0, 2.5),
    "disc": (0, 1.6),
    "annular": (0, 1.5),
    "hexagon": (0, 1.6),
    "diffracted": (0, 2.2),
    "rolled": (0, 0),
}
BEHIND_LAND, BEHIND_RADIUS = 0.35, 0.5  # of the width that is seen: where it starts
CORNER_BLURS = 0.5  # a corner's reach, where it starts
DESCENT = Damping(turns=16, ease=5, press=10, most=1e4)


@dataclass(frozen=True)
class Explanation:
    """One way to explain the mean profile.

    Attributes
    ----------
    name : str
        "plain", "sloped" (bevels), "rounded" (land darker towards its sides), "dome" (its
        light falls to nothing there), "moved", "disc", "annular", "hexagon" (aperture out of
        focus), "diffracted" (at the lens's aperture), "rolled" (one side softer), "cornered"
        (land with round corners, at the lens's aperture).
    width_px, blur_px : float
        The blur is the Gaussian part alone.
    extra : float
        Fall of the land's light towards its sides (rounded, share), length of the
        movement across the edge (moved, pixels), radius of the aperture's picture (pixels),
        by how much the left side is softer than the
        mean of both (rolled, pixels).
    chi2 : float
        Misfit, per degree of freedom.
    form : float
        Of an aperture, see `edgetest.photo.apex.lens_edges.FORMS`; of "cornered", over what
        distance a corner's light falls off (standard deviation, pixels).
    """

    name: str
    width_px: float
    blur_px: float
    extra: float
    chi2: float
    form: float = 0.0


def fit_behind(profile, width, blur_px):
    """A narrow land behind an aperture wider than itself: each aperture's explanation.

    Parameters and errors as for `fit_explanation`.
    """
    start = Explanation("disc", BEHIND_LAND * width, 0.5 * blur_px, BEHIND_RADIUS * width, 0.0)
    disc = fit_explanation("disc", profile, width, blur_px, like=start)
    others = (fit_explanation(name, profile, width, blur_px, like=disc) for name in FORMS)
    return disc, *others


def fit_explanation(name, profile, width, blur_px, *, like=None):
    """Levenberg-Marquardt over middle, width, blur and lens; variable projection of the rest.

    Parameters
    ----------
    name : str
    profile : tuple of ndarray, shape (bins,)
        Distance from the middle (pixels), light, its standard deviation.
    width, blur_px : float
        To start from.
    like : Explanation, optional
        To start from instead, for an aperture: another aperture; for round corners: the lens.

    Returns
    -------
    Explanation
    """
    t, value, sd = profile
    start, low = [0.0, width, blur_px], [-np.inf, 0.3, LEAST_BLUR_PX]
    limit = np.full(5, 0.5 * blur_px + 0.1)
    if like is not None:
        start = [0.0, like.width_px, like.blur_px, like.extra]
        low += [0.0]
    elif name in STARTS:
        fixed, blurs = STARTS[name]
        start[2] *= 0.6 if name in ("moved", "diffracted", *APERTURES) else 1.0
        start += [fixed + blurs * blur_px]
        low += [-np.inf if name == "rolled" else 0.0]
    high = [np.inf] * len(start)
    if name in FORMS:
        least, most = FORMS[name]
        start, low, high = [*start, (least + most) / 2], [*low, least], [*high, most]
        limit[4] = (most - least) / 3
    elif name == "cornered":
        start, low, high = [*start, CORNER_BLURS * blur_px], [*low, 0.0], [*high, np.inf]
    weighted = value / sd

    def state_of(p):
        """Misfit, its slopes, and what is linear."""
        steps = 1e-3 * np.maximum(np.abs(p), 0.3)
        off, linear = _solve(name, t, weighted, sd, p + np.vstack([0 * p, np.diag(steps)]))
        slope = ((off[1:] - off[0]) / steps[:, None]).T
        normal = slope.T @ slope
        normal[np.diag_indices(p.size)] += 1e-12
        return off[0] @ off[0], slope.T @ off[0], normal, linear[0]

    p, state = descend(state_of, np.array(start), limit[: len(start)], (low, high), DESCENT)
    extra, linear = float(p[3]) if p.size > 3 else 0.0, state[3]
    if name == "rounded":
        extra = float(-linear[-1] / max(linear[1] - (linear[0] + linear[2]) / 2, 1e-6))
    chi2 = float(state[0]) / max(t.size - 12, 1)
    form = float(p[4]) if p.size > 4 else 0.0
    return Explanation(name, float(p[1]), float(p[2]), extra, chi2, form)


def _solve(name, t, weighted, sd, p):
    """Residuals for sets of the parameters that are not linear (rows), and the linear ones."""
    basis = _columns(name, t, p) / sd
    size = np.sqrt((basis**2).sum(axis=2, keepdims=True)) + 1e-12
    basis /= size
    normal = basis @ basis.transpose(0, 2, 1) + 1e-10 * np.eye(basis.shape[1])
    linear = np.linalg.solve(normal, basis @ weighted[:, None])
    return weighted - (linear.transpose(0, 2, 1) @ basis)[:, 0], (linear / size)[..., 0]


def _columns(name, t, p):
    """Ground below, land, ground above; ramps of the ground; the land's curvature.

    Shape (sets, columns, places) for the sets of parameters in the rows of `p`.
    """
    middle, width, blur = (p[:, i : i + 1] for i in range(3))
    nothing = np.zeros_like(middle)
    extra, form = (p[:, i : i + 1] if p.shape[1] > i else nothing for i in (3, 4))
    blur, half = np.maximum(blur, LEAST_BLUR_PX), width / 2
    a, b = t - middle + half, t - middle - half
    if name == "rolled":
        soft = np.clip(extra, LEAST_BLUR_PX - blur, blur - LEAST_BLUR_PX)
        rise, fall = ndtr(a / (blur + soft)), ndtr(b / (blur - soft))
    elif name == "cornered":
        reach = np.minimum(form, half / HALF_FALL)
        flat = half - HALF_FALL * reach
        inward = np.concatenate([t - middle + flat, flat - t + middle], axis=1)
        both = round_side(inward, blur, extra, reach)
        rise, fall = both[:, : t.size], 1 - both[:, t.size :]
    else:
        both = edge_of(name, np.concatenate([a, b], axis=1), blur, extra, form)
        rise, fall = both[:, : t.size], both[:, t.size :]
    columns = [1 - rise, rise - fall, fall]
    if name == "plain":
        return np.stack(columns, axis=1)
    z0, z1 = a / blur, b / blur
    bell0, bell1 = _bell(z0), _bell(z1)
    up0, up1 = (rise, fall) if name in ("sloped", "rounded", "dome") else (ndtr(z0), ndtr(z1))
    columns += [blur * (bell0 - z0 * (1 - up0)) / 20, blur * (bell1 + z1 * up1) / 20]
    if name in ("rounded", "dome"):
        u = t - middle
        inside = up0 - up1
        square = u**2 * inside - 2 * u * blur * (bell1 - bell0)
        square += blur**2 * (inside + z1 * bell1 - z0 * bell0)
        if name == "dome":
            columns[1] = inside - square / half**2
        else:
            columns.append(square / half**2)
    return np.stack(columns, axis=1)


def _bell(z):
    return np.exp(-0.5 * z * z) / np.sqrt(2 * np.pi)
