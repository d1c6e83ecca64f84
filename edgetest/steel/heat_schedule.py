"""Carbon across a plate after a schedule of heats: the schedule, the plate, and the run."""

from dataclasses import dataclass, fields

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.diffusion import (
    DIFFUSIVITIES,
    Diffusivity,
    Hot,
    diffusivity,
    first_half,
    march,
    plate_grid,
    relax,
)
from edgetest.steel.pack_potential import pack_potential
from edgetest.steel.phase_limits import A1_C, EUTECTIC_C, EUTECTIC_PCT, a3_c, most_austenite_pct
from edgetest.units import as_typed

PUBLISHED_C = (800.0, 1100.0)
HOTTEST_C = 1400.0
MOST_CARBON_PCT = EUTECTIC_PCT
LEAST_HELD_PCT = 0.05  # a drawn surface never falls below this
SURFACES = ("carburising", "sealed", "decarburising")
DECARBURISED_PCT = 0.0  # air at its worst; our choice, no source
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
    energised: bool | None = None  # the pack: a carbonate mixed in; None where nobody said

    def __post_init__(self):
        heat = self.place
        if self.surface not in SURFACES:
            mend = f"use one of {', '.join(SURFACES)}"
            raise UnusableInput(f"{self.surface!r} is no surface", f"{heat}, surface", mend)
        if not 0 <= self.temperature_c <= HOTTEST_C:
            shown = as_typed(self.temperature_c, "c")
            mend = f"give 0 to {HOTTEST_C:g} °C"
            if shown.endswith("°C") and HOTTEST_C < self.temperature_c <= HOTTEST_C * 1.8 + 32:
                mend += f', or write "{self.temperature_c:g} °F" if °F was meant'
            raise UnusableInput(f"{shown} is no heat for steel", f"{heat}, temperature_c", mend)
        if not self.hours >= 0:
            what = f"{self.hours:g} h is no time"
            raise UnusableInput(what, f"{heat}, hours", "give the time at heat")
        if self.faces not in (1, 2):
            raise UnusableInput(f"{self.faces} faces", f"{heat}, faces", "give 1 or 2")
        if self.surface_pct is not None and not 0 <= self.surface_pct <= MOST_CARBON_PCT:
            what = f"{self.surface_pct:g} % is more carbon than steel dissolves"
            mend = f"give 0 to {MOST_CARBON_PCT:g} %"
            raise UnusableInput(what, f"{heat}, surface_pct", mend)

    @property
    def place(self):
        """The heat as an error names it."""
        return f"heat {self.name or f'at {self.temperature_c:g} °C'}"

    @property
    def held_pct(self):
        """Carbon held at the surface, %, as stated or as such a pack does; None where sealed."""
        if self.surface == "sealed":
            return None
        if self.surface_pct is not None:
            return self.surface_pct
        return DECARBURISED_PCT if self.surface == "decarburising" else self.potential.surface_pct

    @property
    def potential(self):
        """What a charcoal pack holds at this heat, where nothing is stated."""
        return pack_potential(self.temperature_c, self.energised)

    @property
    def moves_carbon(self):
        """Whether there is austenite for carbon to move in, and time."""
        return self.is_austenite and self.hours > 0

    @property
    def is_austenite(self):
        """Whether there is any austenite to quench from."""
        return self.temperature_c >= A1_C


def wholly_austenite(temperature_c, core_pct, where):
    """Refuse a pack that leaves its core partly ferrite, or at which its case would melt.

    Raises
    ------
    UnusableInput
        Naming the heat from which the core is wholly austenite, or up to which no case melts.
    """
    if temperature_c > EUTECTIC_C:
        what = f"at {as_typed(temperature_c, 'c')} a face that charcoal carburises melts"
        raise UnusableInput(what, where, f"pack below {EUTECTIC_C:g} °C, the eutectic")
    least_c = float(a3_c(core_pct))
    if temperature_c < least_c:
        state = "has no austenite" if temperature_c < A1_C else "is still partly ferrite"
        what = (
            f"at {as_typed(temperature_c, 'c')} a core of {core_pct:.2f} % carbon {state}: "
            "what the pack gives it cannot be worked out"
        )
        raise UnusableInput(what, where, f"pack above {least_c:.0f} °C, the line A3 of this core")


