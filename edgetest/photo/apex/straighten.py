"""The picture unrolled along a path: one row a place on the edge, one column a distance off it.

Sampled at full resolution, only near the band. OpenCV's linear remap is exact to a
small fraction of a pixel from version 5 on; its cubic kernel misses a straight ramp.
"""

from dataclasses import dataclass

import cv2
import numpy as np


@dataclass(frozen=True)
class Track:
    """A smooth path at even steps of arc length.

    Attributes
    ----------
    s : ndarray, shape (n,)
        Arc length, pixels, 0 at the picture's border.
    centre_rc, normal_rc : ndarray, shape (n, 2)
        Points and unit normals (row, column); for a path to the right the normal
        points down the picture.
    """

    s: np.ndarray
    centre_rc: np.ndarray
    normal_rc: np.ndarray


@dataclass(frozen=True)
class UnrolledStrip:
    """Unrolled picture, averaged over short blocks along the edge.

    Attributes
    ----------
    values : ndarray, shape (blocks, n), float32
        Linear light.
    weight : ndarray, shape (blocks, n), float32
        1 where the samples lie inside the picture, 0 outside.
    x : ndarray, shape (n,)
        Distance from the track, pixels.
    track : Track
        One place a block: its middle.
    block : int
        Samples (one pixel apart) that were averaged to a block.
    """

    values: np.ndarray
    weight: np.ndarray
    x: np.ndarray
    track: Track
    block: int


def make_track(centre_rc, shape, *, step_px=1.0):
    """Even arc-length track through `centre_rc` (n, 2), led on to the picture's borders."""
    centre = np.asarray(centre_rc, dtype=float)
    reach = max(3, min(12, len(centre) // 4))
    first = (centre[reach] - centre[0]) / reach
    last = (centre[-1] - centre[-1 - reach]) / reach
    steps = np.arange(1, 200)[:, None] / 2
    centre = np.vstack([(centre[0] - steps * first)[::-1], centre, centre[-1] + steps * last])
    border = np.array(shape) - 0.5
    inside = np.all((centre >= -0.5) & (centre <= border), axis=1)
    ends = np.flatnonzero(inside)
    centre = centre[ends[0] : ends[-1] + 1]
    length = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(centre, axis=0).T))])
    keep = np.concatenate([[True], np.diff(length) > 1e-9])
    centre, length = centre[keep], length[keep]
    s = np.arange(step_px / 2, length[-1], step_px)
    points = np.stack([np.interp(s, length, centre[:, 0]), np.interp(s, length, centre[:, 1])], 1)
    tangent = np.gradient(points, axis=0)
    tangent = tangent / np.maximum(np.hypot(tangent[:, 0], tangent[:, 1]), 1e-9)[:, None]
    reach = 9
    if len(tangent) > 4 * reach:  # the direction of a short chord would jitter
        kernel = np.hanning(2 * reach + 1)
        kernel /= kernel.sum()
        padded = np.pad(tangent, ((reach, reach), (0, 0)), mode="edge")
        tangent = np.stack([np.convolve(padded[:, i], kernel, mode="valid") for i in (0, 1)], 1)
        tangent /= np.hypot(tangent[:, 0], tangent[:, 1])[:, None]
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    return Track(s, points, normal)


def unroll(grey, track, half_px, *, block=1, centre=None):
    """Strip of `grey` along a track, `half_px` to either side, in blocks along the edge.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols), float32
    track : Track
        One pixel a step.
    half_px : float
        Reach to either side.
    block : int
        Places to average into one.
    centre : ndarray, shape (n,), optional
        Offset of the middle of the window from the track, for every place.

    Returns
    -------
    UnrolledStrip
        `x` counts from the track where there is no `centre`, else from `centre`.
    """
    x = np.arange(-int(np.ceil(half_px)), int(np.ceil(half_px)) + 1, dtype=float)
    count = len(track.s) // block * block
    places = track.centre_rc[:count]
    if centre is not None:
        places = places + centre[:count, None] * track.normal_rc[:count]
    normal = track.normal_rc[:count]
    row, col = (np.empty((count, x.size), dtype=np.float32) for _ in range(2))
    for axis, place in enumerate((row, col)):
        np.add(places[:, axis, None], normal[:, axis, None] * x, out=place, casting="same_kind")
    values = cv2.remap(grey, col, row, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    inside: np.ndarray = np.ones(row.shape, dtype=bool)
    for place, size in zip((row, col), grey.shape, strict=True):
        inside &= place >= 0
        inside &= place <= size - 1
    del row, col
    blocks = count // block
    if block > 1:
        values = values.reshape(blocks, block, x.size).mean(axis=1)
        inside = np.asarray(inside.reshape(blocks, block, x.size).all(axis=1))
    middle = np.arange(blocks) * block + (block - 1) / 2
    index = np.arange(len(track.s))

    def at(values):
        if values.ndim == 1:
            return np.interp(middle, index, values)
        return np.stack([np.interp(middle, index, values[:, i]) for i in (0, 1)], axis=1)

    short = Track(at(track.s), at(track.centre_rc), at(track.normal_rc))
    return UnrolledStrip(values, inside.astype(np.float32), x, short, block)
