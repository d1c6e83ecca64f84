"""How wide is the land and how round are its corners, seen on-axis and between two lamps?

Light along the axis shows a bright line of w + 2 r sin a, two lamps across the edge two lines of
w + 2 r sin(θ/2): two equations for the flat w and the radius r of its corners.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np

from edgetest.photo.apex.apex_light import SLOPES, WORST, FacingWidth, leaning_sine, least_sine

STEEPEST = 0.9  # of sin(θ/2): the two equations are one where on-axis light reaches as far


@dataclass(frozen=True)
class LandAndCorner:
    """Flat, radius of its corners and W30, µm, at 95 %; values where roughness is usual."""

    land_um: FacingWidth
    corner_um: FacingWidth
    w30_um: FacingWidth


def land_and_corner(lines_um, sine, bright_um, lighting):
    """Solve both equations, over all that is not known.

    Parameters
    ----------
    lines_um : FacingWidth
        Distance of the two lines.
    sine : float
        Of half the lamps' angle.
    bright_um : FacingWidth
        Width of the bright line in on-axis light, of the same place.
    lighting : Lighting
        Of the on-axis picture.

    Returns
    -------
    LandAndCorner or None
        None where the aperture of the lens is not noted.

    Notes
    -----
    sin a depends on the roughness of the apex, which is not known: the ends span slopes from
    0.01 to 0.20; the values take the geometric mean of both sines.
    """
    least = least_sine(lighting)
    if least is None:
        return None
    na = max(lighting.lens_na, lighting.lamp_na or 0.0)
    most = min((1 + WORST) * leaning_sine(na, SLOPES[1]), STEEPEST * sine)
    ends = product((lines_um.low, lines_um.high), (bright_um.low, bright_um.high), (least, most))
    found = np.array([_solved(lines, bright, reach, sine) for lines, bright, reach in ends])
    value = _solved(lines_um.value, bright_um.value, np.sqrt(least * most), sine)
    sizes = [
        FacingWidth(float(part.min()), float(part.max()), float(middle))
        for part, middle in zip(found.T, value, strict=True)
    ]
    return LandAndCorner(*sizes)


def _solved(lines_um, bright_um, reach, sine):
    """Flat, radius and W30 for one value of each."""
    radius = max(lines_um - bright_um, 0.0) / (2 * (sine - reach))
    land = min(bright_um, lines_um) - 2 * radius * reach
    if land < 0:  # no flat at all: the two lines alone tell the radius
        land, radius = 0.0, lines_um / (2 * sine)
    return land, radius, land + radius
