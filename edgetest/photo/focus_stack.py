"""Focus stacks: several photographs of one place at different heights, fused into one.

Each photograph is moved onto the sharpest by its measured shift, and every pixel of the
fused picture is a weighted mean in which the photograph that is sharpest there counts
most. Sharpness is the local energy of the Laplacian, smoothed, so a band's flank is taken
from one photograph as a whole and not patched from several.
"""

import cv2
import numpy as np

from edgetest.errors import UnusableInput

SMOOTH_PX = 12.0  # wider than a flank: a side of the land comes from one photograph
SMALLEST_PX = 24  # sides of a photograph: an apex view's own least
FARTHEST_REFINED_PX = 4.0
POWER = 4  # of the sharpness in the weights: near to taking the sharpest, without seams


def shift_between(fixed, moving):
    """Shift of `moving` against `fixed` (rows, columns), pixels, below one pixel.

    Parameters
    ----------
    fixed, moving : ndarray, shape (rows, cols), float32

    Returns
    -------
    (float, float)
        `moving` shows at (row + shift, col + shift) what `fixed` shows at (row, col).
    """
    window = cv2.createHanningWindow(fixed.shape[::-1], cv2.CV_32F)
    calm = [cv2.GaussianBlur(a - float(np.mean(a)), (0, 0), 1.0) for a in (fixed, moving)]
    (col, row), _ = cv2.phaseCorrelate(calm[0], calm[1], window)
    start = np.array([row, col])
    shift = _refined(fixed, moving, start)
    near = np.all(np.abs(shift - start) < FARTHEST_REFINED_PX)
    row, col = shift if near else start
    return float(row), float(col)


def _refined(fixed, moving, shift):
    """Gauss-Newton on the shift itself: phase correlation is sure to a few tenths only."""
    edge = min(32, min(fixed.shape) // 6)
    inner = (slice(edge, -edge), slice(edge, -edge))
    calm = [cv2.GaussianBlur(a.astype(np.float32), (0, 0), 2.0) for a in (fixed, moving)]
    slopes = [
        cv2.Sobel(calm[0], cv2.CV_32F, *order, scale=1 / 8)[inner] for order in ((0, 1), (1, 0))
    ]
    normal = np.array([[float((a * b).sum()) for b in slopes] for a in slopes])
    if not np.trace(normal) > 0:  # a flat picture moves unseen
        return shift
    normal += 1e-6 * np.trace(normal) * np.eye(2)
    for _ in range(6):
        off = (calm[0] - moved(calm[1], shift))[inner]
        step = np.linalg.solve(normal, [float((slope * off).sum()) for slope in slopes])
        shift = shift + step
        if np.abs(step).max() < 1e-3:
            break
    return shift


def moved(picture, shift_rc):
    """Picture resampled so that what stood at (row + shift) stands at (row)."""
    matrix = np.array([[1, 0, -shift_rc[1]], [0, 1, -shift_rc[0]]], dtype=np.float32)
    size = picture.shape[1], picture.shape[0]
    return cv2.warpAffine(
        picture, matrix, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )


def sharpness(picture):
    """Local energy of fine detail, shape as the picture."""
    detail = cv2.Laplacian(cv2.GaussianBlur(picture, (0, 0), 1.0), cv2.CV_32F)
    return cv2.GaussianBlur(detail * detail, (0, 0), SMOOTH_PX)


def fuse_stack(pictures):
    """One sharp picture from a focus stack.

    Parameters
    ----------
    pictures : sequence of array_like, shape (rows, cols)
        Linear light, all of one size.

    Returns
    -------
    fused : ndarray, shape (rows, cols), float32
    shifts_rc : ndarray, shape (n, 2)
        Shift of every photograph against the sharpest.

    Raises
    ------
    UnusableInput
        Fewer than two photographs, or of different sizes.
    """
    pictures = [np.ascontiguousarray(picture, dtype=np.float32) for picture in pictures]
    if len(pictures) < 2:
        raise UnusableInput(
            f"{len(pictures)} photograph", "focus stack", "give at least two of the same place"
        )
    sizes = {picture.shape for picture in pictures}
    if len(sizes) > 1:
        said = ", ".join(f"{cols} x {rows}" for rows, cols in sorted(sizes))
        raise UnusableInput(
            f"photographs of different sizes ({said} pixels)", "focus stack", "give one set-up's"
        )
    if min(pictures[0].shape) < SMALLEST_PX:
        raise UnusableInput(
            f"photographs of {pictures[0].shape[1]} x {pictures[0].shape[0]} pixels",
            where="focus stack",
            mend=f"give photographs of at least {SMALLEST_PX} x {SMALLEST_PX} pixels",
        )
    best = int(np.argmax([sharpness(picture).mean() for picture in pictures]))
    shifts = np.zeros((len(pictures), 2))
    total, weights = (
        np.zeros(pictures[0].shape, np.float32),
        np.zeros(pictures[0].shape, np.float32),
    )
    for number, picture in enumerate(pictures):
        if number != best:
            shifts[number] = shift_between(pictures[best], picture)
            picture = moved(picture, shifts[number])
        weight = sharpness(picture) ** POWER + np.float32(1e-30)
        total += weight * picture
        weights += weight
    return total / weights, shifts
