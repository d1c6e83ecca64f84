"""Chips in the apex view: places where one side of the land departs outward."""

import cv2
import numpy as np

from edgetest.photo.apex.apex_result import Chip
from edgetest.photo.apex.straighten import unroll
from edgetest.photo.smooth import robust_line, running_median

BASE_PX = 45.0  # the sides' own line bends no faster than this along the edge
LEAST_DEPTH_PX = 1.0
LEAST_SHARE = 0.06  # of the width: a shallower departure is the land's own unevenness
FARTHEST_PX = 40.0
SHORTEST_PX = 4.0
LEAST_LEVEL, MOST_LEVEL = 0.6, 1.25  # of the land's light; a scratch is darker, a label brighter
END_PX = 2  # damage that touches the end of the edge in the picture has no size
SHARPNESS = 3.0  # departures in spreads of the sound side
BESIDE_PX, SOUND_BESIDE = 30.0, 0.4  # on both sides of a chip so much can be measured
STEEPNESS = 0.04  # shallower for its length is the side's own line


def find_chips(grey, sides, whole, used, um_per_px):
    """Local widenings of either side of the land.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        The picture; chips may reach farther out than the strip that was fitted.
    sides : FittedSides
    whole : ndarray of bool, shape (n,)
        Places whose profile shows the band.
    used : ndarray of bool, shape (n,)
        Places that can be measured: a chip lies between such, a label that the path took
        for the edge does not.
    um_per_px : float

    Returns
    -------
    chips : list of Chip
        In order along the edge.
    struck : ndarray of bool, shape (n,)
        Places that a chip takes up.
    """
    struck = np.zeros(len(whole), dtype=bool)
    chips: list[Chip] = []
    if whole.sum() < 24:
        return chips, struck
    usual = float(np.median(sides.width_px[whole]))
    least = max(LEAST_DEPTH_PX, LEAST_SHARE * usual)
    strip = unroll(grey, sides.track, usual / 2 + max(FARTHEST_PX, usual))
    values = cv2.GaussianBlur(strip.values, (0, 0), sigmaX=0.5, sigmaY=0.6)
    levels = _levels(sides, whole)
    for side, outward in ((sides.left, -1), (sides.right, 1)):
        off, level = _departure(values, strip, sides, side, whole, levels, outward)
        if off.max() < least:
            continue
        for size in _sized(off, level, whole, used, sides, least):
            half = 0.62 * size["length"] + 1.5 * float(np.median(sides.blur_px)) + sides.block
            middle = np.arange(len(whole)) * sides.block + (sides.block - 1) / 2
            struck |= np.abs(middle - size["centre"]) < half
            chips.append(
                Chip(
                    position_um=float(size["centre"] + 0.5) * um_per_px,
                    length_um=float(size["length"]) * um_per_px,
                    depth_um=float(size["depth"]) * um_per_px,
                    length_u_um=float(size["length_u"]) * um_per_px,
                    depth_u_um=float(size["depth_u"]) * um_per_px,
                    side=outward,
                )
            )
    return sorted(chips, key=lambda chip: chip.position_um), struck


def _levels(sides, whole):
    """Light of the land and of both grounds along the edge, as if there were no chips."""
    index = np.arange(len(whole))
    # So slow a course is told by a few places in each stretch.
    step = max(1, int(BASE_PX / sides.block / 8))
    size = int(2 * BASE_PX / sides.block / step)

    def course(values, reach):
        return np.interp(index, index[::step], running_median(values[::step], reach))

    # Inside a deep chip the strip that was fitted shows no ground.
    width = course(sides.width_px, 2 * size)
    usual = whole & (np.abs(sides.width_px - width) < LEAST_DEPTH_PX + LEAST_SHARE * width)
    usual = usual if usual.any() else whole
    return [
        course(np.interp(index, index[usual], level[usual]), size)
        for level in (sides.land, sides.below, sides.above)
    ]


