"""Is the outline that was followed a blade's edge, or something else's: rods, blobs, a ruling?

An edge runs across the picture, hardly turns, and with the spine it is all the outline there is.
"""

import cv2
import numpy as np
from scipy.spatial import cKDTree

from edgetest.photo.scale.ruling_scale import line_families

# Rendered blades (all sets of the guide's table, tips among them) / blobs, discs and rulings:
LEAST_SHARE = 0.7  # of all outlines in the picture that is the edge's or the spine's: 0.88 / 0.02
MOST_TURN_DEG = 75.0  # between the edge's directions: a recurved one 47 / a disc's 80 to 170
LEAST_REACH = 0.5  # of the picture's shorter side: a blade's tip 0.85 / a ruling's end 0.39
SPECK_SHARE = 0.001  # of the picture: smaller regions are dust, or holes of light in the blade
NEAR_SHARE, NEAR_PX = 0.06, 20.0  # of the edge's length, at least pixels: so deep are chips
OWN_SHARE = 0.85  # of the blade's own outline, where other bodies lie beside it ...
MOST_BODIES = 2  # ... and not more of them
BODY_SHARE = 0.002  # of the picture: dust is smaller
CHORDS = 20  # in which an edge's directions are taken


def is_an_edge(trace, traces, mask, whole, factor):
    """Whether the outline followed is a blade's edge.

    Parameters
    ----------
    trace : Trace
        The one that was chosen of `traces`.
    traces : sequence of Trace
    mask, whole : ndarray of uint8, shape (rows, cols)
        The blade, and all that is on its side of the threshold, on the reduced picture.
    factor : int
        Pixels in one of the reduced picture's.

    Returns
    -------
    bool
    """
    if trace.length < LEAST_REACH * factor * min(whole.shape) or _turn_deg(trace) > MOST_TURN_DEG:
        return False
    lines = cKDTree(np.concatenate([_line(one) for one in traces])[::2])
    near = max(NEAR_SHARE * trace.length, NEAR_PX * factor)
    if _share_near(lines, whole, factor, near) >= LEAST_SHARE:
        return True
    # A rest or a thumb beside the blade has an outline of its own.
    few = len(other_bodies(mask, whole)) <= MOST_BODIES
    return few and _share_near(lines, mask, factor, near) >= OWN_SHARE


def _share_near(lines, region, factor, near):
    """Share of a region's outline that lies near the lines."""
    outline = (_outlines(region)[::2] + 0.5) * factor - 0.5
    return float(np.mean(lines.query(outline)[0] < near)) if len(outline) else 1.0


def other_bodies(mask, whole):
    """Areas, as shares of the picture, of what is dark beside the blade and larger than dust."""
    rest = ((whole > 0) & (mask == 0)).astype(np.uint8)
    contours, _ = cv2.findContours(rest, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    areas = [cv2.contourArea(contour) / whole.size for contour in contours]
    return [area for area in areas if area > BODY_SHARE]


def _line(trace):
    """Points (x, y) of the smooth line."""
    return trace.strip.points + trace.line[:, None] * trace.strip.normals


def _turn_deg(trace):
    """Between the outermost directions of the smooth line."""
    line = _line(trace)
    step = max(1, len(line) // CHORDS)
    chords = line[step::step] - line[:-step:step]
    return float(np.rad2deg(np.ptp(np.unwrap(np.arctan2(chords[:, 1], chords[:, 0])))))


def _outlines(whole):
    """Points (x, y) of every outline inside the picture, specks' and small holes' left out."""
    contours, _ = cv2.findContours(whole, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
    large = [
        contour[:, 0]
        for contour in contours
        if cv2.contourArea(contour) + len(contour) / 2 >= SPECK_SHARE * whole.size
    ]
    points = np.concatenate([*large, np.zeros((0, 2))])
    inner = (points > 1) & (points < np.array(whole.shape[::-1]) - 2)
    return points[inner.all(axis=1)].astype(float)


def is_a_ruling(grey):
    """Whether a picture in linear light shows a stage micrometer."""
    return bool(line_families(grey))
