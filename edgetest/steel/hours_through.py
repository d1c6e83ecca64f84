"""How long a section asks for in the pack until its middle holds the carbon wanted."""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.steel.diffusion import (
    Diffusivity,
    Hot,
    diffusivity,
    march_core,
    plate_centre_share,
    plate_grid,
)
from edgetest.steel.heat_schedule import wholly_austenite
from edgetest.steel.pack import AS_PUBLISHED, of_samples
from edgetest.steel.phase_limits import most_austenite_pct
from edgetest.units import as_typed


@dataclass(frozen=True)
class PackHours:
    """Hours at heat until the middle of a section holds the carbon wanted."""

    thickness_mm: float
    temperature_c: float
    target_pct: float
    hours: Estimate
    by_diffusivity: dict[str, float]
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "thickness_mm": self.thickness_mm,
            "temperature_c": self.temperature_c,
            "target_pct": self.target_pct,
            "hours": self.hours.to_dict(),
            "by_diffusivity": {name: plain(h) for name, h in self.by_diffusivity.items()},
            **told(self.doubts),
        }

    def summary(self):
        """The hours as a maker reads them out."""
        return (
            f"{as_typed(self.thickness_mm, 'mm')} packed on both faces at "
            f"{as_typed(self.temperature_c, 'c')} reaches "
            f"{self.target_pct:.2f} % carbon in its middle after {self.hours.summary()}."
        )


def hours_through(
    plate,
    temperature_c,
    *,
    target_pct,
    surface_pct,
    known=AS_PUBLISHED,
    samples=1000,
    level=0.95,
    rng,
):
    """Hours of packing on both faces until the middle of a section holds `target_pct`.

    Where the diffusivity does not depend on carbon the closed form of the plate is
    inverted; otherwise the finite volumes are marched and the crossing read off.

    Parameters
    ----------
    plate : Plate
        Its thickness and carbon; taken as ground on no face.
    temperature_c : float
        Pack temperature, °C.
    target_pct, surface_pct : float
        Carbon wanted in the middle, and held by the pack, %.
    known : PackKnowledge
    samples : int
        Size of the Monte Carlo.
    level : float
        Coverage of the interval.
    rng : numpy.random.Generator

    Returns
    -------
    PackHours
        An upper end of None in JSON (infinite) says that some samples of the surface
        carbon never reach the target.

    Raises
    ------
    UnusableInput
        If the target does not lie between core and surface, or there is no austenite.
    """
    if not plate.core_pct < target_pct < surface_pct:
        what = f"{target_pct:g} % does not lie between core and surface"
        raise UnusableInput(what, "target_pct", f"give {plate.core_pct:g} to {surface_pct:g} %")
    wholly_austenite(temperature_c, plate.core_pct, "temperature_c")
    draws, which = known.draw(samples, rng, plate.core_pct, plate.core_sd_pct)
    hours = np.empty(samples)
    for i, name in enumerate(known.diffusivities):
        own = draws.of(which == i)
        hot = Hot(diffusivity(name), temperature_c + own.shift_c, own.factor)
        held = np.minimum(surface_pct + own.shift_pct, most_austenite_pct(hot.temperature_c))
        hours[which == i] = _hours(hot, plate.thickness_mm, own.core_pct, target_pct, held)
    return PackHours(
        plate.thickness_mm,
        temperature_c,
        float(target_pct),
        of_samples(hours, "hours", level, method="inverted_cdf"),
        known.medians(hours, which),
        (doubt("diffusivity_spread"),) if known.spread > 1 else (),
    )


_FO = np.geomspace(1e-3, 12, 400)


def _hours(hot, thickness_mm, core_pct, target_pct, surface_pct):
    """Hours for every sample under one law; infinite where the surface stays below target."""
    half_mm = thickness_mm / 2
    share = np.where(
        surface_pct > target_pct,
        (target_pct - core_pct) / np.maximum(surface_pct - core_pct, 1e-9),
        np.inf,
    )
    if isinstance(hot.law, Diffusivity):
        fo = np.interp(share, plate_centre_share(_FO), _FO, right=np.inf)
        return fo * half_mm**2 / hot.mm2_h()
    times = np.geomspace(1e-3, 6, 120) * half_mm**2 / hot.mm2_h(core_pct).min()
    grid = plate_grid(thickness_mm, 100)
    core = march_core(times, core_pct, surface_pct, grid, hot, until_pct=target_pct)
    times = times[: len(core)]
    crossed = np.array([np.interp(target_pct, row, times, right=np.inf) for row in core.T])
    return np.where(np.isfinite(share), crossed, np.inf)
