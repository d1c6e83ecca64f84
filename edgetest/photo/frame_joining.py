"""Overlapping photographs along an edge, joined into one strip with positions from heel to tip.

Neighbouring frames are registered by phase correlation of their overlap; the widths that
were measured in every frame are then put on one scale of positions. What two frames both
saw is counted once, from the frame in which it lies farther from the border.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.focus_stack import shift_between

LEAST_OVERLAP, MOST_OVERLAP = 0.1, 0.6  # of the width that neighbouring frames both show
LEAST_LIKENESS = 0.4
SMALLEST_PX = 48  # sides of a frame: half of its overlap is still a place to look at


@dataclass(frozen=True)
class StripWidth:
    """Width along a whole edge.

    Attributes
    ----------
    position_um, width_um : ndarray, shape (n,)
        From the first frame's border on, in order.
    frame : ndarray of int, shape (n,)
        Which photograph a place was taken from.
    offsets_rc : ndarray, shape (frames, 2)
        Place of every frame's corner in pixels of the first frame.
    """

    position_um: np.ndarray
    width_um: np.ndarray
    frame: np.ndarray
    offsets_rc: np.ndarray

    def to_frame(self):
        """One row a place: position_um, width_um, frame."""
        import pandas as pd

        return pd.DataFrame(
            {"position_um": self.position_um, "width_um": self.width_um, "frame": self.frame}
        )


def frame_offset(first, second):
    """Place of the second frame's corner in pixels of the first (row, column).

    Parameters
    ----------
    first, second : ndarray, shape (rows, cols)
        Neighbouring frames of one size; the second lies to the right of the first.

    Returns
    -------
    (float, float)

    Raises
    ------
    UnusableInput
        The frames do not look alike anywhere in that range.
    """
    if first.shape != second.shape:
        said = " and ".join(f"{cols} x {rows}" for rows, cols in (first.shape, second.shape))
        raise UnusableInput(
            f"neighbouring frames of two sizes ({said} pixels)",
            where="edge strip",
            mend="give frames of one set-up, none of them cut",
        )
    if min(first.shape) < SMALLEST_PX:
        raise UnusableInput(
            f"frames of {first.shape[1]} x {first.shape[0]} pixels",
            where="edge strip",
            mend=f"give frames of at least {SMALLEST_PX} x {SMALLEST_PX} pixels",
        )
    cols = first.shape[1]
    best = (-1.0, 0.0, 0.0)
    for share in np.arange(LEAST_OVERLAP, MOST_OVERLAP + 1e-9, 0.05):
        wide = round(share * cols)
        a = np.ascontiguousarray(first[:, cols - wide :], dtype=np.float32)
        b = np.ascontiguousarray(second[:, :wide], dtype=np.float32)
        row, col = shift_between(a, b)
        if abs(col) > 0.4 * wide or abs(row) > 0.4 * first.shape[0]:
            continue
        offset = (-row, cols - wide - col)
        likeness = _likeness(first, second, offset)
        if likeness > best[0]:
            best = (likeness, *offset)
    if best[0] < LEAST_LIKENESS:
        raise UnusableInput(
            "two neighbouring frames show no common part",
            "edge strip",
            f"photograph the edge with at least {LEAST_OVERLAP:.0%} overlap, in order",
        )
    return best[1], best[2]


def _likeness(first, second, offset):
    """Correlation of the fine detail of the part that both frames show."""
    down, right = round(offset[0]), round(offset[1])
    rows, cols = first.shape
    top, left = max(0, down), max(0, right)
    bottom, end = min(rows, rows + down), min(cols, cols + right)
    if bottom - top < 24 or end - left < LEAST_OVERLAP * cols / 2:
        return -1.0
    a = first[top:bottom, left:end]
    b = second[top - down : bottom - down, left - right : end - right]
    # The band itself looks alike wherever along the edge: only what changes along it counts.
    calm = [cv2.GaussianBlur(v.astype(np.float32), (0, 0), 1.0) for v in (a, b)]
    fine = [v - cv2.blur(v, (31, 1)) for v in calm]
    size = np.sqrt(float((fine[0] ** 2).sum()) * float((fine[1] ** 2).sum()))
    return float((fine[0] * fine[1]).sum()) / size if size > 0 else -1.0


def join_widths(measurements, offsets_rc, um_per_px):
    """Widths of all frames on one scale of positions.

    Parameters
    ----------
    measurements : sequence of ApexMeasurement
        Of every frame, in order from heel to tip; refused ones leave a gap.
    offsets_rc : array_like, shape (frames, 2)
        Place of every frame's corner in pixels of the first frame.
    um_per_px : float

    Returns
    -------
    StripWidth
    """
    offsets = np.asarray(offsets_rc, dtype=float)
    along = offsets[-1] - offsets[0]
    along = along / max(float(np.hypot(*along)), 1e-9)
    parts = []
    for number, measured in enumerate(measurements):
        if measured.status != "measured" or measured.width_um is None:
            continue
        place = (measured.centre_rc[measured.used] + offsets[number]) @ along
        depth = np.minimum(place - place.min(), place.max() - place)
        width = measured.width_px[measured.used]
        parts.append(np.stack([place, width, np.full(place.size, number), depth]))
    if not parts:
        raise UnusableInput(
            "no frame could be measured", "edge strip", "see the reasons of the single frames"
        )
    place, width, frame, depth = np.concatenate(parts, axis=1)
    keep = np.ones(place.size, dtype=bool)
    for number in np.unique(frame):
        own = frame == number
        other = keep & ~own
        at = np.sort(place[other])
        if not at.size:
            continue
        order = np.argsort(place[other])
        rival = np.interp(place[own], at, depth[other][order], left=-1.0, right=-1.0)
        near = np.abs(at[np.clip(np.searchsorted(at, place[own]), 0, at.size - 1)] - place[own]) < 8
        keep[np.flatnonzero(own)[(rival > depth[own]) & near]] = False
    order = np.argsort(place[keep])
    return StripWidth(
        position_um=place[keep][order] * um_per_px,
        width_um=width[keep][order] * um_per_px,
        frame=frame[keep][order].astype(int),
        offsets_rc=offsets,
    )
