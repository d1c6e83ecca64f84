"""Carbon across a plate after a schedule of heats, for any diffusivity."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.diffusion import (
    DIFFUSIVITIES,
    Diffusivity,
    diffusivity,
    first_half,
    march,
    plate_grid,
    relax,
)

LOWEST_AUSTENITE_C = 727.0
PUBLISHED_C = (800.0, 1100.0)
SURFACES = ("carburising", "sealed", "decarburising")
DEFAULT_SURFACE_PCT = {"carburising": 1.0, "decarburising": 0.0}  # from memory, no source
PUBLISHED = tuple(DIFFUSIVITIES)


@dataclass(frozen=True)
class Heat:
    """One heat of the schedule, counted from when the steel itself is at temperature."""

    temperature_c: float
    hours: float
    surface: str = "sealed"
    surface_pct: float | None = None  # carbon held at the surface, % by weight
    faces: int = 2  # 1: only the first face sees it, the other is sealed
    name: str = ""

    def __post_init__(self):
        where = f"heat {self.name or f'at {self.temperature_c:g} °C'}"
        if self.surface not in SURFACES:
            mend = f"use one of {', '.join(SURFACES)}"
            raise UnusableInput(f"{self.surface!r} is no surface", where, mend)
        if not 0 <= self.temperature_c <= 1400:
            raise UnusableInput(f"{self.temperature_c:g} °C is no heat", where, "give °C")
        if not self.hours >= 0:
            raise UnusableInput(f"{self.hours:g} h is no time", where, "give the time at heat")
        if self.faces not in (1, 2):
            raise UnusableInput(f"{self.faces} faces", where, "give 1 or 2")
        if self.surface_pct is not None and not 0 <= self.surface_pct <= 2.1:
            what = f"{self.surface_pct:g} % is more carbon than steel dissolves"
            raise UnusableInput(what, where, "give 0 to 2.1 %")

    @property
    def held_pct(self):
        """Carbon held at the surface, %; None where sealed."""
        if self.surface == "sealed":
            return None
        if self.surface_pct is not None:
            return self.surface_pct
        return DEFAULT_SURFACE_PCT[self.surface]

    @property
    def moves_carbon(self):
        """Whether there is austenite for carbon to move in."""
        return self.temperature_c >= LOWEST_AUSTENITE_C and self.hours > 0


def run_schedule(law, heats, grid, core_pct, temperature_shift_c, surface_shift_pct, factor, steps):
    """Carbon of all samples under one diffusivity law.

    Parameters
    ----------
    law : Diffusivity or CarbonDependentDiffusivity
    heats : sequence of Heat
    grid : Grid
    core_pct, temperature_shift_c, surface_shift_pct, factor : ndarray, shape (samples,)
        Carbon before; error of the thermometer, of the carbon held by the pack; factor on
        the diffusivity.
    steps : int
        Time steps of a heat with a held surface, where stepping is needed.

    Returns
    -------
    ndarray, shape (samples, nodes)
    """
    heats = [heat for heat in heats if heat.moves_carbon]
    stepped = not isinstance(law, Diffusivity)
    halved = stepped and grid.centres_mm.size % 2 == 0 and all(h.faces == 2 for h in heats)
    used = first_half(grid) if halved else grid
    carbon = np.repeat(core_pct[:, None], used.centres_mm.size, axis=1)
    for heat in heats:
        held = None
        if heat.surface == "carburising":
            held = np.maximum(heat.held_pct + surface_shift_pct, 0.05)
        elif heat.surface == "decarburising":
            held = np.full(core_pct.shape, heat.held_pct)
        other = held if heat.faces == 2 and not halved else None
        temperature_c = heat.temperature_c + temperature_shift_c
        if stepped:
            number = steps if held is not None else max(steps // 3, 4)
            carbon, _ = march(
                carbon, heat.hours, used, held, other, law, temperature_c, factor=factor,
                steps=number,
            )  # fmt: skip
        else:
            dt_mm2 = factor * law.mm2_h(temperature_c) * heat.hours
            carbon, _ = relax(carbon, dt_mm2, grid, held, other)
    return np.concatenate([carbon, carbon[:, ::-1]], axis=1) if halved else carbon


def carbon_profile(
    heats, thickness_mm, *, core_pct, diffusivity_name="agren", nodes=200, factor=1.0
):
    """Carbon across a plate after a schedule, for one diffusivity and no uncertainty.

    Parameters
    ----------
    heats : sequence of Heat
    thickness_mm : float
        Section when the heats were done, mm.
    core_pct : float
        Carbon of the steel before, % by weight.
    diffusivity_name : str
        A key of `DIFFUSIVITIES`.
    nodes : int
        Cells across the thickness.
    factor : float
        On the diffusivity, from a calibration.

    Returns
    -------
    depth_mm, carbon_pct : ndarray, shape (nodes,)
        Depth from the first face and carbon.

    Raises
    ------
    UnusableInput
        If the thickness is not positive or the diffusivity unknown.
    """
    grid = plate_grid(thickness_mm, nodes)
    zero = np.zeros(1)
    law = diffusivity(diffusivity_name)
    carbon = run_schedule(law, heats, grid, zero + core_pct, zero, zero, zero + factor, 60)
    return grid.centres_mm, carbon[0]


def depth_to_carbon(depth_mm, carbon_pct, target_pct, reach_mm):
    """Deepest place from the first face that still holds the target carbon.

    Parameters
    ----------
    depth_mm : ndarray, shape (nodes,)
    carbon_pct : ndarray, shape (samples, nodes)
    target_pct : float
    reach_mm : float
        How far the case of this face may count: half the plate, or all of it when the
        other face was sealed.

    Returns
    -------
    ndarray, shape (samples,)
        mm; 0 where nothing reaches the target, `reach_mm` where all of it does.
    """
    inside = depth_mm <= reach_mm
    x, c = depth_mm[inside], carbon_pct[:, inside]
    enough = c >= target_pct
    last = x.size - 1 - enough[:, ::-1].argmax(axis=1)
    following = np.minimum(last + 1, x.size - 1)
    rows = np.arange(c.shape[0])
    drop = c[rows, last] - c[rows, following]
    share = np.where(drop > 0, (c[rows, last] - target_pct) / np.where(drop > 0, drop, 1.0), 0.0)
    depth = x[last] + share * (x[following] - x[last])
    depth = np.where(last == x.size - 1, reach_mm, depth)
    return np.where(enough.any(axis=1), depth, 0.0)
