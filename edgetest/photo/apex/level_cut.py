"""Where is the edge in a photograph, cut out large and laid level for an eye to set its sides?"""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.photo.apex.find_band import find_band, reduce, ridges

# The edge's direction is taken over so much of it beside the middle; a crumb turns it no more.
BESIDE_PX = 80.0
SMALLEST_PX = 24


@dataclass(frozen=True)
class LevelCut:
    """A part of a photograph around the middle of its edge, the edge from left to right.

    Attributes
    ----------
    grey : ndarray, shape (rows, cols), float32
        Light 0 to 1, drawn up `times`.
    times : float
        Pixels of the cut in one of the photograph.
    middle_rc : (float, float)
        Its middle, pixels of the photograph.
    """

    grey: np.ndarray
    times: float
    middle_rc: tuple[float, float]


def level_cut(grey, high_px, *, shown_px=(600, 900)):
    """Cut a photograph out around the middle of its brightest line and turn that level.

    Nothing is measured: the place depends on the picture alone, so that a second look meets
    the same cut as the first.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        Light 0 to 1.
    high_px : float
        Height of the cut, pixels of the photograph.
    shown_px : (int, int)
        Rows and columns of the cut as it is shown.

    Returns
    -------
    LevelCut or None
        None where the picture is too small to hold an edge.
    """
    grey = np.ascontiguousarray(grey, dtype=np.float32)
    if min(grey.shape) < SMALLEST_PX:
        return None
    small, factor = reduce(grey)
    bright, _, sigmas = ridges(small)
    path = find_band(factor, bright, sigmas).centre_rc
    middle = path[len(path) // 2]
    near = path[np.hypot(*(path - middle).T) <= BESIDE_PX]
    down, right = np.linalg.svd(near - near.mean(axis=0))[2][0] if len(near) > 2 else (0.0, 1.0)
    if right < 0:
        down, right = -down, -right
    rows, cols = shown_px
    times = rows / min(high_px, grey.shape[0])
    # From a place of the cut to one of the photograph: along the edge is to the right.
    step = np.array([[right, -down], [down, right]]) / times
    start = np.array([middle[1], middle[0]]) - step @ [(cols - 1) / 2, (rows - 1) / 2]
    laid = cv2.warpAffine(
        grey, np.column_stack([step, start]), (cols, rows),
        flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_CONSTANT,
    )  # fmt: skip
    return LevelCut(np.clip(laid, 0, 1), times, (float(middle[0]), float(middle[1])))
