"""What is true of a made side view: its outline, its damage, what lies there that is no steel."""

from dataclasses import dataclass

import numpy as np

from tests.benchmarks.side_pictures.edges import depth_um, line_um, outline_um
from tests.benchmarks.side_pictures.harm import told_reach_um
from tests.benchmarks.side_pictures.side_shot import placed

# Damage nearer than this to the picture's border, or to the edge's own end, need not be found.
BORDER_PX = 6.0
# What a fair eye must find: this deep in pixels, and in deviations of the sound edge.
CLEAR_PX, CLEAR_SPREADS = 3.0, 6.0


@dataclass(frozen=True)
class TrueHarm:
    """A damage as it is: kind and form, place from the edge's first end in the picture, µm.

    ``at_um`` is its place on the edge itself. ``clear`` says that it must be found, ``whole`` that
    all of it lies in the picture.
    """

    kind: str
    form: str
    at_um: float
    position_um: float
    length_um: float
    depth_um: float
    clear: bool
    whole: bool
    out: bool


@dataclass(frozen=True)
class Foreign:
    """A thing that is no steel or no damage, and the stretch of edge that it spoils, µm."""

    kind: str
    position_um: float
    reach_um: float


@dataclass(frozen=True, eq=False)
class SideView:
    """A made picture and its truth.

    ``origin_um`` and ``way`` (1 or -1) lead from a place on the edge to the position in the
    picture, counted from the left end of the edge (the upper end where it stands upright), true
    µm. ``outline`` holds places on the edge and heights over the sound line, µm, (n, 2), and
    ``sigma_um`` the deviation of its roughness. ``told_um_per_px`` is the scale the user knows.
    """

    data: bytes
    um_per_px: float
    told_um_per_px: float
    length_um: float
    origin_um: float
    way: int
    harms: tuple[TrueHarm, ...]
    foreign: tuple[Foreign, ...]
    outline: np.ndarray
    sigma_um: float
    megapixels: float

    def position(self, at_um):
        """Position in the picture of a place on the edge, µm."""
        return (at_um - self.origin_um) * self.way


def seen_truth(edge, view, over, ends, foreign, plain_to_see=True):
    """Keywords of a `SideView` but its file: of an edge between its two ``ends``, µm."""
    low, high = view.stretch_um(*ends)
    corners = placed(view.to_px([[low, 0.0], [high, 0.0]]), view, over)
    (x0, y0), (x1, y1) = corners
    ahead = x0 < x1 if abs(x1 - x0) >= abs(y1 - y0) else y0 < y1
    origin, way = (low, 1) if ahead else (high, -1)
    harms = []
    for harm in edge.harms:
        (middle, length), depth = told_reach_um(harm), depth_um(edge, harm)
        left, right = middle - length / 2, middle + length / 2
        if right < low or left > high:
            continue
        border = BORDER_PX * view.um_per_px
        whole = left > low + border and right < high - border
        clear = depth > CLEAR_PX * view.um_per_px and depth > CLEAR_SPREADS * edge.sigma_um
        harms.append(TrueHarm(harm.kind, harm.form, harm.at_um, (middle - origin) * way,
                              length, depth, bool(clear and whole and plain_to_see), bool(whole),
                              harm.out))  # fmt: skip
    return {
        "um_per_px": view.um_per_px,
        "length_um": high - low,
        "origin_um": origin,
        "way": way,
        "harms": tuple(sorted(harms, key=lambda harm: harm.position_um)),
        "foreign": tuple(Foreign(kind, (at - origin) * way, reach) for kind, at, reach in foreign),
        "outline": _departures(edge, low, high, 0.25 * view.um_per_px),
        "sigma_um": edge.sigma_um,
        "megapixels": view.rows * view.cols / 1e6,
    }


def _departures(edge, low, high, step):
    """Places on the edge and heights of the outline over the sound line, µm, (n, 2)."""
    outline = outline_um(edge, low, high, step)
    return outline - np.stack([np.zeros(len(outline)), line_um(edge, outline[:, 0])], 1)
