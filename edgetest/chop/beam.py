"""How a blade rings: Euler-Bernoulli beam elements, free at both ends, and their still points.

A blade rings across its flat (the
buzz after a bad blow) and, much faster, in the plane of the blow.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.chop.lowest_modes import GUARDS, banded, lowest_modes, smooth_start
from edgetest.chop.tool_outline import cross_section
from edgetest.errors import UnusableInput

PLANES = ("flat", "edge")
ELEMENTS = 120
_GAUSS4, _WEIGHT4 = np.polynomial.legendre.leggauss(4)
_GAUSS4, _WEIGHT4 = (_GAUSS4 + 1) / 2, _WEIGHT4 / 2


@dataclass(frozen=True)
class BendingMode:
    """One mode: frequency, nodes along x, and its shape (largest deflection 1)."""

    plane: str
    frequency_hz: float
    nodes_mm: tuple[float, ...]
    x_mm: np.ndarray
    shape: np.ndarray

    def to_dict(self):
        """Plain values for JSON, the shape at 61 places."""
        places = np.linspace(self.x_mm[0], self.x_mm[-1], 61)
        return {
            "plane": self.plane,
            "frequency_hz": self.frequency_hz,
            "nodes_mm": list(self.nodes_mm),
            "x_mm": places.tolist(),
            "shape": np.interp(places, self.x_mm, self.shape).tolist(),
        }


def bending_modes(shape, *, plane="flat", modes=1, ends="free-free", elements=ELEMENTS):
    """Bending modes of an Euler-Bernoulli beam (finite elements, cubic shape functions).

    Parameters
    ----------
    shape : Outline
        The tool; parts add mass where they sit and no stiffness.
    plane : str
        "flat" (across the blade's flat) or "edge" (in the plane of the blow).
    modes : int
        How many, from the lowest.
    ends : str
        "free-free" (held loosely, as in a blow) or "clamped-free" (butt in a vise, as the
        published tables of tapered beams have it).
    elements : int
        Least number of elements.

    Returns
    -------
    tuple of BendingMode

    Raises
    ------
    UnusableInput
        If plane or ends is no such word, or the tool has no stiffness somewhere inside.

    References
    ----------
    .. [1] R. W. Clough, J. Penzien, Dynamics of Structures, 2nd ed. (1993), chapter 10:
       consistent mass and stiffness of a beam element.
    """
    if plane not in PLANES or ends not in ("free-free", "clamped-free"):
        mend = 'plane is "flat" or "edge", ends "free-free" or "clamped-free"'
        raise UnusableInput(f'plane "{plane}", ends "{ends}"', "bending modes", mend)
    x = _mesh(shape, elements)
    stiffness, mass = _assemble(shape, x, plane)
    free = ends == "free-free"
    skip, fixed = (2, 0) if free else (0, 2)
    start = smooth_start(x, skip + fixed + modes + GUARDS)[fixed:, fixed:]
    try:
        squares, vectors = lowest_modes(
            stiffness[:, fixed:], mass[:, fixed:], start, skip=skip, modes=modes
        )
    except np.linalg.LinAlgError:
        what = "the outline has a stretch without width or thickness"
        raise UnusableInput(what, "outline", "give sizes above zero inside the tool") from None
    out = []
    for square, vector in zip(squares, vectors.T, strict=True):
        full = np.concatenate([np.zeros(fixed), vector])
        places, deflection = _deflection(x, full)
        deflection = deflection / deflection[int(np.argmax(np.abs(deflection)))]
        nodes = _crossings(places, deflection)
        hertz = float(np.sqrt(max(square, 0.0)) / (2 * np.pi))
        out.append(BendingMode(plane, hertz, nodes, places * 1e3, deflection))
    return tuple(out)


def _mesh(shape, elements):
    """Element ends in m: every station and end of a part, and steps no longer than a share."""
    first, last = shape.x_mm[0], shape.x_mm[-1]
    ends = [end for part in shape.parts for end in (part.from_mm, part.to_mm)]
    stations = np.union1d(shape.x_mm, np.clip(ends, first, last))
    step = shape.length_mm / elements
    low, apart = stations[:-1], np.diff(stations)
    low, apart = low[apart > 1e-3], apart[apart > 1e-3]
    counts = np.maximum(1, np.ceil(apart / step - 1e-9)).astype(int)
    within = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    inner = np.repeat(low, counts) + within * np.repeat(apart / counts, counts)
    return np.append(inner, last) / 1e3


def _assemble(shape, x, plane):
    """Stiffness and mass in upper bands, SI, two freedoms (deflection, slope) a node."""
    length = np.diff(x)
    k, m = np.zeros((len(length), 4, 4)), np.zeros((len(length), 4, 4))
    for node, weight in zip(_GAUSS4, _WEIGHT4, strict=True):
        at = x[:-1] + node * length
        cut = cross_section(*shape.at(at * 1e3))
        second = cut.flat_mm4 if plane == "flat" else cut.edge_mm4
        rigidity = 1e9 * shape.material.youngs_gpa * second * 1e-12
        lineal = shape.material.density_kg_m3 * cut.area_mm2 * 1e-6 + _parts_kg_m(shape.parts, at)
        value, curvature = _hermite(node, length)
        k += (
            (weight * length * rigidity)[:, None, None] * curvature[:, :, None] * curvature[:, None]
        )
        m += (weight * length * lineal)[:, None, None] * value[:, :, None] * value[:, None]
    stiffness, mass = banded(k), banded(m)
    for place, kg in _lumps(shape):
        mass[-1, 2 * int(np.argmin(np.abs(x - place)))] += kg
    return stiffness, mass


def _parts_kg_m(parts, at_m):
    """Mass per length that the parts add at places along x."""
    out = np.zeros_like(at_m)
    for part in parts:
        if part.to_mm > part.from_mm:
            on = (at_m * 1e3 >= part.from_mm) & (at_m * 1e3 < part.to_mm)
            out += np.where(on, part.mass_g / (part.to_mm - part.from_mm), 0.0)
    return out


def _lumps(shape):
    """Places (m) and masses (kg) that act at a point: short parts, and what overhangs the steel."""
    first, last = shape.x_mm[0], shape.x_mm[-1]
    for part in shape.parts:
        span = part.to_mm - part.from_mm
        if span == 0:
            yield np.clip(part.from_mm, first, last) / 1e3, part.mass_g / 1e3
            continue
        before = np.clip((min(part.to_mm, first) - part.from_mm) / span, 0, 1)
        beyond = np.clip((part.to_mm - max(part.from_mm, last)) / span, 0, 1)
        yield first / 1e3, before * part.mass_g / 1e3
        yield last / 1e3, beyond * part.mass_g / 1e3


def _hermite(s, length):
    """Cubic shape functions and their curvatures at a share s of each element."""
    one = np.ones_like(length)
    value = np.stack(
        [
            (1 - 3 * s**2 + 2 * s**3) * one,
            (s - 2 * s**2 + s**3) * length,
            (3 * s**2 - 2 * s**3) * one,
            (s**3 - s**2) * length,
        ],
        axis=1,
    )
    curvature = np.stack(
        [
            (12 * s - 6) / length**2,
            (6 * s - 4) / length,
            (6 - 12 * s) / length**2,
            (6 * s - 2) / length,
        ],
        axis=1,
    )
    return value, curvature


def _deflection(x, vector, points=4):
    """Deflection at some points inside every element."""
    length = np.diff(x)
    freedoms = np.stack([vector[0:-2:2], vector[1:-2:2], vector[2::2], vector[3::2]], axis=1)
    places, values = [], []
    for s in np.arange(points) / points:
        places.append(x[:-1] + s * length)
        values.append(np.sum(_hermite(s, length)[0] * freedoms, axis=1))
    place = np.append(np.stack(places, axis=1).ravel(), x[-1])
    return place, np.append(np.stack(values, axis=1).ravel(), vector[-2])


def _crossings(x, y):
    """Where y passes through zero, straight between points, in mm."""
    here = np.flatnonzero(y[:-1] * y[1:] < 0)
    share = y[here] / (y[here] - y[here + 1])
    return tuple((1e3 * (x[here] + share * (x[here + 1] - x[here]))).tolist())
