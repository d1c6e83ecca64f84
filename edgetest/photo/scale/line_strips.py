"""A picture averaged along straight lines, strip by strip, on an even ground."""

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter1d

BAND_COUNT = 28  # strips across the lines; each gives every line a position of its own


def strips(grey, angle_deg, *, count=BAND_COUNT):
    """Picture averaged along the lines in `count` strips.

    Returns
    -------
    profiles : ndarray, shape (strips, places)
        Mean light; NaN where the strip leaves the picture.
    across : ndarray, shape (places,)
        Pixels from the picture's centre along the normal.
    along : ndarray, shape (strips,)
        Middle of each strip, pixels down the lines.
    noise : ndarray, shape (strips,)
        Standard deviation of a profile's values.
    """
    rows, cols = grey.shape
    c, s = np.cos(np.deg2rad(angle_deg)), np.sin(np.deg2rad(angle_deg))
    half_u = int((abs(c) * cols + abs(s) * rows) / 2) + 1
    half_v = int((abs(s) * cols + abs(c) * rows) / 2) + 1
    height = max(4, -(-2 * half_v // count))
    count = 2 * half_v // height
    across = np.arange(-half_u, half_u + 1, dtype=float)
    top = -count * height / 2
    profiles = np.full((count, across.size), np.nan, np.float32)
    noise = np.zeros(count)
    centre = (cols - 1) / 2, (rows - 1) / 2
    for band in range(count):
        first = top + band * height + 0.5
        low, high = _inside(first, first + height - 1, c, s, rows, cols, half_u)
        if high - low < 16:
            continue
        start = across[low]
        x, y = start * c - first * s, start * s + first * c
        matrix = np.array([[c, -s, centre[0] + x], [s, c, centre[1] + y]])
        cut = cv2.warpAffine(grey, matrix, (high - low, height),
                             flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
                             borderMode=cv2.BORDER_REPLICATE)  # fmt: skip
        profiles[band, low:high] = cut.mean(axis=0)
        # Along a line nothing changes: what differs from row to row is noise.
        steps = cut[1:] - cut[:-1]
        noise[band] = 1.5 * np.sqrt(float(np.mean(steps * steps)) / 2 / height)
    along = top + (np.arange(count) + 0.5) * height
    return profiles, across, along, noise


def _inside(first, last, c, s, rows, cols, half_u):
    """Columns of a strip where its first and its last row lie inside the picture."""
    low, high = -float(half_u), float(half_u)
    for v in (first, last):
        for direction, offset, limit in ((c, -v * s, (cols - 1) / 2), (s, v * c, (rows - 1) / 2)):
            if abs(direction) < 1e-9:
                if abs(offset) > limit:
                    return 0, 0
                continue
            ends = sorted(((-limit - offset) / direction, (limit - offset) / direction))
            low, high = max(low, ends[0]), min(high, ends[1])
    if high <= low:
        return 0, 0
    return int(np.ceil(low)) + half_u, int(np.floor(high)) + half_u + 1


def flatten(profiles, noise):
    """Strips divided by their ground, so that uneven light is gone; and their relative noise."""
    valid = np.isfinite(profiles)
    every = max(1, profiles.shape[1] // 240)
    groups = np.arange(0, profiles.shape[1], every)
    held = np.add.reduceat(valid.astype(np.float32), groups, axis=1)
    total = np.add.reduceat(np.where(valid, profiles, 0), groups, axis=1)
    reach = max(15.0, profiles.shape[1] / 5) / every
    weight = gaussian_filter1d(held, reach, axis=1, mode="constant")
    ground = gaussian_filter1d(total, reach, axis=1, mode="constant") / np.maximum(weight, 1e-6)
    place, middle = np.arange(profiles.shape[1]), groups + (every - 1) / 2
    ground = np.array([np.interp(place, middle, row) for row in ground])
    flat = (profiles / np.maximum(ground, 1e-4) - 1).astype(np.float32)
    level = np.array(
        [np.median(row[ok]) if ok.any() else 1.0 for row, ok in zip(ground, valid, strict=True)]
    )
    return flat, noise / np.maximum(level, 1e-3)
