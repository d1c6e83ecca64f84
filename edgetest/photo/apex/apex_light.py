"""What a bright line says of the apex: the part that leans less than the light can follow.

Light along the axis comes back into the lens from where the surface nearly faces it: all of a
flat, and of a round crest the cap alone. How far the crest may lean and still shine depends on
the apertures of lamp and lens and on the roughness; `tests/benchmarks/shining_lean.py` works it
out from the reflectance of a rough surface (Torrance and Sparrow 1967) and fits the formula here.
"""

from dataclasses import asdict, dataclass, replace
from math import cos, hypot, log, radians, sin, sqrt

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import format_estimate, plain

DIRECTIONS = ("on-axis", "ring", "dome", "two sectors")
ALONG_THE_AXIS = ("on-axis", "")  # what is measured as one bright line

# sin a = [(PUPIL NA)^POWER + (ROUGH slope)^POWER]^(1/POWER), NA the larger of lamp's and lens's:
# python -m tests.benchmarks.shining_lean, 320 cases of apertures 0.02 to 0.28 and slopes 0.01
# to 0.20, worst 8.5 %.
PUPIL, ROUGH, POWER = 0.467, 1.234, 3.123
WORST = 0.085
# Root mean square slope across the edge, radians. Ground and honed steel has 0.03 to 0.20; where
# the grind crosses the edge its slopes across are about a third of those along it.
SLOPES = (0.01, 0.20)
SHORT = 0.10  # so much less than engraved an aperture may be: rounded, its stop part closed
SIN_FACING = 0.5  # of 30 degrees
BELL = sqrt(8 * log(2))  # full width at half height of a Gaussian over its standard deviation


@dataclass(frozen=True)
class Lighting:
    """How a set-up throws its light, as far as somebody noted it.

    Attributes
    ----------
    direction : {"on-axis", "ring", "dome", "two sectors", ""}
        Where the light comes from; "" is not noted.
    lens_na, lamp_na : float, optional
        Numerical aperture of the objective, and of the light as it falls on the edge.
    slopes : (float, float)
        Least and largest roughness that the apex may have: root mean square slope of its
        facets across the edge, radians.
    """

    direction: str = ""
    lens_na: float | None = None
    lamp_na: float | None = None
    slopes: tuple[float, float] = SLOPES

    def to_dict(self):
        """Plain values for JSON: direction and apertures."""
        return {
            "direction": self.direction,
            "lens_na": plain(self.lens_na),
            "lamp_na": plain(self.lamp_na),
        }

    def words(self):
        """The light as a person says it: "on-axis light, lens aperture 0.1"."""
        if not self.direction:
            return "light not noted"
        apertures = (("lens", self.lens_na), ("lamp", self.lamp_na))
        told = [f"{name} aperture {na:g}" for name, na in apertures if na is not None]
        if self.direction == "on-axis" and self.lens_na is None:
            told = ["lens aperture not noted", *told]
        name = "two-sector" if self.direction == "two sectors" else self.direction
        return ", ".join([f"{name} light", *told])


NOT_NOTED = Lighting()


def declared_light(direction=None, lens_na=None, lamp_na=None, *, where="light"):
    """A set-up's light as a person declares it, checked.

    Parameters
    ----------
    direction : str, optional
        One of `DIRECTIONS`; blank is not noted.
    lens_na, lamp_na : float, optional
        Numerical apertures, as engraved on the objective.
    where : str
        Where it stands, for the error.

    Returns
    -------
    Lighting

    Raises
    ------
    UnusableInput
        If the direction is not known, an aperture is none, or stands without a direction.
    """
    if direction and direction not in DIRECTIONS:
        known = ", ".join(f'"{name}"' for name in DIRECTIONS)
        raise UnusableInput(f'"{direction}" is no light known here', where, f"one of {known}")
    for name, na in (("lens_na", lens_na), ("lamp_na", lamp_na)):
        if na is not None and not 0 < na < 1:
            mend = "write the number behind NA on the objective, such as 0.10"
            raise UnusableInput(f"{na:g} is no numerical aperture", f"{where}, {name}", mend)
        if na is not None and not direction:
            mend = 'say where the light comes from, such as "on-axis"'
            raise UnusableInput(f"an aperture ({name}) without its light", where, mend)
    return Lighting(direction or "", lens_na, lamp_na)


@dataclass(frozen=True)
class FacingWidth:
    """W30, µm: distance between the two lines where the surface leans 30° from facing the lens.

    A flat's width; a round crest's radius; width plus corner radius of a flat with round corners.
    `value` is None where it is only bounded, `high` where nothing bounds it from above.
    """

    low: float
    high: float | None
    value: float | None = None

    def to_dict(self):
        """Plain values for JSON."""
        return {"value": plain(self.value), "low": plain(self.low), "high": plain(self.high)}

    def words(self):
        """The width as a person reads it: "8.7 to 87 µm"."""
        if self.value is not None and self.high is not None:
            return f"{format_estimate(self.value, self.low, self.high)} µm"
        if self.high is None:
            return f"at least {in_um(self.low)} µm"
        if not self.low:
            return f"at most {in_um(self.high)} µm"
        return f"{in_um(self.low)} to {in_um(self.high)} µm"


@dataclass(frozen=True)
class ApexForms:
    """Edges that show the same bright line: a flat, and round crests up to a radius, µm.

    `round_up_to_radius_um` is None where the aperture is not noted: nothing bounds it then.
    """

    flat_um: float
    round_up_to_radius_um: float | None = None

    def to_dict(self):
        """Plain values for JSON."""
        return {key: plain(value) for key, value in asdict(self).items()}


