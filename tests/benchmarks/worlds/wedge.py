"""How a wedge of steel wears: area removed a cut, by laws that treat the grind differently.

A wedge of half angle a with a flat of width w has lost a triangle of height h = w/(2 tan a) and
area A = w²/(4 tan a). A steel of wear rate k loses dA = k·rate(w, a, t) a cut, t being the
thickness behind the edge. Every law is proportional to k: at one grind the ratio of lives to the
same width is that of the steels, and so is known.

References
----------
J. F. Archard, "Contact and rubbing of flat surfaces", Journal of Applied Physics 24 (1953) 981:
volume worn for each length slid is proportional to load (from memory). That rope or board load an
edge by one of these laws is assumed, not measured: the laws are there to disagree.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

ANGLE_DEG, THICKNESS_MM = 17.0, 0.4  # the grind at which a rate of the table is 1
POINTS = 400


@dataclass(frozen=True)
class Grind:
    """Half angle (degrees a side) and thickness behind the edge (mm) of one blade, as it is."""

    angle_deg: float
    thickness_mm: float

    @property
    def tangent(self):
        return float(np.tan(np.radians(self.angle_deg)))


Rate = Callable[[np.ndarray, Grind], np.ndarray]
_TANGENT = float(np.tan(np.radians(ANGLE_DEG)))


def load(rng) -> Rate:
    """The load on a length of edge is the same whatever the edge: area grows evenly with cuts."""
    del rng
    return lambda w, grind: np.ones_like(w)


def pressure(rng) -> Rate:
    """What is cut closes round the edge at a pressure of its own: height is lost evenly."""
    del rng
    return lambda w, grind: w


def force(rng) -> Rate:
    """The load is the cutting force: a part each from width, angle and thickness behind."""
    parts = rng.dirichlet([3.0, 3.0, 3.0])

    def rate(w, grind):
        wedged = parts[1] * grind.tangent / _TANGENT + parts[2] * grind.thickness_mm / THICKNESS_MM
        return parts[0] * w + wedged

    return rate


def yielding(rng) -> Rate:
    """A slender apex bends and sheds steel as well: side loads stress a thin wedge more."""
    share, power = rng.uniform(0.5, 2.0), rng.uniform(2.0, 3.0)
    return lambda w, grind: np.ones_like(w) * (1.0 + share * (_TANGENT / grind.tangent) ** power)


LAWS = {"load": load, "pressure": pressure, "force": force, "yielding": yielding}


def cuts_to(widths_um, fresh_um, limit_um, grind, rate):
    """Cuts (of a steel of k = 1) from the fresh width to each of the widths (ascending)."""
    grid = np.linspace(fresh_um, max(widths_um[-1], fresh_um * 1.001), POINTS)
    each = grid / (2.0 * grind.tangent) / rate(grid / limit_um, grind)
    cuts = np.concatenate([[0.0], np.cumsum(np.diff(grid) * (each[1:] + each[:-1]) / 2.0)])
    return np.interp(widths_um, grid, cuts)


def width_after(cuts, steel, fresh_um, limit_um, grind, rate):
    """Edge width (µm) after the cuts; `steel` is cuts for one unit of `cuts_to`, 1/k."""
    grid = np.linspace(fresh_um, 4.0 * limit_um, POINTS)
    return np.interp(cuts, steel * cuts_to(grid, fresh_um, limit_um, grind, rate), grid)


def life(steel, fresh_um, limit_um, grind, rate):
    """Cuts to the limit."""
    return float(steel * cuts_to(np.array([limit_um]), fresh_um, limit_um, grind, rate)[0])
