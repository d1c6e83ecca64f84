"""A land too bright for the camera: how wide is it by the feet of its two flanks?

Where the land is clipped its own light is not in the picture, but the flank below the clip
still is. Half the land's height lies below the clip up to twice full scale; how high the land
is shows in the bend of the flank, which the lens bends, too. So the pixels as they stand, each at
its own distance from its side, are pooled over the whole edge, and the likelihood of every width
is taken over all lenses (diffraction, defocus and smoothing in any mixture) and all lands, on
grounds that a halo of the clipped light brightens towards the land.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from edgetest.photo.apex.lens_transfer import LEAST_PX, band_columns, best_lenses, blur_sd, waves
from edgetest.photo.apex.mean_width import independent_share
from edgetest.photo.apex.narrow_band import pixels_across
from edgetest.photo.smooth import local_line, robust_line

BIN_PX = 0.25
SIDE_PX = 14.0  # along the edge; a side bends no faster
FULL_SHARE = 0.2  # of a bin's pixels: its interquartile mean does not feel them yet
# Standard deviation, full scales a pixel, of the light that clipped neighbours take from pixels: a
# mosaic of filters and a camera's encoder mix them. With 0.005 mosaics bias widths upward, with 0.1
# a third of the pictures are refused that 0.03 measures.
MIXED = 0.03
# Misfit over the bins' scatter, squared, of the mean bin: 3.9 and less where the width came out
# right, 7 to 47 where a mosaic bent the flanks so that they passed for those of a darker land.
MOST_MISFIT = 4.0
FEWEST = 5  # bins of a flank
STRETCHES = 16
SLOPE_PLACES = 8.0  # over which the slope of a side is smoothed
MODEL_SHARE = 0.0015  # of full scale: no lens follows the model better
LEAST_LAND, MOST_LAND = (
    0.97,
    2.5,
)  # times full scale; the half level of a higher land is clipped, too
# Widths that are tried, in blurs from the half level of the clipped picture, which lies outside.
WIDER, NARROWER, LEAST_REACH_PX = 1.0, 4.0, 2.0
WIDTHS = 20  # at which the likelihood is taken: all over, then where it counts
# Lenses to start from, over the blur's standard deviation: diffraction, defocus, smoothing.
STARTS = ((2.7, 0.5, 0.25), (1.4, 1.6, 0.25), (1.2, 0.6, 0.8))
TURNS, MORE_TURNS = 9, (5, 3)
COUNTS = 18.0  # of misfit over its scale: beyond it a width counts for nothing
UNENDED = 0.1  # of the greatest likelihood, at the narrowest width tried
FAR_PX = 60.0  # sides so far apart do not feel each other: no wider band need be imaged
# Of 163 overexposed pictures of the second world (even seeds) 48 are measured, 96 % of their
# intervals hold the width, the farthest is 1.7 half-intervals off; with 3 and 0 it is 79 %, 4.7.
WARY = 5.0  # times the misfit of one independent value: lenses unlike ours are smooth
# Misfit, in independent values, that a Gaussian lens may leave more than any: then it is believed.
SIMPLER = 4.0
# Of the way from the clipped picture's half level to the land's, as a standard uncertainty: the
# land's own corners are rounded, and the filters of a mosaic clip one by one.
LEVEL_U = 0.16
PLAIN = 2.5, 0.03  # both behind a Gaussian lens, which leaves less open


@dataclass(frozen=True)
class Flank:
    """Mean light against the distance from one side, outward negative, below the clip.

    `mixed` is how far, in pixels, the bins lie inside the first that touch clipped pixels;
    `along` and `across` are cosine and sine of the edge's slope.
    """

    distance: np.ndarray
    value: np.ndarray
    sd: np.ndarray
    mixed: np.ndarray
    along: float
    across: float


@dataclass(frozen=True)
class Flanks:
    """Both flanks fitted: width and its standard uncertainty (pixels), land, blur, misfit."""

    width_px: float
    u_px: float
    land: float
    blur_px: float
    chi2: float


def overexposed_width(grey, sides, used, upright, clipped):
    """Sides of an overexposed land corrected by what its pooled flanks say.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        Linear light.
    sides : FittedSides
        Fitted to the clipped picture.
    used : ndarray of bool, shape (n,)
    upright : bool
        The edge runs down the picture.
    clipped : float
        Light from which a pixel counts as full.

    Returns
    -------
    FittedSides or None
        With land, blur and `shared_u_px` of the flanks; None where too little of a flank
        lies below the clip.
    """
    flanks = [_flank(grey, sides, used, upright, side, clipped) for side in (-1, 1)]
    if any(flank is None for flank in flanks):
        return None
    apart = float(np.mean(sides.width_px[used]))
    found = fit_flanks(flanks, apart, float(np.median(sides.blur_px[used])))
    if found is None:
        return None
    change = found.width_px - apart
    normal = change * (sides.right - sides.left).mean() / apart
    return replace(
        sides,
        left=sides.left - normal / 2,
        right=sides.right + normal / 2,
        width_px=sides.width_px + change,
        land=np.full(len(sides.land), found.land),
        blur_px=np.full(len(sides.blur_px), found.blur_px),
        shared_u_px=found.u_px,
    )


def _flank(grey, sides, used, upright, side, clipped):
    """Pixels of one flank pooled by their distance from the smoothed side."""
    offset = sides.left if side < 0 else sides.right
    line, _ = robust_line(offset, max(3.0, SIDE_PX / sides.block), weight=used + 1e-6)
    points = sides.track.centre_rc + line[:, None] * sides.track.normal_rc
    blur, width = float(np.median(sides.blur_px)), float(np.median(sides.width_px))
    outward, inward = 4.5 * blur + 3, min(4.5 * blur + 3, width / 2)
    given = {"fewest": 2 * STRETCHES, "bend": SLOPE_PLACES}
    found = pixels_across(grey, points, used, upright, outward, **given)
    if found is None:
        return None
    value, distance, cosine = found
    full = (grey > clipped).astype(np.float32)
    near = cv2.dilate(full, np.ones((3, 3), np.uint8))
    full, near = (
        pixels_across(a, points, used, upright, outward, **given)[0] for a in (full, near)
    )
    # The normal of a path that runs down the picture points to the other side of it.
    across = sides.track.normal_rc[:, 1 if upright else 0].mean()
    distance = distance * np.sign(across) * -side
    return _pooled(distance, value, (full, near), (outward, inward), cosine.mean())


def _pooled(distance, value, touched, reach, cosine):
    """Bin means from outside inward, up to where the clip begins to be felt."""
    outward, inward = reach
    number = int(np.ceil((outward + inward) / BIN_PX))
    index = np.floor((distance + outward) / BIN_PX).astype(int)
    ok = (index >= 0) & (index < number)
    stretch = np.broadcast_to((np.arange(len(value)) * STRETCHES // len(value))[:, None], ok.shape)
    cell = (stretch * number + index)[ok]
    size, shape = STRETCHES * number, (STRETCHES, number)
    count = np.bincount(cell, minlength=size).reshape(shape)
    total = np.bincount(cell, value[ok], minlength=size).reshape(shape)
    full, near = (np.bincount(index[ok], a[ok], minlength=number) for a in touched)
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
    variance = ((count / many * off) ** 2).sum(axis=0) * STRETCHES / (STRETCHES - 1)
    # Few stretches tell one bin's variance badly; its neighbours help.
    smooth = local_line(variance * many, 3.0)
    variance = 0.5 * variance + 0.5 * np.maximum(smooth, 1e-12) / many
    sine = np.sqrt(max(1 - cosine**2, 0))
    middle = _interquartile_means(index[ok], value[ok], number)[enough]
    mixed = BIN_PX * np.cumsum(near[enough] / many)
    sd = np.sqrt(variance + MODEL_SHARE**2)
    return Flank(place[enough] / many, middle, sd, mixed, float(cosine), float(sine))


def _interquartile_means(index, value, number):
    """Means of the middle half of every bin's values."""
    order = np.lexsort((value, index))
    total = np.concatenate([[0.0], np.cumsum(value[order])])
    ends = np.searchsorted(index[order], np.arange(number + 1))
    quarter = np.diff(ends) // 4
    low, high = ends[:-1] + quarter, ends[1:] - quarter
    return (total[high] - total[low]) / np.maximum(high - low, 1)