@dataclass(frozen=True)
class Plate:
    """A section as it was heated, the carbon of its steel, and what was ground off each face."""

    thickness_mm: float
    core_pct: float
    removed_mm: tuple[float, float] = (0.0, 0.0)
    core_sd_pct: float = 0.02  # standard uncertainty
    skin_mm: float = 0.0  # decarburised before the first heat: from no carbon to the core's

    def __post_init__(self):
        if not 0 <= self.core_pct <= MOST_CARBON_PCT:
            what = f"{self.core_pct:g} % carbon"
            raise UnusableInput(what, "core_pct", f"give 0 to {MOST_CARBON_PCT:g} %")
        if not self.thickness_mm > 0:
            what = f"{self.thickness_mm:g} mm is no thickness"
            raise UnusableInput(what, "thickness_mm", "give the section at heat treatment")
        if not 0 <= self.skin_mm <= self.thickness_mm / 2:
            what = f"a skin of {self.skin_mm:g} mm on {self.thickness_mm:g} mm"
            raise UnusableInput(what, "skin_mm", "give less than half the section, zero or more")
        first, second = self.ground_mm
        if min(self.removed_mm) < 0 or second <= first:
            off = " + ".join(f"{end:g}" for end in self.removed_mm)
            what = f"{off} mm ground off {self.thickness_mm:g} mm"
            raise UnusableInput(what, "removed_mm", "grind less than the thickness, zero or more")

    @property
    def ground_mm(self):
        """Where the ground faces lie, mm from the first face as heated."""
        return self.removed_mm[0], self.thickness_mm - self.removed_mm[1]


@dataclass(frozen=True)
class Draws:
    """What may have been, one entry a sample of the Monte Carlo; arrays of shape (samples,)."""

    core_pct: np.ndarray  # carbon before
    shift_c: np.ndarray  # error of the thermometer, shared by all heats
    shift_pct: np.ndarray  # error of the carbon held by the pack
    factor: np.ndarray  # on the diffusivity, from a calibration
    ferrite_factor: np.ndarray  # on the diffusivity of a heat that leaves the core partly ferrite

    def of(self, own):
        """The samples that a mask picks."""
        return Draws(*(getattr(self, each.name)[own] for each in fields(self)))


def run_schedule(law, heats, grid, draws, steps, skin_mm=0.0):
    """Carbon of all samples under one diffusivity law.

    Parameters
    ----------
    law : Diffusivity, CarbonDependentDiffusivity or TibbettsDiffusivity
        A heat above A1 that leaves the core partly ferrite moves carbon by a share of it.
    heats : sequence of Heat
    grid : Grid
    draws : Draws
    steps : int
        Time steps of a heat with a held surface, where stepping is needed.
    skin_mm : float
        Decarburised skin of both faces before the first heat, mm.

    Returns
    -------
    ndarray, shape (samples, nodes)
    """
    heats = [heat for heat in heats if heat.moves_carbon]
    stepped = not isinstance(law, Diffusivity)
    halved = stepped and grid.centres_mm.size % 2 == 0 and all(h.faces == 2 for h in heats)
    used = first_half(grid) if halved else grid
    x = used.centres_mm
    inward = np.minimum(x, grid.edges_mm[-1] - x)
    carbon = draws.core_pct[:, None] * np.clip(inward / max(skin_mm, 1e-9), 0.0, 1.0)
    for heat in heats:
        held = _held(heat, draws)
        other = held if heat.faces == 2 and not halved else None
        celsius = heat.temperature_c + draws.shift_c
        mixed = celsius < a3_c(draws.core_pct)
        hot = Hot(law, celsius, draws.factor * np.where(mixed, draws.ferrite_factor, 1.0))
        if stepped:
            number = steps if held is not None else max(steps // 3, 4)
            carbon, _ = march(carbon, heat.hours, used, held, other, hot, steps=number)
        else:
            carbon, _ = relax(carbon, hot.mm2_h() * heat.hours, grid, held, other)
    return np.concatenate([carbon, carbon[:, ::-1]], axis=1) if halved else carbon


def _held(heat, draws):
    """Carbon at the surface of every sample, at most what austenite dissolves; None if sealed."""
    if heat.surface == "carburising":
        most = most_austenite_pct(heat.temperature_c + draws.shift_c)
        return np.clip(heat.held_pct + draws.shift_pct, LEAST_HELD_PCT, most)
    return np.full(draws.core_pct.shape, heat.held_pct) if heat.held_pct is not None else None


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
    draws = Draws(zero + core_pct, zero, zero, zero + factor, zero + 1)
    carbon = run_schedule(law, heats, grid, draws, 60)
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
