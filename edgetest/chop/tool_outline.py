"""A tool's shape as numbers: width and thickness along its length, how it is ground, its parts.

The steel is described at stations along x (mm from the butt): width across the blade,
thickness at the spine, thickness where the ground part ends at the edge, and how much of the
width is ground. Between stations everything runs straight.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.errors import UnusableInput

# A caliper's reading with the hand on a tapering blade; common practice, no source.
THICKNESS_U_MM = 0.05
WIDTH_RELATIVE_U = 0.005
# A length read from a rule that is good to 1 mm at either end; common practice, no source.
LENGTH_U_MM = 0.8
# Two-point Gauss integrates the section's cubic terms exactly, three points the length's.
_GAUSS2 = 0.5 + np.array([-0.5, 0.5]) / np.sqrt(3.0)
_GAUSS3 = 0.5 + np.array([-0.5, 0.0, 0.5]) * np.sqrt(0.6)
_WEIGHT3 = np.array([5.0, 8.0, 5.0]) / 18.0


@dataclass(frozen=True)
class Material:
    """What the tool is made of; carbon steel, both figures from memory of engineering tables."""

    density_kg_m3: float = 7850.0
    density_u: float = 40.0
    youngs_gpa: float = 207.0
    youngs_relative_u: float = 0.03


@dataclass(frozen=True)
class Grind:
    """How a blade is ground: thickness behind the edge, share of the width (0 a plain bar, 1 a
    full flat grind), and where the grind begins; nearer the butt the section is a plain bar.
    `share_u` is the share's standard uncertainty.
    """

    edge_mm: float = 0.0
    share: float = 1.0
    from_mm: float | None = None
    share_u: float = 0.0


STEEL, FULL_FLAT = Material(), Grind()


@dataclass(frozen=True)
class Part:
    """A part that adds mass but no stiffness: scales, guard, pommel, an axe's head."""

    name: str
    mass_g: float
    from_mm: float
    to_mm: float
    mass_u_g: float = 1.0


@dataclass(frozen=True)
class Outline:
    """Stations of the steel along x (all arrays of one length) and the parts on it.

    `thickness_u_mm` is the standard uncertainty that all thickness stations share (a caliper
    held the same way), `width_relative_u` that of all widths (the silhouette's scale),
    `length_u_mm` that of the whole length, which stretches all places alike, and `ground_u` that
    of the share that is ground, where it was not measured.
    """

    x_mm: np.ndarray
    width_mm: np.ndarray
    thickness_mm: np.ndarray
    edge_mm: np.ndarray
    ground: np.ndarray
    parts: tuple[Part, ...] = ()
    material: Material = STEEL
    centre_mm: np.ndarray | None = field(default=None, repr=False)
    thickness_u_mm: float = THICKNESS_U_MM
    width_relative_u: float = WIDTH_RELATIVE_U
    length_u_mm: float = LENGTH_U_MM
    ground_u: float = 0.0

    @property
    def length_mm(self):
        """Whole length of the steel."""
        return float(self.x_mm[-1] - self.x_mm[0])

    @property
    def mean_width_mm(self):
        """Width of the steel, averaged along it."""
        return float(np.trapezoid(self.width_mm, self.x_mm)) / self.length_mm

    def at(self, x_mm):
        """Width, spine thickness, edge thickness and ground share at x."""
        columns = (self.width_mm, self.thickness_mm, self.edge_mm, self.ground)
        return tuple(np.interp(x_mm, self.x_mm, column) for column in columns)


@dataclass(frozen=True)
class CrossSection:
    """Properties of a cross-section: area mm², second moments mm⁴ in the plane of the blow
    (edge) and across it (flat).
    """

    area_mm2: np.ndarray
    edge_mm4: np.ndarray
    flat_mm4: np.ndarray


