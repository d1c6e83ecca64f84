"""Damage of the land in the apex view: lips, notches and rolls, told by their sign and side."""

from dataclasses import replace

import numpy as np
from scipy.special import ndtr

from edgetest.photo.apex.apex_result import Chip
from edgetest.photo.apex.border_path import follow_borders, steady_track
from edgetest.photo.apex.usable_places import dilated
from edgetest.photo.smooth import running_median

LEVEL_PX = 45.0  # the light of land and ground changes no faster than this along the edge
LEAST_PX = 1.0
SHORTEST_PX = 4.0
END_PX = 2  # damage that touches the end of the edge in the picture has no size
SHARPNESS = 8.0  # departures in spreads of the sound side
VALLEY = 0.3  # a ragged bottom is one notch
LAND = 0.7
THIN = 3.0  # blurs
BESIDE_PX, SOUND_BESIDE = 30.0, 0.4  # on both sides of damage so much can be measured
FOREIGN = 0.2
SPECK_PX = 24
DARKER, OTHER_LIGHT, STANDS_OUT = 0.025, 0.1, 4.0
ALIKE = 0.6  # lesser depth over greater of a roll's two sides


def find_damage(grey, sides, whole, used, um_per_px):
    """Lips, notches and rolls of the land.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        The picture; damage may reach farther out than the strip that was fitted.
    sides : FittedSides
    whole : ndarray of bool, shape (n,)
        Places whose profile shows the band.
    used : ndarray of bool, shape (n,)
        Places that can be measured: damage lies between such, a label that the path took
        for the edge does not.
    um_per_px : float

    Returns
    -------
    damage : list of Chip
        In order along the edge.
    struck : ndarray of bool, shape (n,)
        Places that damage takes up.
    """
    struck = np.zeros(len(whole), dtype=bool)
    if whole.sum() < 24:
        return [], struck
    block, blur = sides.block, float(np.median(sides.blur_px[whole]))
    track = steady_track(sides.track, block)
    at = (np.arange(len(track.s)) - (block - 1) / 2) / block

    def drawn_out(values):
        return np.interp(at, np.arange(len(values)), values)

    levels, width = _usual_course(sides, whole)
    borders = follow_borders(
        grey,
        track,
        drawn_out(width),
        [drawn_out(level) for level in levels],
        drawn_out(whole) > 0.5,
    )
    borders = _told_apart(borders, blur)
    found = [
        {"side": side} | size
        for side, border in zip((-1, 1), borders, strict=True)
        for size in _sized(border, blur)
    ]
    found = _rolls_joined(found)
    middle = np.arange(len(whole)) * block + (block - 1) / 2
    for size in found:
        half = 0.62 * size["length"] + 1.5 * blur + block
        struck |= np.abs(middle - size["centre"]) < half
    chips = [_chip(size, um_per_px) for size in found]
    return sorted(chips, key=lambda chip: chip.position_um), struck


def _chip(size, um_per_px):
    """Sizes of a departure, pixels, as damage, µm."""
    return Chip(
        position_um=float(size["centre"] + 0.5) * um_per_px,
        length_um=float(size["length"]) * um_per_px,
        depth_um=float(size["depth"]) * um_per_px,
        length_u_um=float(size["length_u"]) * um_per_px,
        depth_u_um=float(size["depth_u"]) * um_per_px,
        side=size["side"],
        kind=size["kind"],
    )


def _usual_course(sides, whole):
    """Light of the land and of both grounds, and the width, as if there were no damage."""
    index = np.arange(len(whole))
    # So slow a course is told by a few places in each stretch.
    step = max(1, int(LEVEL_PX / sides.block / 8))
    size = int(2 * LEVEL_PX / sides.block / step)

    def course(values, reach):
        return np.interp(index, index[::step], running_median(values[::step], reach))

    # Inside deep damage the strip that was fitted shows no ground.
    width = course(sides.width_px, 2 * size)
    usual = whole & (np.abs(sides.width_px - width) < LEAST_PX + 0.06 * width)
    usual = usual if usual.any() else whole
    levels = [
        course(np.interp(index, index[usual], level[usual]), size)
        for level in (sides.land, sides.below, sides.above)
    ]
    return levels, width


def _told_apart(borders, blur):
    """The borders without what the blur makes of one where the other's damage leaves little."""
    one, other = borders
    left = one.line + one.off + other.line + other.off
    thin = dilated(left < THIN * blur, 2 * blur)
    less = np.abs(one.off) < np.abs(other.off)
    return (
        replace(one, off=np.where(thin & less, 0.0, one.off)),
        replace(other, off=np.where(thin & ~less, 0.0, other.off)),
    )


