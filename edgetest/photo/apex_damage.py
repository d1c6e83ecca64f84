"""Chips in the apex view: places where one side of the land departs outward."""

import numpy as np

from edgetest.photo.apex import Chip
from edgetest.photo.smooth import robust_line

BASE_PX = 45.0  # the sides' own line bends no faster than this along the edge
LEAST_DEPTH_PX = 1.0
LEAST_SHARE = 0.06  # of the width: a shallower departure is the land's own unevenness
SHARPNESS = 3.0  # departures in spreads of the sound side


def find_chips(sides, whole, um_per_px):
    """Local widenings of either side of the land.

    Parameters
    ----------
    sides : FittedSides
    whole : ndarray of bool, shape (n,)
        Places whose profile shows the band.
    um_per_px : float

    Returns
    -------
    chips : list of Chip
        In order along the edge.
    struck : ndarray of bool, shape (n,)
        Places that a chip takes up.
    """
    # scipy.signal is slow to import, and most pictures have no use for it.
    from edgetest.photo.damage import edge_spread, find_departures, size_departures

    block, n = sides.block, len(whole)
    struck = np.zeros(n, dtype=bool)
    chips: list[Chip] = []
    if whole.sum() < 24:
        return chips, struck
    blur = float(np.median(sides.blur_px[whole]))
    usual = float(np.median(sides.width_px[whole]))
    least = max(LEAST_DEPTH_PX, LEAST_SHARE * usual)
    index = np.arange(n)
    pixels = np.arange(n * block) / block - (block - 1) / (2 * block)
    for side, outward in ((sides.left, -1), (sides.right, 1)):
        place = np.interp(index, index[whole], side[whole])
        base, _ = robust_line(place, BASE_PX / block, weight=whole + 1e-3, cut=2.0)
        off = np.where(whole, outward * (place - base), 0.0)
        if off.max() < least:
            continue
        e = np.interp(pixels, index, off)
        spread, reach = edge_spread(e, np.abs(e) < least)
        if not np.isfinite(spread):
            continue
        found = [s for s in find_departures(e, np.abs(e) < least, blur) if s.sign > 0]
        found = [s for s in found if e[s.low : s.high].max() > max(SHARPNESS * spread, 0.7 * least)]
        for size in size_departures(e, found, blur, spread, reach):
            if size["depth"] < max(least, SHARPNESS * spread) or size["length"] > len(e) / 3:
                continue
            half = 0.62 * size["length"] + 1.5 * blur + block
            struck |= np.abs(index * block + (block - 1) / 2 - size["centre"]) < half
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