def least_sine(lighting):
    """Sine of the least lean at which on-axis light is half lost; None without an aperture.

    Parameters
    ----------
    lighting : Lighting

    Returns
    -------
    float or None
        From the larger of the apertures that are noted, a tenth short, and the smoothest apex
        that is allowed, less the worst error of the formula.

    References
    ----------
    .. [1] K. E. Torrance and E. M. Sparrow, "Theory for off-specular reflection from roughened
       surfaces", Journal of the Optical Society of America 57 (1967) 1105-1114. From memory.
    """
    if lighting.lens_na is None:
        return None
    na = max(lighting.lens_na, lighting.lamp_na or 0.0)
    return (1 - WORST) * leaning_sine((1 - SHORT) * na, lighting.slopes[0])


def leaning_sine(na, slope):
    """Sine of the lean at which a crest sends half as much on-axis light back as its top.

    Parameters
    ----------
    na : float
        The larger numerical aperture of lamp and lens.
    slope : float
        Root mean square slope of the surface's facets across the edge, radians.

    Returns
    -------
    float
        Within `WORST` of the sum over both pupils.
    """
    return ((PUPIL * na) ** POWER + (ROUGH * slope) ** POWER) ** (1 / POWER)


def facing_width(low_um, high_um, lighting, blur_um=0.0):
    """W30 as on-axis light brackets it: from the bright line to W sin 30° / sin a.

    Parameters
    ----------
    low_um, high_um : float
        Interval of the bright line; from 0 where only an upper limit of it is known.
    lighting : Lighting
    blur_um : float
        Blur that was found beside the line, standard deviation.

    Returns
    -------
    FacingWidth or None
        None where the light is not on-axis or not noted.

    Notes
    -----
    A line that shines is as wide as w + 2 r sin a on a flat w between corners of radius r; W30
    is w + r. Whatever w and r are, W30 lies between the line and the line times sin 30° / sin a,
    which is the radius of a round crest, W / (2 sin a).

    The light of a round crest falls off as a bell, which a picture cannot tell from a narrow flat
    behind a blur: what is taken for blur may be crest. So the upper end starts from all of the
    bell, its full width at half height, (W² + 8 ln 2 blur²)^(1/2) at the most.
    """
    if lighting.direction != "on-axis":
        return None
    sine = least_sine(lighting)
    bell = hypot(high_um, BELL * blur_um)
    return FacingWidth(low_um, None if sine is None else bell * SIN_FACING / sine)


def in_light(measurement, lighting):
    """A measurement with what its light lets it say of the apex.

    Parameters
    ----------
    measurement : ApexMeasurement
    lighting : Lighting

    Returns
    -------
    ApexMeasurement
        With `light`, `w30_um` and `apex`; with a doubt where light or aperture is not noted. A
        picture refused as out of focus may show a round crest: that is told beside the reason.
    """
    seen = replace(measurement, light=lighting)
    if measurement.status == "refused":
        soft = any(reason.code == "out_of_focus" for reason in seen.reasons)
        more = (doubt("soft_or_round"),) if soft else ()
        return replace(seen, reasons=(*seen.reasons, *more))
    if not lighting.direction:
        return replace(seen, doubts=(*seen.doubts, doubt("light_not_noted")))
    blur_um = (seen.blur_px or 0.0) * (seen.um_per_px or 0.0)
    width, below = seen.width_um, seen.below_um
    flat_um, low, high = (
        (below, 0.0, below) if width is None else (width.mean, width.low, width.high)
    )
    facing = facing_width(low, high, lighting, blur_um)
    if facing is None:
        return seen
    doubts = seen.doubts
    if facing.high is None:
        doubts = (*doubts, doubt("aperture_not_noted"))
    return replace(seen, w30_um=facing, apex=ApexForms(flat_um, facing.high), doubts=doubts)


def height_lost_ratio(included_deg):
    """Height that a round crest has lost over that of a flat of the same W30.

    Parameters
    ----------
    included_deg : float
        Angle of the whole edge between its bevels.

    Returns
    -------
    float
        A wedge of half angle f cut flat to width w has lost w / (2 tan f) of its height; rounded
        to radius R between the same bevels, R (1 / sin f - 1). With w = R: 2 (1 - sin f) / cos f.
    """
    half = radians(included_deg / 2)
    return 2 * (1 - sin(half)) / cos(half)


def wrong_light(lighting):
    """The doubt that refuses a picture in light that shows no one bright line, or None."""
    if lighting.direction in ALONG_THE_AXIS:
        return None
    code = "two_sector_light" if lighting.direction == "two sectors" else "ring_light"
    return doubt(code)


def line_words(line, forms, lighting):
    """A bright line in words: what it may be in the hand.

    Parameters
    ----------
    line : str
        The line itself: "8.76 (8.71 to 8.80) µm", or "below 2.1 µm".
    forms : ApexForms or None
        None where the light is not noted.
    lighting : Lighting

    Returns
    -------
    str
    """
    flat = "a flat no wider" if line.startswith("below") else "a flat of that width"
    if forms is not None and forms.round_up_to_radius_um is not None:
        crest = f"round up to radius {in_um(forms.round_up_to_radius_um)} µm"
    else:
        unknown = "lens aperture" if lighting.direction else "light"
        crest = f"a round crest of unknown radius ({unknown} not noted)"
    return f"bright line {line}: {flat}, or {crest}"


def in_um(length_um):
    """A length in three digits, without an exponent."""
    return f"{length_um:.3g}" if length_um < 1000 else f"{length_um:.0f}"