def _departure(values, strip, sides, side, whole, levels, outward):
    """Half-level crossing of one side less the side's own smooth line, and the light there.

    The fit place by place goes astray on the steep flanks of a chip; the crossing does not.
    """
    index = np.arange(len(whole))
    place = np.interp(index, index[whole], side[whole])
    base, _ = robust_line(place, BASE_PX / sides.block, weight=whole + 1e-3, cut=2.0)
    land, ground = levels[0], levels[1 if outward < 0 else 2]
    middle = len(strip.x) // 2
    ordered = values[:, middle:] if outward > 0 else values[:, middle::-1]
    half = (land + ground) / 2
    # From inside the land outward: the first place that is darker than the half level.
    inside = np.clip(np.rint(outward * base).astype(int) - 2, 0, ordered.shape[1] - 2)
    under = (ordered < half[:, None]) & (np.arange(ordered.shape[1]) > inside[:, None])
    under[:, -1] = True
    at = np.argmax(under, axis=1)
    before, after = ordered[index, at - 1], ordered[index, at]
    part = np.clip((before - half) / np.maximum(before - after, 1e-6), 0, 1)
    crossing = at - 1 + part
    off = crossing - outward * base
    # How bright the departure is: a chip shines like the land, a scratch does not.
    probe = np.rint(outward * base + np.maximum(0.6 * off, 0)).astype(int)
    light = ordered[index, np.clip(probe, 0, ordered.shape[1] - 1)]
    level = (light - ground) / np.maximum(land - ground, 1e-6)
    # Smoothing draws what lies beyond the picture in by two samples.
    seen = cv2.erode(strip.weight, np.ones((5, 5)), borderType=cv2.BORDER_CONSTANT, borderValue=1)
    seen = seen[:, middle:] if outward > 0 else seen[:, middle::-1]
    off[seen[index, at] == 0] = 0.0
    off[sides.land - ground < 0.3 * (land - ground)] = 0.0  # no land here
    return off, level


def _sized(off, level, whole, used, sides, least):
    """Sizes of the departures of one side that are chips."""
    # scipy.signal is slow to import, and most pictures have no use for it.
    from edgetest.photo.chip_model import size_departures
    from edgetest.photo.departures import edge_spread, find_departures

    block, n = sides.block, len(off)
    near = int(BESIDE_PX / block)
    blur = float(np.median(sides.blur_px[whole]))
    pixels = np.arange(n * block) / block - (block - 1) / (2 * block)
    e = np.interp(pixels, np.arange(n), off)
    spread, reach = edge_spread(e, np.abs(e) < least)
    if not np.isfinite(spread):
        return
    found = [s for s in find_departures(e, np.abs(e) < least, blur) if s.sign > 0]
    found = [s for s in found if e[s.low : s.high].max() > max(SHARPNESS * spread, 0.7 * least)]
    for stretch, size in zip(found, size_departures(e, found, blur, spread, reach), strict=True):
        places = slice(stretch.low // block, stretch.high // block + 1)
        beside = used[max(places.start - near, 0) : places.start], used[places.stop :][:near]
        whole_in = stretch.low > END_PX and stretch.high < len(e) - END_PX
        long = SHORTEST_PX <= size["length"] <= len(e) / 3
        deep = size["depth"] >= max(least, SHARPNESS * spread, STEEPNESS * size["length"])
        deep &= size["depth"] < 4 * size["length"]
        if _is_damage(level[places], beside) and whole_in and long and deep:
            yield size


def _is_damage(level, beside):
    """Whether a departure shines like the land and lies between places that can be measured.

    A scratch is darker, a label brighter.
    """
    usual, most = np.quantile(level, (0.5, 0.8))
    sound = all(part.size and part.mean() >= SOUND_BESIDE for part in beside)
    return usual > LEAST_LEVEL and most < MOST_LEVEL and sound
