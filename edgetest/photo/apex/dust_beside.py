"""How many specks does the picture show beside the edge, and how many must lie on its borders?

A speck on a border looks like a notch or a lip. Specks fall anywhere: those on the land and on
the ground beside it tell how many to expect on the borders, and of what size.
"""

from dataclasses import dataclass

import cv2
import numpy as np

STANDS_OUT = 7.0  # spreads of the ground's own unevenness: none seen in 42 of 49 plain pictures
LEAST_LIGHT = 0.05  # of the contrast
WIDE_PX = 8.0  # the unevenness that is taken away is coarser than a speck
ROUND = 6.0  # longer for its breadth is a scratch
LARGEST_PX = 30  # and so is what is longer than this
CLEAR_BLURS = 3.5  # so far from a border the border itself is not seen any more


@dataclass(frozen=True)
class Dust:
    """Specks beside the edge: how many are expected on its borders, how large they are (px)."""

    expected: float
    largest_px: float


def dust_beside(borders, blur):
    """Specks on land and ground near the edge, and what that means for its borders.

    Parameters
    ----------
    borders : (Border, Border)
    blur : float
        Standard deviation of the blur, pixels.

    Returns
    -------
    Dust
    """
    area, sizes = 0.0, []
    clear = CLEAR_BLURS * blur + 2
    for number, border in enumerate(borders):
        column = np.arange(border.bright.shape[1]) - border.middle
        place = border.line[:, None]
        seen = border.seen[:, None]
        ground = seen & (column > np.maximum(place, place + border.off[:, None]) + clear)
        regions = [ground]
        if number == 0:
            inner = np.minimum(place, place + border.off[:, None])
            other = borders[1]
            far = -np.minimum(other.line, other.line + other.off)[:, None]
            regions.append(seen & (column < inner - clear) & (column > far + clear))
        for region in regions:
            sizes += _specks(border.bright, region, blur)
            area += float(region.sum())
    if not sizes:
        return Dust(0.0, 0.0)
    broad, long = np.array(sizes).T
    # A speck changes a border where its middle lies within its radius of it.
    on_borders = 2 * len(borders[0].line) * float(broad.mean())
    return Dust(len(sizes) / area * on_borders, float(long.max()))


def _specks(bright, region, blur):
    """Diameter and longer side of the specks within a region, pixels."""
    if region.sum() < 400:
        return []
    weight = region.astype(np.float32)
    near, far = max(0.8, 0.6 * blur), WIDE_PX
    filled = bright * weight
    usual = cv2.GaussianBlur(filled, (0, 0), far) / np.maximum(
        cv2.GaussianBlur(weight, (0, 0), far), 1e-3
    )
    rest = cv2.GaussianBlur((bright - usual) * weight, (0, 0), near)
    spread = 1.4826 * float(np.median(np.abs(rest[region])))
    over = region & (np.abs(rest) > max(STANDS_OUT * spread, LEAST_LIGHT))
    number, _, stats, _ = cv2.connectedComponentsWithStats(over.astype(np.uint8), connectivity=8)
    sizes = []
    for _, _, wide, high, area in stats[1:number]:
        longer, shorter = max(wide, high), min(wide, high)
        compact = longer <= ROUND * shorter and area > 0.25 * wide * high
        if compact and shorter >= 2 and longer <= LARGEST_PX:
            sizes.append((float(np.sqrt(4 * area / np.pi)), float(longer)))
    return sizes
