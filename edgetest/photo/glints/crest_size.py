"""How large is the crest whose two lines a needle of known thickness calibrates?

Each lamp glints where the surface halves the angle between lamp and lens: on a crest of radius
r between lamps at θ from the axis the lines lie 2 r sin(θ/2) apart, on a flat of width w with
corners of radius r, w + 2 r sin(θ/2). A needle of diameter D shows D sin(θ/2) in the same
light, so a round crest's radius is D/2 times spacing over spacing: neither θ nor scale is
needed. The law of reflection; W30 of both forms follows.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import doubt, told
from edgetest.estimate import plain
from edgetest.photo.apex.apex_light import SIN_FACING, FacingWidth, Lighting
from edgetest.photo.glints.crest_words import crest_words
from edgetest.photo.glints.land_corner import land_and_corner
from edgetest.photo.glints.needle_light import (
    THICK_UM,
    Perspective,
    SideSetup,
    check_needle,
    check_setup,
    lamp_sine,
    perspective,
)
from edgetest.photo.glints.pair_spacing import LineSpacing

# Half-interval, relative, of what both lines share with neither noise nor needle: skewed lines,
# roughness of the crest unlike the needle's (second order: its mean square slope, up to 2 %).
MODEL = 0.012
# Half-interval over the sine of the angle by which the lamps miss 'straight across the edge':
# a grind aslant to the edge draws both lines inward or outward. python
# tests/benchmarks/side_light.py, worst case 21 degrees, grind at 28: 8.0 %.
TURN = 0.24


TWO_SECTORS = Lighting("two sectors")
NOTHING_NOTED = SideSetup()


@dataclass(frozen=True)
class OnAxisLine:
    """The bright line of the same place in on-axis light, and that light."""

    width_um: FacingWidth
    light: Lighting


@dataclass(frozen=True)
class CrestSize:
    """A crest under two lamps, or the reasons why there is none.

    Attributes
    ----------
    status : {"measured", "refused"}
    radius_um : FacingWidth or None
        Radius, if the crest is fully round; `value` None where only bounded.
    flat_um : FacingWidth or None
        Width, if it is a flat with sharp corners; None where neither scale nor angle is noted.
    w30_um : FacingWidth or None
        Spans both forms and all between: what is known without knowing the form.
    lamp_angle_deg : float or None
        By needle and scale, else as noted.
    land_um, corner_um : FacingWidth or None
        Flat and radius of its corners, where an on-axis picture of the same place is given.
    own_u : float or None
        Relative standard uncertainty of this picture by itself: its noise, and how the blade lay
        to the lamps. None where there is no value.
    perspective : Perspective or None
    crest, needle : LineSpacing
        Both lines of the edge and of the needle.
    """

    status: str
    crest: LineSpacing
    needle: LineSpacing | None = None
    reasons: tuple = ()
    doubts: tuple = ()
    light: Lighting = TWO_SECTORS
    radius_um: FacingWidth | None = None
    flat_um: FacingWidth | None = None
    w30_um: FacingWidth | None = None
    land_um: FacingWidth | None = None
    corner_um: FacingWidth | None = None
    lamp_angle_deg: float | None = None
    perspective: Perspective | None = None
    um_per_px: float | None = None
    own_u: float | None = None

    @property
    def shared_u(self):
        """Relative standard uncertainty of W30 that pictures of one needle and one form share."""
        w30 = self.w30_um
        if self.own_u is None or w30 is None or w30.value is None or w30.high is None:
            return None
        whole = (w30.high - w30.low) / 2 / 1.96 / w30.value
        return float(np.sqrt(max(whole**2 - self.own_u**2, 0.0)))

    def to_dict(self):
        """Plain values for JSON, without the arrays of the overlay."""

        def of(result):
            return result.to_dict() if result is not None else None

        return {
            "status": self.status,
            "reasons": [reason.to_warning() for reason in self.reasons],
            "light": self.light.to_dict(),
            "radius_um": of(self.radius_um),
            "flat_um": of(self.flat_um),
            "w30_um": of(self.w30_um),
            "land_um": of(self.land_um),
            "corner_um": of(self.corner_um),
            "lamp_angle_deg": plain(self.lamp_angle_deg),
            "perspective": of(self.perspective),
            "um_per_px": plain(self.um_per_px),
            "own_u": plain(self.own_u),
            "shared_u": plain(self.shared_u),
            "lines": of(self.crest),
            "needle_lines": of(self.needle),
            **told(self.doubts),
        }

    def summary(self):
        """The size as a maker reads it out."""
        if self.status == "refused":
            return f"not measured: {self.reasons[0].text}"
        return crest_words(vars(self))


def size_crest(crest, needle_lines, needle, setup=NOTHING_NOTED, on_axis=None):
    """Radius of a crest from its two lines and those of a needle in the same light and focus.

    Parameters
    ----------
    crest : LineSpacing
        Of the edge.
    needle_lines : LineSpacing or None
        Of the needle, taken with the same lamps, lens and focus.
    needle : Needle or None
    setup : SideSetup
    on_axis : OnAxisLine, optional
        The bright line of the same place in on-axis light: then land and corner are told, too.

    Returns
    -------
    CrestSize
        Refusals included.

    Raises
    ------
    UnusableInput
        If the thickness of the needle, an angle or a distance is none.

    Notes
    -----
    All ends of intervals are at 95 %. A radius is D/2 S/S₀; a flat's width is S times the
    scale; W30 lies between the least and the largest of both: a flat with round corners, w +
    2 r sin(θ/2) from line to line, has a W30 of w + r between them.
    """
    check_needle(needle)
    check_setup(setup)
    light = Lighting(setup.direction)

    def refused(code):
        return CrestSize("refused", crest, needle_lines, (doubt(code),), light=light)

    code = _objection(crest, needle_lines, needle)
    if code is not None:
        return refused(code)
    sine, doubts = lamp_sine(needle_lines, needle, setup)
    if doubts and doubts[0].code == "lamps_impossible":
        return refused("lamps_impossible")
    view = perspective(needle.diameter_um, np.mean(sine), setup)
    radius = round_radius(crest, needle_lines, needle, view, setup)
    flat = flat_width(crest, radius, sine, setup)
    w30 = _spanned(radius, flat if flat is not None else _flat_of(radius, sine))
    if setup.direction == "ring":
        radius, w30 = (FacingWidth(size.low, None) for size in (radius, w30))
        flat = None
    both = _with_on_axis(crest, flat, sine, setup, on_axis)
    if both is not None:
        w30 = both.w30_um
    angle = 2 * np.degrees(np.arcsin(np.mean(sine))) if sine[0] == sine[1] else None
    return CrestSize(
        "measured",
        crest,
        needle_lines,
        doubts=(*doubts, *_further_doubts(crest, needle, setup, on_axis)),
        light=light,
        radius_um=radius,
        flat_um=flat,
        w30_um=w30,
        land_um=None if both is None else both.land_um,
        corner_um=None if both is None else both.corner_um,
        lamp_angle_deg=None if angle is None else float(angle),
        perspective=view,
        um_per_px=setup.um_per_px,
        own_u=_own_u(crest, setup) if w30.value is not None else None,
    )


def _own_u(crest, setup):
    """Relative standard uncertainty of one picture by itself: its noise, and its turn."""
    turned = TURN * np.sin(np.radians(setup.turned_deg)) / 1.96
    return float(np.hypot(crest.u_px / crest.spacing_px, turned))


def _further_doubts(crest, needle, setup, on_axis):
    """What a size may not be believed for, besides the lamps' angle."""
    found = []
    if setup.direction == "ring":
        found.append(doubt("ring_at_least"))
    if crest.found == "one line":
        found.append(doubt("lines_not_resolved"))
    if needle.diameter_um > THICK_UM:
        found.append(doubt("needle_thick"))
    if on_axis is not None and on_axis.light.lens_na is None:
        found.append(doubt("aperture_not_noted"))
    return found


