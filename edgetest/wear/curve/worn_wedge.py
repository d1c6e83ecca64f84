"""The worn wedge: what a flat of given width at the apex means in metal lost.

An edge of included angle 2α worn flat to the width w has lost a triangle of base w and height
h = w / (2 tan α): its area A = w² / (4 tan α) is the worn volume per length of edge. Angles here
are always the included one, in degrees; half of it goes into the formulas.
"""

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate


def recession(edge_width, included_angle_deg):
    """How far the apex has moved back, in the unit of `edge_width`.

    Parameters
    ----------
    edge_width : array_like
        Width of the flat, any unit of length.
    included_angle_deg : array_like
        Included angle of the edge bevels, degrees, between 0 and 180.

    Returns
    -------
    ndarray or float
    """
    return np.asarray(edge_width, dtype=float) / (2 * _tan_half(included_angle_deg))


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


def worn_area_estimate(
    edge_width_um, width_u_um, included_angle_deg, angle_u_deg=0.0, *, level=0.95
):
    """Worn area per length with the doubts of width and angle in it.

    Parameters
    ----------
    edge_width_um, width_u_um : float
        Width of the flat and its standard uncertainty, µm.
    included_angle_deg, angle_u_deg : float
        Included angle and its standard uncertainty, degrees.
    level : float
        Coverage of the interval.

    Returns
    -------
    Estimate
        µm² (= µm³ per µm of edge); the interval is symmetric on the log scale.
    """
    from scipy.special import ndtri

    relative = np.hypot(
        2 * width_u_um / edge_width_um, log_area_angle_u(included_angle_deg, angle_u_deg)
    )
    value = float(worn_area(edge_width_um, included_angle_deg))
    half = float(ndtri(0.5 + level / 2)) * float(relative)
    low, high = value * np.exp(-half), value * np.exp(half)
    return Estimate(value, float(low), float(high), "µm²", level, "delta method, log scale")


def width_limits(area, included_angle_deg, angle_u_deg):
    """The width at which each blade has lost a given worn area, for lives on metal lost.

    Parameters
    ----------
    area : float
        Worn area per length of edge that ends a life, unit of length squared.
    included_angle_deg, angle_u_deg : array_like, shape (n,)
        Each blade's included angle and its standard uncertainty, degrees.

    Returns
    -------
    limit, limit_relative_u : ndarray, shape (n,)
        For `study_curves.fit_study`: a wider flat on the blunter wedge, and what the
        doubt about the angle makes of it.
    """
    limit = width_of_worn_area(area, included_angle_deg)
    return limit, log_area_angle_u(included_angle_deg, angle_u_deg) / 2


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


def volume_per_cut(rate, included_angle_deg, edge_length):
    """Worn volume per cut from the wedge law's K at p = 2 (w² = w0² + K n).

    Parameters
    ----------
    rate : array_like
        K, unit of width squared per cut.
    included_angle_deg : array_like
        Included angle, degrees.
    edge_length : array_like
        Length of edge that cuts, same unit of length.

    Returns
    -------
    ndarray or float
        Unit of length cubed per cut.
    """
    return np.asarray(rate, dtype=float) / (4 * _tan_half(included_angle_deg)) * edge_length


def archard_volume(wear_coefficient, load_n, path_mm, hardness_mpa):
    """Worn volume by Archard's law, V = k F s / H.

    Parameters
    ----------
    wear_coefficient : array_like
        k, dimensionless (abrasive wear 0.01 to 0.1, order of magnitude only).
    load_n : array_like
        Force on the contact, N.
    path_mm : array_like
        Length slid, mm.
    hardness_mpa : array_like
        Hardness of the worn part as a pressure, MPa = N/mm² (Vickers number × 9.807).

    Returns
    -------
    ndarray or float
        mm³.

    References
    ----------
    .. [1] J. F. Archard, "Contact and rubbing of flat surfaces", Journal of Applied Physics
       24 (1953) 981-988; restated in Encyclopedia 5(3) (2025) 124.
    """
    return np.asarray(wear_coefficient, dtype=float) * load_n * path_mm / hardness_mpa


def _tan_half(included_angle_deg):
    angle = np.asarray(included_angle_deg, dtype=float)
    if np.any(~((angle > 0) & (angle < 180))):
        what = f"{included_angle_deg} degrees included"
        raise UnusableInput(what, "included_angle_deg", "give the included angle, 0 to 180 degrees")
    return np.tan(np.radians(angle) / 2)