def fit_flanks(flanks, apart_px, blur_px):
    """Width by the likelihood of both flanks together, over all lenses, lands and halos.

    Parameters
    ----------
    flanks : (Flank, Flank)
    apart_px : float
        Distance of the two sides that the flanks' distances are counted from.
    blur_px : float
        To start from.

    Returns
    -------
    Flanks or None
        Mean and standard deviation of the width by its likelihood; None where that has not
        ended within the widths tried, and where no lens explains the flanks.
    """
    near = min(apart_px, FAR_PX)
    model = _Model(flanks, near)
    reach = max(blur_px, LEAST_REACH_PX / NARROWER)
    widths = np.linspace(max(near - NARROWER * reach, 0.2 * near), near + WIDER * reach, WIDTHS)
    start = max(blur_px, 0.5)
    every = _likely(model, widths, start * np.array(STARTS), (0, 1, 2))
    plain = _likely(model, widths, np.array([[LEAST_PX, LEAST_PX, start]]), (2,))
    simple = plain.chi2.min() < every.chi2.min() + SIMPLER * every.one
    found, wary, level_u = (plain, *PLAIN) if simple else (every, WARY, LEVEL_U)
    least = found.chi2.min()
    if not least < MOST_MISFIT * model.y.size:  # endless where no lens at all was tried to its end
        return None
    weight = np.exp(-0.5 * np.minimum((found.chi2 - least) / (wary * found.one), 700))
    if weight[0] > UNENDED:
        return None
    weight = weight / weight.sum()
    width = float(weight @ found.widths)
    step = found.widths[1] - found.widths[0]
    u_px = np.sqrt(weight @ (found.widths - width) ** 2 + step**2 / 12)
    u_px = float(np.hypot(u_px, level_u * (near - width)))
    best = slice(int(np.argmin(found.chi2)), int(np.argmin(found.chi2)) + 1)
    land = float(model.solved(found.widths[best], found.lens[best])[1][0])
    if land > MOST_LAND:
        return None
    blur = float(np.hypot(blur_sd(found.lens[best])[0], np.sqrt(1 / 12)))
    return Flanks(width + apart_px - near, u_px, land, blur, float(found.chi2.min()))


