"""What does a needle of known thickness tell of lamps, lens and scale?

It shows two lines D sin(θ/2) apart between lamps at θ from the axis (law of reflection). What is
near sees them nearer to each other.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import plain

THICKEST_UM, THINNEST_UM = 1500.0, 50.0
THICK_UM = 500.0  # a thicker needle's lines lie so far off the axis that perspective counts
TOLERANCE_UM = 2.0  # half the doubt of a workshop micrometer; common practice, no source
NEAREST_MM = 30.0  # lens and lamps are no nearer to the edge than this
LAMPS_DEG = (50.0, 75.0)  # from the axis, where nobody noted more
POSSIBLE_DEG = (30.0, 90.0)  # a needle and a scale that ask for other lamps do not belong together
APART = 0.10  # relative: noted and measured angle of the lamps contradict each other
TURNED_DEG = 5.0  # the lamps miss 'straight across the edge' by no more, laid with care


@dataclass(frozen=True)
class Needle:
    """A needle or pin of known thickness; both in µm, `tolerance_um` at 95 %."""

    diameter_um: float
    tolerance_um: float = TOLERANCE_UM


@dataclass(frozen=True)
class SideSetup:
    """What is noted of lamps, lens and scale; None where nobody noted it.

    Attributes
    ----------
    direction : {"two sectors", "ring"}
        "ring": lamps all around; the crest is then at least so large.
    um_per_px : float, optional
        Scale, for a flat's width; with the needle it gives the angle of the lamps.
    scale_relative_u : float
    lamp_angle_deg : float, optional
        Of the lamps from the axis of the lens.
    turned_deg : float
        Most that the line from lamp to lamp misses 'straight across the edge'.
    lens_distance_mm, lamp_distance_mm : float, optional
        From the edge.
    """

    direction: str = "two sectors"
    um_per_px: float | None = None
    scale_relative_u: float = 0.0
    lamp_angle_deg: float | None = None
    turned_deg: float = TURNED_DEG
    lens_distance_mm: float | None = None
    lamp_distance_mm: float | None = None


@dataclass(frozen=True)
class Perspective:
    """What the nearness of lens and lamps takes off a needle's spacing, relative, and its bound."""

    relative: float
    bound: float

    def to_dict(self):
        """Plain values for JSON."""
        return {"relative": plain(self.relative), "bound": plain(self.bound)}


def check_needle(needle):
    """Raise unless the needle's thickness may be one."""
    if needle is None:
        return
    if not THINNEST_UM <= needle.diameter_um <= THICKEST_UM:
        raise UnusableInput(
            f"{needle.diameter_um / 1000:g} mm is no needle for this",
            "needle's diameter",
            "measure a needle or pin of 0.2 to 0.5 mm with a micrometer, and give it in mm",
        )
    if not 0 <= needle.tolerance_um < needle.diameter_um / 4:
        raise UnusableInput(
            f"±{needle.tolerance_um:g} µm cannot be a needle's tolerance",
            "needle's tolerance",
            "give how far its diameter may be off, such as 2 µm",
        )


def check_setup(setup):
    """Raise unless angles and distances may be such."""
    angle = setup.lamp_angle_deg
    if angle is not None and not POSSIBLE_DEG[0] <= angle <= POSSIBLE_DEG[1]:
        mend = "give the angle of the lamps from the axis of the lens, 50 to 75°"
        raise UnusableInput(f"lamps at {angle:g}°", "lamp angle", mend)
    if not 0 <= setup.turned_deg <= 45:
        mend = "give how far the lamps miss 'straight across the edge', 0 to 45°"
        raise UnusableInput(f"lamps turned by {setup.turned_deg:g}°", "turn of the lamps", mend)
    for name in ("lens_distance_mm", "lamp_distance_mm"):
        distance = getattr(setup, name)
        if distance is not None and not 1 <= distance <= 10_000:
            mend = "give it in millimetres from the edge"
            raise UnusableInput(f"{distance:g} mm", name.replace("_", " "), mend)
    if setup.direction not in ("two sectors", "ring"):
        mend = 'give "two sectors" or "ring"'
        raise UnusableInput(f'"{setup.direction}" light shows no two lines', "light", mend)


def lamp_sine(needle_lines, needle, setup):
    """Sine of half the lamps' angle, least and largest, and the doubts about it."""
    noted = setup.lamp_angle_deg
    by_scale = None
    if setup.um_per_px is not None:
        by_scale = needle_lines.spacing_px * setup.um_per_px / needle.diameter_um
        least, most = np.sin(np.radians(POSSIBLE_DEG) / 2)
        if not least <= by_scale <= most:
            return (by_scale, by_scale), (doubt("lamps_impossible"),)
    if noted is None and by_scale is None:
        low, high = np.sin(np.radians(LAMPS_DEG) / 2)
        return (float(low), float(high)), (doubt("lamp_angle_not_noted"),)
    if noted is None:
        return (by_scale, by_scale), ()
    sine = float(np.sin(np.radians(noted) / 2))
    if by_scale is not None:
        apart = abs(by_scale / sine - 1) > APART
        return (by_scale, by_scale), (doubt("lamp_angle_contradicts"),) if apart else ()
    return (sine, sine), ()


def perspective(diameter_um, sine, setup):
    """How much narrower a needle looks for lens and lamps that are near, and the bound of that.

    Parameters
    ----------
    diameter_um : float
    sine : float
        Of half the lamps' angle.
    setup : SideSetup

    Returns
    -------
    Perspective
        To be taken off the needle's spacing.

    Notes
    -----
    A glint at v off the axis sees its lamp by v cos θ / L less from the axis, and the lens by
    v / Z towards the middle: its normal leans by half of both less. To first order the spacing
    shrinks by cot(θ/2) (cos θ / L + 1 / Z) v / 2, v = D/2 sin(θ/2). A distance that nobody
    noted lies between 30 mm and infinity.
    """
    half = np.arcsin(sine)
    v_mm = diameter_um / 2000 * sine
    terms = []
    for distance, factor in (
        (setup.lens_distance_mm, 1.0),
        (setup.lamp_distance_mm, max(np.cos(2 * half), 0.0)),
    ):
        most = factor * v_mm / (2 * np.tan(half)) / (distance or NEAREST_MM)
        terms.append((most, 0.0) if distance else (most / 2, most / 2))
    relative, bound = np.sum(terms, axis=0)
    return Perspective(float(relative), float(bound))