def cross_section(width_mm, thickness_mm, edge_mm=0.0, ground=1.0):
    """Section of a blade: a rectangle at the spine, then a taper to the edge.

    Parameters
    ----------
    width_mm, thickness_mm, edge_mm : array_like
        Width across the blade, thickness at the spine and at the edge.
    ground : array_like
        Share of the width that is ground: 0 a flat bar, 1 a full flat grind.

    Returns
    -------
    CrossSection
        A full flat grind to zero is a triangle: area w t / 2, w³ t / 36 and w t³ / 48.
    """
    w, t, e, g = np.broadcast_arrays(
        *(np.asarray(a, dtype=float) for a in (width_mm, thickness_mm, edge_mm, ground))
    )
    area, first, second, flat = (np.zeros(w.shape) for _ in range(4))
    # Along the width from the spine: the flat part, then the ground part.
    for start, stop, at_start, at_stop in ((0 * g, 1 - g, t, t), (1 - g, 1 + 0 * g, t, e)):
        for node in _GAUSS2:
            y = (start + (stop - start) * node) * w
            thick = at_start + (at_stop - at_start) * node
            step = (stop - start) * w / 2
            area = area + step * thick
            first = first + step * thick * y
            second = second + step * thick * y**2
            flat = flat + step * thick**3 / 12
    with np.errstate(invalid="ignore", divide="ignore"):
        centre = np.where(area > 0, first / area, 0.0)
    return CrossSection(area, np.maximum(second - area * centre**2, 0.0), flat)


def as_typed_grind(edge_mm, share, from_mm):
    """The grind as typed; where no share was, any from 0 to 1 alike (JCGM 100:2008, 4.3.7)."""
    if share is None:
        return Grind(edge_mm, 0.5, from_mm, share_u=12**-0.5)
    return Grind(edge_mm, share, from_mm)


def outline(
    x_mm,
    width_mm,
    thickness_x_mm,
    thickness_mm,
    *,
    grind=FULL_FLAT,
    parts=(),
    material=STEEL,
    centre_mm=None,
):
    """Join widths (a silhouette or a table) with thickness stations (the distal taper).

    Parameters
    ----------
    x_mm, width_mm : array_like, shape (n,)
        Widths along the tool, x rising from the butt.
    thickness_x_mm, thickness_mm : array_like, shape (k,)
        Spine thickness at k stations; straight between them, constant beyond them.
    grind : Grind
        The whole length is ground where it says no beginning.
    parts : sequence of Part
        Handle scales, guard, pommel.
    material : Material
    centre_mm : array_like, shape (n,), optional
        Middle line of the silhouette, for drawing.

    Returns
    -------
    Outline

    Raises
    ------
    UnusableInput
        If stations do not rise, a size is negative, or a share is not between 0 and 1.
    """
    x, width = _rising(x_mm, width_mm, "outline")
    tx, thickness = _rising(thickness_x_mm, thickness_mm, "thickness stations")
    if not 0 <= grind.share <= 1 or grind.edge_mm < 0:
        what = f"ground share {grind.share:g}, edge {grind.edge_mm:g} mm"
        raise UnusableInput(what, "outline", "share 0 to 1; thickness behind the edge 0 or more")
    every = np.union1d(x, tx[(tx > x[0]) & (tx < x[-1])])
    start = x[0] if grind.from_mm is None else float(grind.from_mm)
    if x[0] < start <= x[-1]:
        every = np.union1d(every, [start - 1e-6, start])
    share = np.where(every >= start, float(grind.share), 0.0)
    spine = np.interp(every, tx, thickness)
    for part in parts:
        if not (part.mass_g >= 0 and part.to_mm >= part.from_mm):
            what = f"{part.mass_g:g} g from {part.from_mm:g} to {part.to_mm:g} mm"
            raise UnusableInput(what, f"part {part.name}", "give a mass and rising places")
    return Outline(
        every,
        np.interp(every, x, width),
        spine,
        np.minimum(np.full(every.shape, float(grind.edge_mm)), spine),
        share,
        tuple(parts),
        material,
        None if centre_mm is None else np.interp(every, x, np.asarray(centre_mm, dtype=float)),
        ground_u=grind.share_u,
    )


def ground_shifted(ground, by):
    """Shares of the width that are ground, by so much more where any is, from 0 to 1."""
    return np.where(ground > 0, np.clip(ground + by, 0.0, 1.0), ground)


def _rising(x_mm, size_mm, where):
    """Stations with their sizes, checked."""
    x = np.atleast_1d(np.asarray(x_mm, dtype=float))
    size = np.atleast_1d(np.asarray(size_mm, dtype=float))
    if x.shape != size.shape or x.size < (2 if where == "outline" else 1):
        what = f"{x.size} places and {size.size} sizes"
        raise UnusableInput(what, where, "give a size at each of two or more places")
    if not (np.all(np.isfinite(x)) and np.all(np.diff(x) > 0)):
        raise UnusableInput("the places do not rise", where, "order them from the butt to the tip")
    if not np.all(size >= 0) or not np.any(size > 0):
        raise UnusableInput("a size is negative or missing", where, "give sizes of 0 mm or more")
    return x, size


