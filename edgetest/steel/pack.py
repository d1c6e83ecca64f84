"""The pack itself: its own coupon as calibration, and the hours a section asks for."""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.steel.diffusion import (
    Diffusivity,
    diffusivity,
    march_core,
    plate_centre_share,
    plate_grid,
)
from edgetest.steel.heat_schedule import (
    DEFAULT_SURFACE_PCT,
    LOWEST_AUSTENITE_C,
    PUBLISHED,
    carbon_profile,
    depth_to_carbon,
)


@dataclass(frozen=True)
class Calibration:
    """Factors on the published diffusivities that make one's own coupon come out as measured."""

    factors: dict[str, float]
    relative_u: float
    measured_depth_mm: float
    carbon_pct: float

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "factors": dict(self.factors),
            "relative_u": self.relative_u,
            "measured_depth_mm": self.measured_depth_mm,
            "carbon_pct": self.carbon_pct,
        }

    def summary(self):
        """The calibration as a maker reads it out."""
        low, high = min(self.factors.values()), max(self.factors.values())
        return (
            f"The coupon's {self.measured_depth_mm:g} mm case asks for {low:.2f} to {high:.2f} "
            "times the published diffusivities."
        )


def calibrate(
    heats, thickness_mm, measured_depth_mm, depth_u_mm, *, core_pct, carbon_pct=0.40, nodes=200
):
    """Fit the diffusivities to the case depth of one's own coupon.

    Parameters
    ----------
    heats : sequence of Heat
        What the coupon went through.
    thickness_mm : float
        Thickness of the coupon, mm.
    measured_depth_mm, depth_u_mm : float
        Depth at which the coupon shows `carbon_pct` (by file steps, a break, or etching)
        and its standard uncertainty, mm.
    core_pct : float
        Carbon of the coupon before the pack, %.
    carbon_pct : float
        Carbon at the measured boundary, %: 0.40 is where the quench gives about 56 HRC.
    nodes : int
        Cells across the coupon.

    Returns
    -------
    Calibration
        One factor for every published diffusivity, to be handed to `case_result`; the
        relative uncertainty of diffusivity is twice that of depth.

    Raises
    ------
    UnusableInput
        If the depth cannot come from these heats at any diffusivity within 100 times of
        the published.
    """
    from scipy.optimize import brentq

    if not 0 < measured_depth_mm < thickness_mm / 2:
        what = f"{measured_depth_mm:g} mm is not inside half the coupon"
        raise UnusableInput(what, "coupon", "use a coupon thicker than twice the case")
    if not depth_u_mm > 0:
        raise UnusableInput(f"{depth_u_mm:g} mm", "depth_u_mm", "give how well the depth is known")
    factors = {}
    for name in PUBLISHED:

        def misfit(log_factor, name=name):
            x, c = carbon_profile(
                heats, thickness_mm, core_pct=core_pct, diffusivity_name=name, nodes=nodes,
                factor=np.exp(log_factor),
            )  # fmt: skip
            depth = depth_to_carbon(x, c[None], carbon_pct, thickness_mm / 2)[0]
            return float(depth - measured_depth_mm)

        low, high = -np.log(100), np.log(100)
        if misfit(low) * misfit(high) > 0:
            what = f"no diffusivity gives {measured_depth_mm:g} mm at {carbon_pct:g} % carbon"
            raise UnusableInput(what, "coupon", "check the times, surface carbon and boundary")
        factors[name] = float(np.exp(brentq(misfit, low, high, xtol=1e-4)))
    return Calibration(factors, 2 * depth_u_mm / measured_depth_mm, measured_depth_mm, carbon_pct)


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
            f"{self.thickness_mm:g} mm packed on both faces at {self.temperature_c:g} °C reaches "
            f"{self.target_pct:.2f} % carbon in its middle after {self.hours.summary()}."
        )


def hours_through(
    thickness_mm,
    temperature_c,
    *,
    core_pct,
    target_pct,
    surface_pct=DEFAULT_SURFACE_PCT["carburising"],
    diffusivities=PUBLISHED,
    calibration=None,
    temperature_sd_c=10.0,
    surface_sd_pct=0.1,
    samples=1000,
    level=0.95,
    rng,
):
    """Hours of packing on both faces until the middle of a section holds `target_pct`.

    Where the diffusivity does not depend on carbon the closed form of the plate is
    inverted; otherwise the finite volumes are marched and the crossing read off.

    Parameters
    ----------
    thickness_mm, temperature_c : float
        Section (mm) and pack temperature (°C).
    core_pct, target_pct, surface_pct : float
        Carbon before, wanted in the middle, and held by the pack, %.
    diffusivities, calibration, temperature_sd_c, surface_sd_pct, samples, level, rng
        As for `case_result`.

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
    if not core_pct < target_pct < surface_pct:
        what = f"{target_pct:g} % does not lie between core and surface"
        raise UnusableInput(what, "target_pct", f"give {core_pct:g} to {surface_pct:g} %")
    if temperature_c < LOWEST_AUSTENITE_C:
        mend = f"pack above {LOWEST_AUSTENITE_C:g} °C"
        raise UnusableInput("carbon needs austenite", "temperature_c", mend)
    which = rng.permutation(np.arange(samples) % len(diffusivities))
    kelvin_c = temperature_c + temperature_sd_c * rng.standard_normal(samples)
    surface = surface_pct + surface_sd_pct * rng.standard_normal(samples)
    relative_u = calibration.relative_u if calibration else 0.0
    factor = np.exp(relative_u * rng.standard_normal(samples))
    hours = np.empty(samples)
    for i, name in enumerate(diffusivities):
        own = which == i
        known = calibration.factors[name] if calibration else 1.0
        hours[own] = _hours(
            diffusivity(name), thickness_mm, kelvin_c[own], core_pct, target_pct, surface[own],
            known * factor[own],
        )  # fmt: skip
    low, middle, high = np.quantile(
        hours, [0.5 - level / 2, 0.5, 0.5 + level / 2], method="inverted_cdf"
    ).tolist()
    return PackHours(
        float(thickness_mm),
        float(temperature_c),
        float(target_pct),
        Estimate(middle, low, high, "hours", level, f"Monte Carlo, {samples} samples"),
        {name: float(np.median(hours[which == i])) for i, name in enumerate(diffusivities)},
        () if calibration or len(diffusivities) == 1 else (doubt("diffusivity_spread"),),
    )


_FO = np.geomspace(1e-3, 12, 400)


def _hours(law, thickness_mm, temperature_c, core_pct, target_pct, surface_pct, factor):
    """Hours for every sample under one law; infinite where the surface stays below target."""
    share = np.where(
        surface_pct > target_pct,
        (target_pct - core_pct) / np.maximum(surface_pct - core_pct, 1e-9),
        np.inf,
    )
    half_mm = thickness_mm / 2
    if isinstance(law, Diffusivity):
        fo = np.interp(share, plate_centre_share(_FO), _FO, right=np.inf)
        return fo * half_mm**2 / (factor * law.mm2_h(temperature_c))
    slowest = (factor * law.mm2_h(temperature_c, core_pct)).min()
    times = np.geomspace(1e-3, 6, 120) * half_mm**2 / slowest
    core = march_core(
        times, core_pct, surface_pct, plate_grid(thickness_mm, 100), law, temperature_c,
        factor=factor,
    )  # fmt: skip
    crossed = np.array([np.interp(target_pct, row, times, right=np.inf) for row in core.T])
    return np.where(np.isfinite(share), crossed, np.inf)
