"""From a rough path to first guesses: the band's mean profile, then its sides place by place."""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.photo.apex.straighten import Track, make_track, unroll

STEP_PX = 3.0  # along the path, of the reduced picture
ALIKE_PX = 20.0  # neighbours along the path that count as one
# Of the reduced picture, and of the land's width: where another band is looked for, how wide it is
NEAR_GAP_PX, NEAR_WIDTHS, LEAST_RUN = 2.0, 1.5, 0.4


@dataclass(frozen=True)
class Context:
    """Mean profile across the band out to the picture's borders (pixels of the picture).

    Attributes
    ----------
    x, profile, seen, spread : ndarray, shape (n,)
        Distance from the path, median light there, share of the path that sees it, and
        the median's standard error (neighbours over twenty pixels taken as one).
    left, right : float or None
        Half-level crossings on either side of the middle; None where there is none.
    land, below, above : float
        Levels of the land and of the ground left and right of it.
    elsewhere : float
        Share of the picture beyond the land that is brighter than what is usual at its
        distance by half the land's light.
    beside : float
        Share of the places with another band as bright as half the land near by, beyond a gap.
    """

    x: np.ndarray
    profile: np.ndarray
    seen: np.ndarray
    left: float | None
    right: float | None
    land: float
    below: float
    above: float
    spread: np.ndarray
    elsewhere: float
    beside: float = 0.0

    @property
    def certain(self):
        """The land stands out from the scatter of the profile."""
        middle = int(np.argmin(np.abs(self.x)))
        return self.land - max(self.below, self.above) > 4 * self.spread[middle]


def look_around(small, band):
    """Context of a band on the reduced picture."""
    factor = band.reduction
    path = (band.centre_rc + 0.5) / factor - 0.5
    # The land may cover only a part of the path: look where the response is strong.
    strong = band.strength >= 0.5 * np.quantile(band.strength, 0.75)
    track = make_track(path, small.shape, step_px=STEP_PX)
    major = 0 if band.upright else 1
    nearest = np.clip(np.rint(track.centre_rc[:, major]).astype(int), 0, len(path) - 1)
    keep = strong[nearest]
    track = Track(track.s[keep], track.centre_rc[keep], track.normal_rc[keep])
    strip = unroll(small, track, 0.75 * max(small.shape))
    seen = strip.weight.mean(axis=0)
    enough = seen > 0.2
    x, seen, inside = strip.x[enough], seen[enough], strip.weight[:, enough] > 0
    values = strip.values[:, enough]
    profile = _median_where(values, inside)
    off = _median_where(np.abs(values - profile), inside)
    spread = 1.86 * off / np.sqrt(np.maximum(seen * len(values) * STEP_PX / ALIKE_PX, 1))
    middle = int(np.argmin(np.abs(x)))
    half = max(1, round(band.sigma_px / factor / 2))
    land = float(np.median(profile[max(0, middle - half) : middle + half + 1]))
    reach = round(3 * band.sigma_px / factor) + 8
    left, below = _side(profile[: middle + 1][::-1], land, reach)
    right, above = _side(profile[middle:], land, reach)
    scale = float(factor)
    beyond = inside & (np.abs(x) > 3 * band.sigma_px / factor + 4)
    bright = values - profile > (land - max(below, above)) / 2
    return Context(
        x=x * scale,
        profile=profile,
        seen=seen,
        left=None if left is None else -left * scale,
        right=None if right is None else right * scale,
        land=land,
        below=below,
        above=above,
        spread=spread,
        elsewhere=float(bright[beyond].mean()) if beyond.any() else 0.0,
        beside=_another_near(values, inside, x, (left, right), (land, max(below, above))),
    )


def _another_near(values, inside, x, sides, levels):
    """Share of the places with a bright run beyond a dark gap, within the land's width or so."""
    left, right = sides
    if left is None or right is None:
        return 0.0
    width, (land, ground) = left + right, levels
    middle, half = (right - left) / 2, width / 2
    off = np.abs(x - middle) - half
    beyond = (off > NEAR_GAP_PX) & (off < NEAR_WIDTHS * width + 2 * NEAR_GAP_PX)
    bright = inside[:, beyond] & (values[:, beyond] > (land + ground) / 2)
    return float((bright.sum(axis=1) >= max(2, LEAST_RUN * width)).mean())


def _median_where(values, counted):
    """Median of the counted values of every column; each has one."""
    ordered = np.sort(np.where(counted, values, np.inf).T, axis=1)
    count = counted.sum(axis=0)
    at = np.arange(len(ordered))
    return (ordered[at, (count - 1) // 2] + ordered[at, count // 2]) / 2


def _side(outward, land, reach):
    """Distance to the half-level crossing and the ground's level, going outward."""
    if outward.size < 3:
        return None, land
    ground = float(np.min(outward[: reach + 1]))
    under = np.flatnonzero(outward < (land + ground) / 2)
    if not under.size or under[0] == 0:
        return None, ground
    place = int(under[0])
    drop = outward[place - 1] - outward[place]
    part = (outward[place - 1] - (land + ground) / 2) / drop if drop > 0 else 0.5
    after = outward[place : place + reach]
    return place - 1 + float(part), float(np.min(after))


@dataclass(frozen=True)
class Sides:
    """First guess of the band's sides: offsets from the strip's middle at its every block.

    `usual` is the contrast of a good place (upper quartile: the land may cover only a
    part of the path), `width` and `blur_px` are medians over good places.
    """

    left: np.ndarray
    right: np.ndarray
    land: np.ndarray
    below: np.ndarray
    above: np.ndarray
    usual: float
    width: float
    blur_px: float

    @property
    def contrast(self):
        """Land over the mean of both grounds."""
        return self.land - (self.below + self.above) / 2


def trace_sides(strip, width_px):
    """Half-level crossings of every block and the levels.

    Parameters
    ----------
    strip : UnrolledStrip
        Band within it, middle near x = 0.
    width_px : float
        Rough width.

    Returns
    -------
    Sides
    """
    smooth = cv2.GaussianBlur(strip.values, (0, 0), sigmaX=0.8, sigmaY=1.5)
    middle = smooth.shape[1] // 2
    core = max(1, round(0.25 * width_px))
    land = np.median(smooth[:, middle - core : middle + core + 1], axis=1)
    left, below = _crossings(smooth[:, middle::-1], land, width_px)
    right, above = _crossings(smooth[:, middle:], land, width_px)
    contrast = np.maximum(land - (below + above) / 2, 1e-6)
    usual = float(np.quantile(contrast, 0.75))
    good = contrast >= 0.5 * usual
    steep = np.max(np.abs(np.diff(smooth, axis=1)), axis=1)[good] / contrast[good]
    blur = float(np.clip(1 / (np.sqrt(2 * np.pi) * max(np.median(steep), 1e-3)), 0.6, 40))
    width = float(np.median((left + right)[good]))
    return Sides(-left, right, land, below, above, usual, width, blur)


def _crossings(outward, land, width_px):
    """Distance of the half-level crossing of every row, and the ground's level."""
    start = min(outward.shape[1] - 2, max(2, round(0.75 * width_px)))
    below = np.median(outward[:, start:], axis=1)
    level = (land + below) / 2
    under = outward < level[:, None]
    under[:, -1] = True
    place = np.maximum(np.argmax(under, axis=1), 1)
    rows = np.arange(len(outward))
    inner, outer = outward[rows, place - 1], outward[rows, place]
    part = np.clip((inner - level) / np.maximum(inner - outer, 1e-9), 0, 1)
    return place - 1 + part, below