def thinned(shape, from_mm, tip_thickness_mm):
    """The same tool with a straight distal taper from `from_mm` to a thickness at the tip.

    Nothing gets thicker than it was: this is what grinding can do.

    Raises
    ------
    UnusableInput
        If the taper does not begin on the blade.
    """
    x = shape.x_mm
    if not x[0] <= from_mm < x[-1] or tip_thickness_mm < 0:
        what = f"taper from {from_mm:g} mm to {tip_thickness_mm:g} mm"
        raise UnusableInput(what, "thinned", f"begin between {x[0]:g} and {x[-1]:g} mm")
    every = np.union1d(x, [float(from_mm)])
    width, thickness, edge, ground = shape.at(every)
    start = float(np.interp(from_mm, x, shape.thickness_mm))
    share = np.clip((every - from_mm) / (x[-1] - from_mm), 0, 1)
    taper = np.where(every >= from_mm, start + share * (tip_thickness_mm - start), thickness)
    spine = np.minimum(thickness, taper)
    centre = None if shape.centre_mm is None else np.interp(every, x, shape.centre_mm)
    return replace(
        shape,
        x_mm=every,
        width_mm=width,
        thickness_mm=spine,
        edge_mm=np.minimum(edge, spine),
        ground=ground,
        centre_mm=centre,
    )


def rigid_body(
    shape,
    *,
    thicker_mm=0.0,
    width_factor=1.0,
    length_factor=1.0,
    ground_shift=0.0,
    density_kg_m3=None,
    part_g=None,
):
    """Mass (kg), balance point (m) and inertia about it (kg m²) of the outline with its parts.

    Parameters
    ----------
    shape : Outline
        The tool.
    thicker_mm, width_factor, length_factor, ground_shift, density_kg_m3 : float or array, (n,)
        Departures from the outline, for the uncertainty.
    part_g : sequence of float or arrays, optional
        Masses of the parts in place of their own.

    Returns
    -------
    tuple
        Three floats or arrays of shape (n,).
    """
    density = shape.material.density_kg_m3 if density_kg_m3 is None else density_kg_m3
    thicker, factor = np.asarray(thicker_mm, dtype=float), np.asarray(width_factor, dtype=float)
    low, step = shape.x_mm[:-1], np.diff(shape.x_mm)
    mass: np.ndarray | float = 0.0
    first: np.ndarray | float = 0.0
    second: np.ndarray | float = 0.0
    for node, weight in zip(_GAUSS3, _WEIGHT3, strict=True):
        x = low + step * node
        w, t, e, g = shape.at(x)
        g = ground_shifted(g, np.asarray(ground_shift, dtype=float)[..., None])
        wide = factor[..., None] * w
        thick = np.maximum(t + thicker[..., None] * (t > 0), 0.0)
        area = wide * ((1 - g) * thick + g * (thick + np.minimum(e, thick)) / 2)
        # mm² times mm times kg/m³ is 1e-9 kg; x in m.
        slab = 1e-9 * weight * area * step
        mass = mass + slab.sum(-1)
        first = first + (slab * x / 1e3).sum(-1)
        second = second + (slab * (x / 1e3) ** 2).sum(-1)
    long, butt = np.asarray(length_factor, dtype=float), float(shape.x_mm[0]) / 1e3
    mass, first, second = (np.asarray(density) * moment for moment in (mass, first, second))
    second = second - 2 * butt * first + butt**2 * mass  # about the butt, where stretching begins
    mass, first, second = long * mass, long**2 * (first - butt * mass), long**3 * second
    second = second + 2 * butt * first + butt**2 * mass
    first = first + butt * mass
    masses = [part.mass_g for part in shape.parts] if part_g is None else part_g
    for part, grams in zip(shape.parts, masses, strict=True):
        kg = np.asarray(grams, dtype=float) / 1e3
        middle = butt + long * ((part.from_mm + part.to_mm) / 2e3 - butt)
        spread = (long * (part.to_mm - part.from_mm) / 1e3) ** 2 / 12
        mass, first = mass + kg, first + kg * middle
        second = second + kg * (middle**2 + spread)
    balance = first / mass
    return mass, balance, second - mass * balance**2
