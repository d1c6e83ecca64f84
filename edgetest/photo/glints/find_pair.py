"""Where do two bright lines run side by side? The path between them and a first guess of both.

The strongest ridge of the picture is one of the lines, or both at once where they lie close.
The picture is unrolled along it out to its borders; the mean profile across shows both.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from edgetest.photo.apex.find_band import find_band, reduce, ridges
from edgetest.photo.apex.straighten import Track, UnrolledStrip, make_track, unroll
from edgetest.photo.smooth import local_line

BLOCK_PX = 4  # along the lines: places that are averaged into one
LEAST_LIGHT = 0.004  # of full scale: a picture darker than this shows nothing
CLEAR = 6.0  # a line stands out from the profile's own scatter by so many of its deviations
# Of the stronger line: one fainter than this is no line of the pair. Where a width wanders, the
# mean profile along the first line washes the second out to 0.055 (one edge of 24).
SECOND = 0.03
MARGIN = 3.0  # deviations of a line that must lie within the picture beyond it
TOUCHED = 0.02  # share of a sample that may be overexposed and count still
ROUNDS = 2  # of straightening
REACH_PX = 12.0  # along the lines, over which their path is smoothed


@dataclass(frozen=True)
class PairPath:
    """The picture unrolled along the middle of two lines, and what its mean profile shows.

    Attributes
    ----------
    strip : UnrolledStrip
        `x` counts from the middle of the pair.
    profile : ndarray, shape (n,)
        Median light at each distance from the middle.
    lines : (float, float) or None
        Places of both lines on the profile, pixels; None where it has one summit alone.
    sd_px : float
        Width of a line, as a Gaussian's deviation.
    upright : bool
        The lines run down the picture.
    full : ndarray of bool, shape (places, n)
        Where the strip holds a pixel at the upper end of the camera's range.
    """

    strip: UnrolledStrip
    profile: np.ndarray
    lines: tuple[float, float] | None
    sd_px: float
    upright: bool
    full: np.ndarray


def find_pair(grey, saturated=None):
    """The path between two bright lines, or the code of the reason why there is none.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols), float32
    saturated : ndarray of bool, shape (rows, cols), optional

    Returns
    -------
    PairPath or None
    reason : str or None
    """
    small, factor = reduce(grey)
    low, high = np.percentile(small, [1, 99.9])
    if high < LEAST_LIGHT:
        return None, "too_dark"
    if high - low < 0.02 * high + 0.002:
        return None, "no_contrast"
    bright, _, sigmas = ridges(small)
    band = find_band(factor, bright, sigmas)
    track = make_track(band.centre_rc, grey.shape)
    half = float(max(grey.shape))
    offset = np.zeros(len(track.s))
    for turn in range(ROUNDS + 1):
        strip = unroll(grey, track, half, block=BLOCK_PX, centre=offset)
        profile, noise = usual_profile(strip)
        lines, sd_px = two_summits(strip.x, profile, noise)
        if sd_px is None:
            return None, "no_lines"
        middle = 0.0 if lines is None else (lines[0] + lines[1]) / 2
        reach = sd_px if lines is None else (lines[1] - lines[0]) / 2 + 2 * sd_px
        shift = middle + drift(strip, profile, middle, reach, sd_px, turn)
        places = np.arange(len(track.s))
        at = np.arange(len(shift)) * BLOCK_PX + (BLOCK_PX - 1) / 2
        offset = offset + np.interp(places, at, local_line(shift, REACH_PX / BLOCK_PX))
    strip = unroll(grey, track, half, block=BLOCK_PX, centre=offset)
    profile, noise = usual_profile(strip)
    lines, sd_px = two_summits(strip.x, profile, noise)
    full = np.zeros(strip.values.shape, dtype=bool)
    if saturated is not None:
        over = saturated.astype(np.float32)
        full = unroll(over, track, half, block=BLOCK_PX, centre=offset).values > TOUCHED
    at = np.arange(len(strip.values)) * BLOCK_PX + (BLOCK_PX - 1) / 2
    shift = np.interp(at, np.arange(len(offset)), offset)[:, None]
    path = strip.track
    middle_rc = path.centre_rc + shift * path.normal_rc
    strip = replace(strip, track=Track(path.s, middle_rc, path.normal_rc))
    return PairPath(strip, profile, lines, sd_px, band.upright, full), None


def usual_profile(strip):
    """Median over the places that see each distance, and the scatter of that median."""
    values = np.where(strip.weight > 0, strip.values, np.nan)
    enough = (strip.weight > 0).mean(axis=0) > 0.25
    profile = np.full(strip.x.size, np.nan)
    profile[enough] = np.nanmedian(values[:, enough], axis=0)
    off = np.abs(values[:, enough] - profile[enough])
    noise = 1.5 * float(np.median(np.nanmedian(off, axis=0))) / np.sqrt(len(values) / 4)
    return profile, noise


def two_summits(x, profile, noise):
    """Places of the two summits of a profile that stand out most, and a line's deviation.

    Returns
    -------
    lines : (float, float) or None
        None where only one stands out.
    sd_px : float or None
        None where not even one does.
    """
    seen = np.isfinite(profile)
    inside, light = x[seen], profile[seen]
    if light.size < 9:
        return None, None
    smooth = cv2.GaussianBlur(light[None].astype(np.float32), (0, 0), 0.7).ravel()
    rise = prominences(smooth)
    first = int(np.argmax(rise))
    if rise[first] < CLEAR * noise:
        return None, None
    sd_px = line_deviation(smooth, first, rise[first])
    others = np.flatnonzero((rise > SECOND * rise[first]) & (rise > CLEAR * noise))
    others = others[others != first]
    if not others.size:  # two lines in one: the wider flank holds both
        return None, line_deviation(smooth, first, rise[first], max)
    second = int(others[np.argmax(rise[others])])
    places = sorted((float(inside[first]), float(inside[second])))
    sd_px = min(sd_px, line_deviation(smooth, second, rise[second]))
    return (places[0], places[1]), sd_px


def prominences(light):
    """How far each summit stands above the higher of the valleys that part it from a higher one."""
    rise = np.zeros(light.size)
    inner = light[1:-1]
    for top in np.flatnonzero((inner > light[:-2]) & (inner >= light[2:])) + 1:
        valleys = []
        for side in (light[top::-1], light[top:]):
            higher = np.flatnonzero(side > light[top])
            valleys.append(side[: higher[0] if higher.size else None].min())
        rise[top] = light[top] - max(valleys)
    return rise


def line_deviation(light, top, rise, flank=min):
    """Deviation of the Gaussian that is as wide at half its rise on one flank, the narrower."""
    reach = []
    for side in (light[top::-1], light[top:]):
        under = np.flatnonzero(side < light[top] - rise / 2)
        if under.size:
            k = int(under[0])
            drop = side[k - 1] - side[k]
            reach.append(k - 1 + (side[k - 1] - light[top] + rise / 2) / max(drop, 1e-12))
    return float(flank(reach, default=1.0) / np.sqrt(2 * np.log(2)))


def drift(strip, profile, middle, reach, sd_px, turn):
    """Sideways shift of every place against the mean profile, by cross-correlation."""
    near = np.abs(strip.x - middle) <= reach + 2 * sd_px + 2
    pattern = np.nan_to_num(profile[near] - np.nanmean(profile[near]))
    room = round(reach if turn == 0 else 2 * sd_px) + 2
    where = np.flatnonzero(near)
    low, high = max(where[0] - room, 0), min(where[-1] + room + 1, strip.x.size)
    smooth = cv2.GaussianBlur(strip.values[:, low:high], (0, 0), sigmaX=0.7, sigmaY=2.0)
    pattern = np.ascontiguousarray(pattern[None], dtype=np.float32)
    score = cv2.matchTemplate(smooth, pattern, cv2.TM_CCOEFF)
    best = np.argmax(score, axis=1)
    if score.shape[1] < 3:  # what shows the lines fills the strip: hardly a place to move to
        return best - float(where[0] - low)
    inner = np.clip(best, 1, score.shape[1] - 2)
    rows = np.arange(len(best))
    before, here, after = (score[rows, inner + k] for k in (-1, 0, 1))
    bend = before - 2 * here + after
    part = np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, 1), 0.0)
    found = inner + np.clip(part, -1, 1) - (where[0] - low)
    return found
