"""Which way straight lines run in a picture: histogram of gradient directions."""

import cv2
import numpy as np


def line_directions(level, *, count=3):
    """Directions across straight lines, strongest first.

    Parameters
    ----------
    level : sequence of ndarray
        The picture, or parts of it; linear light.
    count : int
        At most so many directions.

    Returns
    -------
    list of float
        Degrees from the rows, clockwise, in (-90, 90].
    """
    histogram = np.zeros(720)
    for part in level:
        weight, angle = _gradient(part)
        histogram += np.bincount((angle * 4).astype(int) % 720, weights=weight, minlength=720)
    smooth = _circular_smooth(histogram, 1.5)
    smooth = smooth - np.median(smooth)
    found: list[float] = []
    work = smooth.copy()
    for _ in range(count):
        peak = int(np.argmax(work))
        if work[peak] <= 0.1 * smooth.max() or work[peak] <= 0:
            break
        near = (np.arange(peak - 8, peak + 9)) % 720
        share = np.clip(smooth[near], 0, None)
        degree = (peak + np.sum(share * np.arange(-8, 9)) / share.sum() + 0.5) / 4
        found.append(degree - 180 if degree > 90 else degree)
        work[(np.arange(peak - 40, peak + 41)) % 720] = 0
    return found


def levels(grey):
    """The picture (tiles of a large one), then ever coarser ones for lines that are soft."""
    yield list(_tiles(grey))
    small = grey
    while min(small.shape) > 200:
        small = cv2.pyrDown(small)  # smooths before it drops pixels: no false pattern
        if small.size <= 1_000_000:
            yield [small]


def _tiles(grey, side=280):
    """Nine squares spread over the picture; the whole of a small one."""
    rows, cols = grey.shape
    if grey.size <= 9 * side * side:
        yield grey
        return
    for top in np.linspace(0, rows - side, 3).astype(int):
        for left in np.linspace(0, cols - side, 3).astype(int):
            yield np.ascontiguousarray(grey[top : top + side, left : left + side])


def _gradient(level):
    """Squared gradient and its direction (degrees, 0 to 180), flattened, strong pixels only."""
    calm = cv2.GaussianBlur(level, (0, 0), 1.0)
    gx = cv2.Scharr(calm, cv2.CV_32F, 1, 0)
    gy = cv2.Scharr(calm, cv2.CV_32F, 0, 1)
    strength = gx * gx + gy * gy
    strong = strength > 0.5 * strength.mean()
    return strength[strong], np.rad2deg(np.arctan2(gy[strong], gx[strong])) % 180


def _circular_smooth(values, sd):
    """Histogram on a circle smoothed by a Gaussian of `sd` bins."""
    reach = np.arange(-8, 9)
    kernel = np.exp(-0.5 * (reach / sd) ** 2)
    padded = np.concatenate([values[-8:], values, values[:8]])
    return np.convolve(padded, kernel / kernel.sum(), mode="valid")