@dataclass(frozen=True)
class _Likely:
    """Least misfit of every width with its lens, and the misfit of one independent value."""

    widths: np.ndarray
    chi2: np.ndarray
    lens: np.ndarray
    one: float


def _likely(model, widths, starts, free):
    """The likelihood taken over all widths, and once more where it counts."""
    lens = np.repeat(starts, widths.size, axis=0)
    chi2, lens = model.profiled(widths, lens, TURNS, free)
    one = _one(model, widths, chi2, lens)
    for turns in MORE_TURNS:
        counts = np.flatnonzero(chi2 <= chi2.min() + 2 * COUNTS * WARY * one)
        first, last = max(counts[0] - 1, 0), min(counts[-1] + 1, widths.size - 1)
        fine = np.linspace(widths[first], widths[last], WIDTHS)
        nearest = np.abs(fine[:, None] - widths).argmin(axis=1)
        widths, lens = fine, lens[nearest]
        chi2, lens = model.profiled(widths, lens, turns, free)
        one = _one(model, widths, chi2, lens)
    return _Likely(widths, chi2, lens, one)


def _one(model, widths, chi2, lens):
    """Misfit of one independent value: the least there is, over their number."""
    best = int(np.argmin(chi2))
    off = model.solved(widths[best : best + 1], lens[best : best + 1])[0][0]
    parts = off[: model.first], off[model.first : -1]
    return float(chi2[best]) / sum(
        p.size * independent_share(p, np.ones(p.size, dtype=bool)) for p in parts
    )


class _Model:
    """Both flanks in one system of places: what lens and width leave of them."""

    def __init__(self, flanks, near):
        left, right = flanks
        place = np.concatenate([left.distance - near / 2, near / 2 - right.distance])
        along, across = ((getattr(left, k) + getattr(right, k)) / 2 for k in ("along", "across"))
        self.wave = waves(place, along, across)
        value, sd = (np.concatenate([getattr(f, k) for f in flanks]) for k in ("value", "sd"))
        self.weight = 1 / sd
        self.first = left.value.size  # values of the first flank
        self.ground = float(min(left.value[0], right.value[0]))
        self.y = np.append((value - self.ground) * self.weight, 0.0)
        # The halo brightens the ground of either side towards the land.
        self.rest = np.zeros((4, value.size))
        self.rest[0] = 1.0
        self.rest[1, : self.first] = left.distance
        self.rest[2, self.first :] = right.distance
        self.rest[3] = np.concatenate([left.mixed, right.mixed])

    def solved(self, widths, lens):
        """Weighted residuals, and land, with land, place, grounds and halo solved for."""
        band = band_columns(self.wave, widths, lens)
        rest = np.broadcast_to(self.rest, (len(band), *self.rest.shape))
        basis = np.concatenate([band, rest], axis=1) * self.weight
        believed = np.zeros((*basis.shape[:2], 1))
        believed[:, -1] = 1 / MIXED
        basis = np.concatenate([basis, believed], axis=2)
        normal = basis @ basis.transpose(0, 2, 1)
        size = np.sqrt(np.einsum("mkk->mk", normal))
        normal /= size[:, :, None] * size[:, None, :]
        normal += 1e-9 * np.eye(normal.shape[1])
        linear = np.linalg.solve(normal, (basis @ self.y)[..., None] / size[..., None])
        linear = linear / size[..., None]
        off = self.y - (linear.transpose(0, 2, 1) @ basis)[:, 0]
        return off, linear[:, 0, 0] + linear[:, 3, 0] + self.ground

    def profiled(self, widths, lens, turns, free):
        """Least misfit of every width, and its lens; infinite where no such land is clipped."""
        times = len(lens) // len(widths)
        each = np.tile(widths, times)
        lens, chi2 = best_lenses(lambda lens: self.solved(each, lens)[0], lens, turns, free)
        land = self.solved(each, lens)[1]
        chi2 = np.where(land > LEAST_LAND, chi2, np.inf)
        chi2, lens = chi2.reshape(times, -1), lens.reshape(times, -1, 3)
        best = np.argmin(chi2, axis=0)
        rows = np.arange(len(widths))
        return chi2[best, rows], lens[best, rows]
