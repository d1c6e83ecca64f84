"""What shape has a worn edge, across it and along it?

Leans of the surface across the edge (flat land, corners and crests as arcs of circles tangent to
their bevels), the line of the edge, and what broke out of it or rolled over. Micrometres; v runs
across the edge (positive towards larger rows), u along it. Only geometry: no light.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d

ARC_NODES = 400  # chords of one arc; the lean between them is read off linearly
SHADED_LEAN = np.radians(30.0)  # the lean at which W30 is read


@dataclass(frozen=True)
class Burr:
    """A thin ridge along one border (`side` +1 or -1), half a cylinder that leans over.

    `offset_um` from the border, outwards positive; `from_` and `to`: the part of the picture's
    width that it runs along; `raggedness`: relative spread of its width.
    """

    side: int = 1
    width_um: float = 2.0
    offset_um: float = 0.0
    lean_deg: float = 0.0
    from_: float = 0.0
    to: float = 1.0
    raggedness: float = 0.3


@dataclass(frozen=True)
class Apex:
    """Cross-section: `form` 'flat' (sharp corners), 'corners' (radius) or 'round' (no flat).

    Pairs are (side of negative v, side of positive v). A micro-bevel is `micro_um` wide as seen
    from above and leans `micro_leans_deg`; 0: none.
    """

    form: str = "flat"
    flat_um: float = 20.0
    radius_um: float = 0.0
    leans_deg: tuple[float, float] = (70.0, 70.0)
    micro_um: tuple[float, float] = (0.0, 0.0)
    micro_leans_deg: tuple[float, float] = (45.0, 45.0)
    burr: Burr | None = None


@dataclass(frozen=True)
class Edge:
    """Line of the edge; lengths um. `tilt_deg` turns it from +columns towards +rows.

    Sagitta `bow_um` over the picture's width, S-shaped `recurve_um`, wander of the line and (as a
    share of the width) of the width. Each border is ragged by itself, `ragged_um` (SD) about its
    clean line. `span`: part of the picture's width where there is an edge.
    """

    tilt_deg: float = 0.0
    offset_um: float = 0.0
    bow_um: float = 0.0
    recurve_um: float = 0.0
    wander_um: float = 0.0
    wander_length_um: float = 150.0
    width_wander: float = 0.0
    width_wander_length_um: float = 100.0
    ragged_um: float = 0.0
    ragged_length_um: float = 6.0
    span: tuple[float, float] = (0.0, 1.0)
    beyond: float = 0.01  # light where the edge has ended


@dataclass(frozen=True)
class Damage:
    """Something that moved a border.

    `kind`: 'notch', 'lip', 'roll' (both borders move) or 'chip' (deep, scar down the bevel);
    `side` +1 or -1; `x_um` its middle from the left of the picture, along columns, on the border;
    `length_um` along the edge at its foot; `depth_um` outwards positive, inwards negative (of a
    roll: positive towards `side`). `shape` 'bump', 'v' or 'box'; `asymmetry` -1..1 moves its
    deepest point; `glinting`: the scar has facets that face the lens. `shine` of a lip.
    """

    kind: str
    side: int
    x_um: float
    length_um: float
    depth_um: float
    shape: str = "bump"
    asymmetry: float = 0.0
    glinting: bool = False
    shine: float = 0.8


@dataclass(frozen=True)
class Section:
    """Nodes of the apex from its foot at negative v to that at positive v; bevels beyond them.

    v (n,) um, lean (n,) rad, positive towards +v; a sharp corner is two nodes at one v.
    """

    v: np.ndarray
    lean: np.ndarray
    bevels: tuple[float, float]  # leans of the bevels at negative and positive v, signed, rad
    land: slice  # nodes without micro-bevels


def _half(apex, side):
    """Distances outwards and leans (unsigned) of one side, middle first; nodes of the land."""
    k = (side + 1) // 2
    bevel, micro = np.radians(apex.leans_deg[k]), np.radians(apex.micro_leans_deg[k])
    first = micro if apex.micro_um[k] else bevel
    half_flat = 0.0 if apex.form == "round" else apex.flat_um / 2
    distance, lean = [0.0, half_flat], [0.0, 0.0]
    if apex.form != "flat":
        arc = np.linspace(0, first, ARC_NODES)
        distance += list(half_flat + apex.radius_um * np.sin(arc))
        lean += list(arc)
    land = len(lean)
    if apex.micro_um[k]:
        distance += [distance[-1], distance[-1] + apex.micro_um[k]]
        lean += [first, first]
    return np.array(distance), np.array(lean), bevel, land


def section(apex):
    """Leans across an apex, as nodes."""
    s_minus, a_minus, bevel_minus, land_minus = _half(apex, -1)
    s_plus, a_plus, bevel_plus, land_plus = _half(apex, 1)
    return Section(
        np.concatenate([-s_minus[::-1], s_plus[1:]]),
        np.concatenate([-a_minus[::-1], a_plus[1:]]),
        (-bevel_minus, bevel_plus),
        slice(len(s_minus) - land_minus, len(s_minus) + land_plus - 1),
    )


def shaded_width(cut, lean=SHADED_LEAN):
    """Distance between the lines where the surface first leans `lean` on either side, um."""
    found = []
    for side in (-1, 1):
        past = np.flatnonzero(side * cut.lean >= lean)
        if not len(past):
            found.append(np.abs(cut.v[-1 if side > 0 else 0]))
            continue
        k = past[0] if side > 0 else past[-1]
        near = k - side
        share = (lean - side * cut.lean[near]) / (side * (cut.lean[k] - cut.lean[near]))
        found.append(np.abs(cut.v[near] + share * (cut.v[k] - cut.v[near])))
    return float(sum(found))


def smooth_noise(count, step, length, rng):
    """Gaussian noise of unit variance, correlation exp(-(d/length)^2), shape (count,)."""
    spread = length / 2 / step
    pad = int(4 * spread) + 1
    noise = gaussian_filter1d(rng.standard_normal(count + 2 * pad), spread, truncate=4)
    return noise[pad : pad + count] * np.sqrt(2 * np.sqrt(np.pi) * spread)


@dataclass(frozen=True)
class Line:
    """The edge's line on an even grid along it (u, um, from the picture's middle)."""

    u: np.ndarray
    middle: np.ndarray  # v of the line, um
    cosine: np.ndarray  # of the line's own angle to u
    widening: np.ndarray  # width over nominal width
    ragged: tuple[np.ndarray, np.ndarray]  # outward shifts of both borders (negative v first), um


def edge_line(edge, half_length, width, step, rng):
    """Draw a line that reaches from -half_length to half_length along the edge.

    `width`: the picture's width, um, over which bow and recurve are told.
    """
    u = np.arange(-half_length, half_length + step, step)
    t = 2 * u / width
    middle = edge.offset_um + edge.bow_um * (1 - t**2) - edge.bow_um / 2
    middle = middle + edge.recurve_um * np.sin(np.pi * t)
    middle += edge.wander_um * smooth_noise(len(u), step, edge.wander_length_um, rng)
    noise = smooth_noise(len(u), step, edge.width_wander_length_um, rng)
    widening = 1 + edge.width_wander * noise
    cosine = 1 / np.sqrt(1 + np.gradient(middle, step) ** 2)
    ragged = tuple(
        edge.ragged_um * smooth_noise(len(u), step, edge.ragged_length_um, rng) for _ in range(2)
    )
    return Line(u, middle, cosine, np.maximum(widening, 0.3), ragged)


def depth_shape(damage, along, step, rng):
    """Depth over the distance `along` (even grid of `step`, um) from the damage's middle, >= 0.

    The greatest value is 1. 'bump' is a raised cosine, 'v' two straight sides, 'box' steep sides
    and a ragged bottom.
    """
    t = 2 * along / damage.length_um
    top = np.clip(damage.asymmetry, -0.8, 0.8)
    t = np.where(t < top, (t - top) / (1 + top), (t - top) / (1 - top))
    inside = np.abs(t) < 1
    if damage.shape == "bump":
        depth = 0.5 * (1 + np.cos(np.pi * t))
    elif damage.shape == "v":
        depth = 1 - np.abs(t)
    else:
        ragged = smooth_noise(len(along), step, max(damage.length_um / 12, 3 * step), rng)
        depth = np.minimum(1, (1 - np.abs(t)) * 6) * np.clip(0.85 + 0.1 * ragged, 0.5, 1)
    depth = np.where(inside, depth, 0.0)
    return depth / depth.max() if depth.max() > 0 else depth
