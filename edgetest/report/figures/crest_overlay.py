"""Both lines of a crest drawn on its photograph."""

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_encode

COLOUR = (255, 140, 0)
FINEST = 16  # of a pixel: to which part of it lines are drawn


def draw_lines(light, lines):
    """A photograph with the two lines that were found on it.

    Parameters
    ----------
    light : Light
    lines : LineSpacing
        None are drawn where none were found.

    Returns
    -------
    ndarray of uint8, shape (rows, cols, 3), RGB
    """
    grey = (255 * srgb_encode(light.grey)).astype(np.uint8)
    drawn = np.repeat(grey[..., None], 3, axis=2)
    for line in (lines.first_rc, lines.second_rc):
        if len(line):
            points = np.rint(FINEST * line[:, ::-1]).astype(np.int32)
            cv2.polylines(drawn, [points[:, None]], False, COLOUR, 1, cv2.LINE_AA, 4)
    return drawn