def _sized(border, blur):
    """Departures of one side that are damage, with their sizes."""
    off = np.where(border.seen, border.off, 0.0)
    if np.abs(off).max() < LEAST_PX:
        return
    # scipy.signal is slow to import, and most pictures have no use for it.
    from edgetest.photo.chip_model import size_departures
    from edgetest.photo.departures import edge_spread, find_departures

    sound = border.seen & (np.abs(off) < 4 * 1.4826 * np.median(np.abs(off[border.seen])))
    spread, reach = edge_spread(off, sound)
    if not np.isfinite(spread):
        return
    found = [
        stretch
        for stretch in find_departures(off, sound, blur, valley=VALLEY)
        if np.abs(off[stretch.low : stretch.high]).max() > max(SHARPNESS * spread, 0.7 * LEAST_PX)
    ]
    free = np.ones(len(off), dtype=bool)
    for stretch in found:
        pad = int(2 * blur) + 2
        free[max(stretch.low - pad, 0) : stretch.high + pad] = False
    sound &= border.light(np.minimum(border.off, 0) - 3) > LAND
    for stretch, size in zip(found, size_departures(off, found, blur, spread, reach), strict=True):
        whole_in = stretch.low > END_PX and stretch.high < len(off) - END_PX
        long = SHORTEST_PX <= size["length"] <= len(off) / 3
        deep = size["depth"] >= max(LEAST_PX, SHARPNESS * spread)
        if whole_in and long and deep and _is_steel(border, stretch, blur, sound, free):
            yield size | {"kind": "lip" if stretch.sign > 0 else "notch"}


def _is_steel(border, stretch, blur, sound, free):
    """Whether a departure has the light of land or ground, and lies between sound places."""
    off = border.off[stretch.low : stretch.high]
    deep = stretch.low + np.flatnonzero(np.abs(off) > 0.5 * np.abs(off).max())
    halfway = border.light(border.off / 2) - ndtr(border.off / 2 / blur)
    foreign = float(np.median(halfway[deep]))
    near = int(BESIDE_PX)
    before, after = slice(0, stretch.low), slice(stretch.high, None)
    beside = sound[before][free[before]][-near:], sound[after][free[after]][:near]
    whole = all(side.size and side.mean() >= SOUND_BESIDE for side in beside)
    return abs(foreign) < FOREIGN and whole and not _is_speck(border, stretch, deep, blur, sound)


def _is_speck(border, stretch, deep, blur, sound):
    """Whether dust lies on the border: it shows on the far side of the line, too.

    Behind a notch is ground, behind a lip land; where the light there is another than is usual
    beside the sound border, for as large a part, the departure is no steel.
    """
    if stretch.high - stretch.low > SPECK_PX:
        return False
    far = np.clip(0.5 * np.abs(border.off[deep]).max(), 2.0, 6.0)
    near = 2.0 * blur
    # Behind a notch is outward.
    first, last = (near, near + far) if stretch.sign < 0 else (-near - far, -near)
    light = border.light(first, last)
    patch = np.convolve(light, np.ones(deep.size) / deep.size, mode="valid")
    usual = patch[np.convolve(~sound, np.ones(deep.size), mode="valid") < 0.5]
    if usual.size < 20:
        return False
    middle = float(np.median(usual))
    spread = 1.4826 * float(np.median(np.abs(usual - middle)))
    behind = float(light[deep].mean()) - middle
    if stretch.sign < 0:
        return behind < -max(DARKER, STANDS_OUT * spread)
    # Where the land itself moved sideways, ground lies behind its border.
    return behind > -0.5 and abs(behind) > max(OTHER_LIGHT, STANDS_OUT * spread)


def _rolls_joined(found):
    """A lip opposite a notch of the same depth and place is the land moved sideways: a roll."""
    left = [size for size in found if size["side"] < 0]
    right = [size for size in found if size["side"] > 0]
    joined = []
    for one in left:
        partner = next((other for other in right if _is_roll(one, other)), None)
        if partner is None:
            joined.append(one)
            continue
        right.remove(partner)
        both = {key: (one[key] + partner[key]) / 2 for key in ("centre", "length", "depth")}
        both |= {key: np.hypot(one[key], partner[key]) / 2 for key in ("length_u", "depth_u")}
        joined.append(both | {"kind": "roll", "side": 1 if partner["kind"] == "lip" else -1})
    return joined + right


def _is_roll(one, other):
    """Whether departures of the two sides are one movement."""
    depths = sorted((one["depth"], other["depth"]))
    apart = abs(one["centre"] - other["centre"])
    return (
        one["kind"] != other["kind"]
        and depths[0] > ALIKE * depths[1]
        and apart < 0.3 * max(one["length"], other["length"]) + 2
    )