def _objection(crest, needle_lines, needle):
    """Why two pictures tell no size, or None."""
    if crest.found == "none":
        return crest.reason
    if needle is None or needle_lines is None:
        return "no_needle"
    if needle_lines.found != "two lines":
        return "one_line" if crest.found == "one line" else "needle_not_resolved"
    return None


def _with_on_axis(crest, flat, sine, setup, on_axis):
    """Land and corner, where both pictures tell enough."""
    if on_axis is None or flat is None or crest.found != "two lines":
        return None
    turned = TURN * np.sin(np.radians(setup.turned_deg))
    lines = FacingWidth(flat.low * (1 - turned), flat.high * (1 + turned), flat.value)
    return land_and_corner(lines, sine[0], on_axis.width_um, on_axis.light)


def round_radius(crest, needle_lines, needle, view, setup):
    """Radius of a round crest, D/2 S/S₀, with the needle's perspective taken off."""
    unit = needle.diameter_um / 2 * (1 - view.relative)
    shared = [needle.tolerance_um / needle.diameter_um, view.bound, MODEL]
    shared.append(TURN * np.sin(np.radians(setup.turned_deg)))
    shared.append(1.96 * needle_lines.u_px / needle_lines.spacing_px)
    if crest.found == "one line":
        most = crest.at_most_px / needle_lines.low_px
        return FacingWidth(0.0, float(unit * most * (1 + np.hypot.reduce(shared))))
    shared.append(1.96 * crest.u_px / crest.spacing_px)
    spread = float(np.hypot.reduce(shared))
    low = unit * crest.low_px / needle_lines.high_px * (1 - spread)
    high = unit * crest.high_px / needle_lines.low_px * (1 + spread)
    value = unit * crest.spacing_px / needle_lines.spacing_px
    return FacingWidth(float(low), float(high), float(value))


def flat_width(crest, radius, sine, setup):
    """Width of a flat with sharp corners, whose lines are its borders; None without an angle."""
    if sine[0] != sine[1]:
        return None
    if setup.um_per_px is None:
        return _flat_of(radius, sine)
    scale = setup.um_per_px
    spread = 1.96 * setup.scale_relative_u
    if crest.found == "one line":
        return FacingWidth(0.0, crest.at_most_px * scale * (1 + spread))
    spread = float(np.hypot.reduce([spread, MODEL, 1.96 * crest.u_px / crest.spacing_px]))
    return FacingWidth(
        crest.low_px * scale * (1 - spread),
        crest.high_px * scale * (1 + spread),
        crest.spacing_px * scale,
    )


def _flat_of(radius, sine):
    """The flat whose lines are as far apart as a round crest's: 2 R sin(θ/2)."""
    low, high = radius.low * sine[0] / SIN_FACING, radius.high * sine[1] / SIN_FACING
    value = None
    if radius.value is not None and sine[0] == sine[1]:
        value = radius.value * sine[0] / SIN_FACING
    return FacingWidth(low, high, value)


def _spanned(radius, flat):
    """W30 of all forms between the round crest and the flat; its value amid them."""
    low, high = min(radius.low, flat.low), max(radius.high, flat.high)
    value = None
    if radius.value is not None and flat.value is not None:
        value = (radius.value + flat.value) / 2
    return FacingWidth(low, high, value)
