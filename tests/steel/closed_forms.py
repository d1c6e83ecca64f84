"""Closed forms of diffusion that the plate solvers are held against; the product uses none."""

import numpy as np
from scipy.special import erfc, erfcinv


def semi_infinite_carbon(depth_mm, dt_mm2, surface_pct, core_pct):
    """Carbon (%) below one face of a thick piece held at `surface_pct`; D t in mm²."""
    z = np.asarray(depth_mm, dtype=float) / (2 * np.sqrt(dt_mm2))
    return core_pct + (surface_pct - core_pct) * erfc(z)


def depth_times(depth_mm, carbon_pct, surface_pct, core_pct):
    """D t (mm²) that brings `carbon_pct` to a depth of a thick piece."""
    share = (carbon_pct - core_pct) / (surface_pct - core_pct)
    return float((depth_mm / (2 * erfcinv(share))) ** 2)


def plate_uptake_share(fo):
    """Mean carbon of a plate on its way from core (0) to surface (1), Fo on its half thickness.

    Crank, The Mathematics of Diffusion, 2nd ed. (1975), pp. 47-48.
    """
    fo = np.asarray(fo, dtype=float)
    odd = 2 * np.arange(400.0)[:, None] + 1
    terms = np.exp(-(odd**2) * np.pi**2 / 4 * fo.reshape(1, -1)) / odd**2
    return (1 - 8 / np.pi**2 * terms.sum(0)).reshape(fo.shape)


def harris_depth_mm(temperature_c, hours, form="metric"):
    """Total (not effective) case depth by Harris's rule of thumb, mm.

    The published forms differ by 3 to 5 %: "metric" 660 exp(-8287/T) sqrt(t), T in K; "inch"
    31.6 sqrt(t)/10^(6700/(F + 460)) in, F in degrees Fahrenheit (from memory).
    """
    if form == "metric":
        return float(660 * np.exp(-8287 / (temperature_c + 273.15)) * np.sqrt(hours))
    return float(25.4 * 31.6 / 10 ** (6700 / (temperature_c * 1.8 + 492)) * np.sqrt(hours))
