"""Overlapping photographs along an edge, joined into one strip with positions from heel to tip.

Every frame is laid on the one before (`edgetest.photo.frame_laying`: shift, turn and zoom); the
widths that were measured in every frame are then put on one scale of positions. What two frames
both saw is counted once, from the frame in which it lies farther from the border.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.photo.frame_laying import ENOUGH, SMALLEST_PX, lay
from edgetest.photo.frame_search import frame_of

# Spreads of a frame's zoom, or of all together, from which on the zoom is no chance.
ZOOMED = 5.0
LEAST_ZOOM = 0.0005  # ... and it is corrected; less changes no width that is known to 0.1 %


@dataclass(frozen=True)
class Walk:
    """Where the frames of a strip lie.

    Attributes
    ----------
    matrices : ndarray, shape (frames, 2, 3)
        From (row, column, 1) of a frame to (row, column) in pixels of the first; NaN where a
        frame was left out.
    zooms : ndarray, shape (frames,)
        Pixels of the first frame that one of each frame's covers; 1 where no zoom was found.
    zoom_u : float
        Relative standard uncertainty that they leave in a mean over all frames.
    """

    matrices: np.ndarray
    zooms: np.ndarray
    zoom_u: float
    doubts: tuple[Doubt, ...]

    @property
    def offsets_rc(self):
        """Place of every frame's corner, shape (frames, 2)."""
        return self.matrices[:, :, 2]

    def to_strip(self, points_rc, number):
        """Points (n, 2) of a frame in pixels of the first."""
        matrix = self.matrices[number]
        return points_rc @ matrix[:, :2].T + matrix[:, 2]

    @property
    def along(self):
        """Unit vector (row, column) from the first frame to the last."""
        placed = self.offsets_rc[np.isfinite(self.offsets_rc[:, 0])]
        run = placed[-1] - placed[0]
        return run / max(float(np.hypot(*run)), 1e-9)


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


def walk_along(pictures, names):
    """Lay frames along an edge on each other, each on the one before.

    A frame that does not fit is left out where the next fits on the one before it.

    Parameters
    ----------
    pictures : iterable of ndarray, shape (rows, cols)
        Linear light, in the order in which they lie along the edge; of one magnification
        but for a few per cent, and turned by no more than 4° from one to the next.
    names : sequence of str
        What to call them.

    Returns
    -------
    Walk

    Raises
    ------
    UnusableInput
        Two neighbours show no common part, or fit in more than one place.
    """
    frames: list = []
    for name, picture in zip(names, pictures, strict=True):
        if min(picture.shape) < SMALLEST_PX:
            said = f"a frame of {picture.shape[1]} x {picture.shape[0]} pixels"
            mend = f"give frames of at least {SMALLEST_PX} x {SMALLEST_PX} pixels"
            raise UnusableInput(said, where=name, mend=mend)
        frames.append(frame_of(picture, frames[0] if frames else None))
    steps: dict[int, tuple] = {}
    last, number = 0, 1
    while number < len(frames):
        laid = lay(frames[last], frames[number])
        if not laid.sure:
            beyond = number + 1
            over = lay(frames[last], frames[beyond]) if beyond < len(frames) else None
            if over is None or not over.sure:
                raise _unlaid(laid, names[last], names[number])
            laid, number = over, beyond
        steps[number] = last, laid
        last, number = number, number + 1
    return _walk(steps, names)


def _unlaid(laid, first, second):
    """Why two frames cannot be joined."""
    where = f"edge strip, {first} and {second}"
    if laid.likeness < ENOUGH:
        return UnusableInput(
            "two neighbouring frames do not overlap",
            where=where,
            mend="photograph the edge in order, each frame sharing a third with the one before",
        )
    return UnusableInput(
        "the texture repeats itself, so that two neighbouring frames fit in more than one place",
        where=where,
        mend="make a mark beside the edge that both show (a scratch, a dot of ink), or let them "
        "overlap by half",
    )


def _walk(steps, names):
    """The frames laid one upon the other from the first on."""
    logs = np.array([np.log(laid.zoom) for _, laid in steps.values()])
    spread = np.array([laid.zoom_u for _, laid in steps.values()])
    total = float(np.sqrt(np.sum(spread**2)))
    zoomed = (np.abs(logs) > np.maximum(ZOOMED * spread, LEAST_ZOOM)).any()
    zoomed = zoomed or abs(logs.sum()) > max(ZOOMED * total, LEAST_ZOOM)
    matrices = np.full((len(names), 2, 3), np.nan)
    matrices[0] = np.eye(2, 3)
    zooms = np.ones(len(names))
    for number, (last, laid) in steps.items():
        own = laid.matrix if zoomed else laid.unzoomed
        matrices[number] = matrices[last][:, :2] @ own
        matrices[number][:, 2] += matrices[last][:, 2]
        zooms[number] = zooms[last] * (laid.zoom if zoomed else 1.0)
    # An error of one step stands in all frames after it.
    share = np.arange(len(steps), 0, -1) / (len(steps) + 1)
    doubts = [
        doubt("frame_left_out", where=Where(file=name))
        for number, name in enumerate(names)
        if number and number not in steps
    ]
    if zoomed:
        doubts.append(
            doubt("frames_zoomed", where=Where(value=float(np.ptp(zooms))), which=names[0])
        )
    return Walk(matrices, zooms, float(np.sqrt(np.sum((share * spread) ** 2))), tuple(doubts))


def join_widths(measurements, walk, um_per_px):
    """Widths of all frames on one scale of positions, in pixels of the first frame.

    Parameters
    ----------
    measurements : sequence of ApexMeasurement
        Of every frame, in order from heel to tip; refused ones (or None) leave a gap.
    walk : Walk
    um_per_px : float
        Of the first frame.

    Returns
    -------
    StripWidth

    Raises
    ------
    UnusableInput
        If no frame was measured.
    """
    parts = []
    for number, measured in enumerate(measurements):
        unplaced = np.isnan(walk.matrices[number]).any()
        if unplaced or measured is None or measured.width_um is None:
            continue
        place = walk.to_strip(measured.centre_rc[measured.used], number) @ walk.along
        depth = np.minimum(place - place.min(), place.max() - place)
        width = measured.width_px[measured.used] * walk.zooms[number]
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
        offsets_rc=walk.offsets_rc,
    )
