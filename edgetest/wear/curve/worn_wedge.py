"""The worn wedge: what a flat of given width at the apex means in metal lost.

An edge of included angle 2α worn flat to the width w has lost a triangle of base w and height
h = w / (2 tan α): its area A = w² / (4 tan α) is the worn volume per length of edge. Angles here
are always the included one, in degrees; half of it goes into the formulas.
"""

import numpy as np

from edgetest.errors import UnusableInput


def worn_area(edge_width, included_angle_deg):
    """Worn area of the edge's section, that is worn volume per length of edge.

    Parameters
    ----------
    edge_width : array_like
        Width of the flat, any unit of length.
    included_angle_deg : array_like
        Included angle, degrees.

    Returns
    -------
    ndarray or float
        In the unit of `edge_width`, squared.
    """
    return np.asarray(edge_width, dtype=float) ** 2 / (4 * _tan_half(included_angle_deg))


def width_of_worn_area(area, included_angle_deg):
    """Width of the flat that a worn area makes: `worn_area` the other way."""
    return np.sqrt(4 * _tan_half(included_angle_deg) * np.asarray(area, dtype=float))


def log_area_angle_u(included_angle_deg, angle_u_deg):
    """Standard uncertainty of log worn area that comes from the angle alone.

    The same for every stage of a blade: it moves the whole curve of that blade, does not cancel
    between blades of different angle measurements, and does not show in the residuals.

    Parameters
    ----------
    included_angle_deg, angle_u_deg : array_like
        Included angle and its standard uncertainty, degrees.

    Returns
    -------
    ndarray or float
        |d log A / d(2α)| × u = u / sin(2α), u in radians.
    """
    _tan_half(included_angle_deg)
    return np.radians(angle_u_deg) / np.sin(np.radians(included_angle_deg))


def _tan_half(included_angle_deg):
    angle = np.asarray(included_angle_deg, dtype=float)
    if np.any(~((angle > 0) & (angle < 180))):
        what = f"{included_angle_deg} degrees included"
        raise UnusableInput(what, "included_angle_deg", "give the included angle, 0 to 180 degrees")
    return np.tan(np.radians(angle) / 2)
