"""A land too bright for the camera, measured from the feet of its two flanks.

Where the land is clipped its own light is not in the picture, but the flank below the
clip still is. Half the land's height lies below the clip up to twice full scale; how high
the land is shows in the bend of the flank. Place by place that is known badly, over the
whole edge well: the pixels as they stand, each at its own distance from its side, are
pooled, and both flanks are fitted together with one land level and one blur.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from edgetest.photo.apex.lens_edges import disc_edge, gaussian_edge
from edgetest.photo.apex.narrow_band import pixels_across
from edgetest.photo.smooth import local_line, robust_line

BIN_PX = 0.25
SIDE_PX = 14.0  # along the edge; a side bends no faster
FULL_SHARE = 0.01  # of a bin's pixels: from here on the clip is felt in its mean
FEWEST = 5  # bins of a flank
STRETCHES = 16
SLOPE_PLACES = 8.0  # over which the slope of a side is smoothed
MODEL_SHARE = 0.0015  # of the land: no lens follows the model better
LEAST_LAND, MOST_LAND = 0.5, 6.0  # times full scale
ROUNDS = 2
# A halo round the light (bloom) passes for a soft flank of a land that shines without bound: the
# width then reads 13 to 29 % too small. Places tell the same blur as all pooled where there is
# none (0.88 to 1.00 of it, land to 4.5; with a halo 1.56 to 2.5 or the land at its bound).
HALO_BLUR, HALO_LAND = 1.25, 0.95


@dataclass(frozen=True)
class Flank:
    """Mean light against the distance from one side, outward negative, below the clip.

    `parts`, shape (`STRETCHES`, bins), is what every stretch of the edge adds to the mean's
    deviation: the bins of one stretch go up and down together where its land is brighter.
    """

    distance: np.ndarray
    value: np.ndarray
    sd: np.ndarray
    parts: np.ndarray
    along: float
    across: float


@dataclass(frozen=True)
class Flanks:
    """Both flanks fitted: shifts of the two sides outward (pixels), land, blur, misfit.

    `u_px` is the standard uncertainty of the width for the scatter of the picture,
    `lens_px` what another lens (a disc) would make of the width.
    """

    outward: tuple[float, float]
    land: float
    blur_px: float
    chi2: float
    u_px: float
    lens_px: float = 0.0


def overexposed_width(grey, sides, used, upright, clipped):
    """Sides of an overexposed land corrected by what its pooled flanks say.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        Linear light.
    sides : FittedSides
        Fitted with one land level for all places.
    used : ndarray of bool, shape (n,)
    upright : bool
        The edge runs down the picture.
    clipped : float
        Light from which a pixel counts as full.

    Returns
    -------
    FittedSides or None
        With land, blur and `shared_u_px` of the flanks; None where too little of a flank
        lies below the clip, or a halo bends it.
    """
    single = float(np.median(sides.blur_px))
    for _ in range(ROUNDS):
        flanks = [_flank(grey, sides, used, upright, side, clipped) for side in (-1, 1)]
        if any(flank is None for flank in flanks):
            return None
        blur, land = float(np.median(sides.blur_px)), float(np.median(sides.land))
        found = fit_flanks(flanks, blur, land)
        if found.blur_px > HALO_BLUR * single or found.land > HALO_LAND * MOST_LAND:
            return None
        left, right = found.outward
        sides = replace(
            sides,
            left=sides.left - left,
            right=sides.right + right,
            width_px=sides.width_px * (1 + (left + right) / np.mean(sides.right - sides.left)),
            land=np.full(len(sides.land), found.land),
            blur_px=np.full(len(sides.blur_px), found.blur_px),
            shared_u_px=float(np.hypot(found.u_px, found.lens_px)),
        )
    return sides


def _flank(grey, sides, used, upright, side, clipped):
    """Pixels of one flank pooled by their distance from the smoothed side."""
    offset = sides.left if side < 0 else sides.right
    line, _ = robust_line(offset, max(3.0, SIDE_PX / sides.block), weight=used + 1e-6)
    points = sides.track.centre_rc + line[:, None] * sides.track.normal_rc
    blur, width = float(np.median(sides.blur_px)), float(np.median(sides.width_px))
    outward, inward = 4.5 * blur + 3, min(4.5 * blur + 3, width / 2)
    found = pixels_across(
        grey, points, used, upright, outward, fewest=2 * STRETCHES, bend=SLOPE_PLACES
    )
    if found is None:
        return None
    value, distance, cosine = found
    # The normal of a path that runs down the picture points to the other side of it.
    across = sides.track.normal_rc[:, 1 if upright else 0].mean()
    distance = distance * np.sign(across) * -side
    return _pooled(distance, value, outward, inward, cosine.mean(), clipped)


def _pooled(distance, value, outward, inward, cosine, clipped):
    """Bin means from outside inward, up to where the clip begins to be felt."""
    number = int(np.ceil((outward + inward) / BIN_PX))
    index = np.floor((distance + outward) / BIN_PX).astype(int)
    ok = (index >= 0) & (index < number)
    stretch = np.broadcast_to((np.arange(len(value)) * STRETCHES // len(value))[:, None], ok.shape)
    cell = (stretch * number + index)[ok]
    size, shape = STRETCHES * number, (STRETCHES, number)
    count = np.bincount(cell, minlength=size).reshape(shape)
    total = np.bincount(cell, value[ok], minlength=size).reshape(shape)
    full = np.bincount(index[ok], value[ok] > clipped, minlength=number)
    place = np.bincount(index[ok], distance[ok], minlength=number)
    many = count.sum(axis=0)
    enough = many >= max(8, 0.15 * np.median(many))
    felt = np.flatnonzero(enough & (full > FULL_SHARE * many))
    enough[felt[0] if felt.size else number :] = False
    if enough.sum() < FEWEST:
        return None
    count, total, many = count[:, enough], total[:, enough], many[enough]
    mean = total.sum(axis=0) / many
    off = np.where(count > 0, total / np.maximum(count, 1) - mean, 0.0)
    parts = count / many * off
    variance = (parts**2).sum(axis=0) * STRETCHES / (STRETCHES - 1)
    # Few stretches tell one bin's variance badly; its neighbours help.
    smooth = local_line(variance * many, 3.0)
    variance = 0.5 * variance + 0.5 * np.maximum(smooth, 1e-12) / many
    sine = np.sqrt(max(1 - cosine**2, 0))
    return Flank(place[enough] / many, mean, np.sqrt(variance), parts, cosine, sine)


def fit_flanks(flanks, blur_px, land):
    """Land level, blur and place of both sides from their flanks.

    Parameters
    ----------
    flanks : (Flank, Flank)
    blur_px, land : float
        To start from.

    Returns
    -------
    Flanks
    """
    found = [_fitted(flanks, blur_px, land, edge) for edge in (gaussian_edge, disc_edge)]
    best, other = sorted(found, key=lambda f: f.chi2)
    # Another lens counts as far as the picture does not speak against it.
    possible = np.exp(-0.5 * (other.chi2 - best.chi2) / max(best.chi2 / _freedom(flanks), 1))
    apart = abs(sum(other.outward) - sum(best.outward))
    return replace(best, lens_px=float(apart * possible))


def _freedom(flanks):
    return max(sum(flank.value.size for flank in flanks) - 6, 1)


def _fitted(flanks, blur_px, land, edge):
    """Weighted least squares for one kind of lens."""
    start = [0.0, 0.0, *(float(f.value[0]) for f in flanks), land, max(blur_px, 0.5)]
    low = [-3, -3, -0.2, -0.2, LEAST_LAND, 0.3]
    high = [3, 3, 1.0, 1.0, MOST_LAND, 2 * max(blur_px, 0.5) + 1]
    cell = (np.arange(5) - 2) / 5

    def off(p):
        parts = []
        for k, flank in enumerate(flanks):
            # A pixel seen at an angle: a box along the normal, and a little more blur.
            blur = np.sqrt(p[5] ** 2 + flank.across**2 / 12)
            x = flank.distance[:, None] + p[k] + cell * flank.along
            model = p[2 + k] + (p[4] - p[2 + k]) * edge(x, blur).mean(axis=1)
            parts.append((flank.value - model) / np.hypot(flank.sd, MODEL_SHARE * p[4]))
        return np.concatenate(parts)

    start = np.clip(start, np.add(low, 1e-3), np.subtract(high, 1e-3))
    fit = least_squares(off, start, bounds=(low, high), x_scale=[0.1, 0.1, 0.05, 0.05, 0.3, 0.2])
    chi2 = 2 * float(fit.cost)
    # How the width follows every bin, and from there what the stretches make of it.
    sd = np.concatenate([np.hypot(f.sd, MODEL_SHARE * fit.x[4]) for f in flanks])
    width_by = np.linalg.pinv(np.asarray(fit.jac, dtype=float))[:2].sum(axis=0) / sd
    from_parts = np.concatenate([f.parts for f in flanks], axis=1) @ width_by
    scatter = (from_parts**2).sum() * STRETCHES / (STRETCHES - 1)
    model = ((width_by * MODEL_SHARE * fit.x[4]) ** 2).sum()
    u_px = float(np.sqrt((scatter + model) * max(1.0, chi2 / _freedom(flanks))))
    left, right = (float(v) for v in fit.x[:2])
    return Flanks((left, right), float(fit.x[4]), float(fit.x[5]), chi2, u_px)
