"""How well a pack is known: published diffusivities, or its own coupon as calibration."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.steel.heat_schedule import (
    MOST_CARBON_PCT,
    PUBLISHED,
    Draws,
    carbon_profile,
    depth_to_carbon,
)
from edgetest.steel.pack_potential import STATED_U_PCT

FARTHEST_FACTOR = 100.0  # between a coupon's diffusivity and the published


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
        u_mm = self.relative_u * self.measured_depth_mm / 2
        return (
            f"The pack's own coupon counts: its case of {self.measured_depth_mm:g} ± {u_mm:.2g} mm,"
            f" to {self.carbon_pct:.2f} % carbon, asks {low:.2f} to {high:.2f} times the published "
            "diffusivities."
        )


def calibrate(
    heats, thickness_mm, measured_depth_mm, depth_u_mm, *, core_pct, carbon_pct=0.40, nodes=200
):
    """Fit the diffusivities to the case depth of one's own coupon, by Brent's root finding.

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

        low, high = -np.log(FARTHEST_FACTOR), np.log(FARTHEST_FACTOR)
        if misfit(low) * misfit(high) > 0:
            what = f"no diffusivity gives {measured_depth_mm:g} mm at {carbon_pct:g} % carbon"
            raise UnusableInput(what, "coupon", "check the times, surface carbon and boundary")
        factors[name] = float(np.exp(brentq(misfit, low, high, xtol=1e-4)))
    return Calibration(factors, 2 * depth_u_mm / measured_depth_mm, measured_depth_mm, carbon_pct)


@dataclass(frozen=True)
class PackKnowledge:
    """How well a pack is known: published sets, own coupon, standard uncertainties."""

    diffusivities: tuple[str, ...] = PUBLISHED
    calibration: Calibration | None = None
    temperature_sd_c: float = 10.0
    surface_sd_pct: float = STATED_U_PCT  # of the carbon that the pack holds

    @property
    def spread(self):
        """How many published sets the answer is left between."""
        return 1 if self.calibration else len(self.diffusivities)

    def draw(self, samples, rng, core_pct, core_sd_pct=None):
        """Samples of a Monte Carlo, each published set equally likely.

        Returns
        -------
        draws : Draws
        which : ndarray of int, shape (samples,)
            Which of `diffusivities` each sample is run with.
        """
        which = rng.permutation(np.arange(samples) % len(self.diffusivities))
        shift_c = self.temperature_sd_c * rng.standard_normal(samples)
        shift_pct = self.surface_sd_pct * rng.standard_normal(samples)
        core = np.full(samples, float(core_pct))
        if core_sd_pct is not None:
            core = np.clip(core + core_sd_pct * rng.standard_normal(samples), 0, MOST_CARBON_PCT)
        relative_u = self.calibration.relative_u if self.calibration else 0.0
        factor = np.exp(relative_u * rng.standard_normal(samples))
        if self.calibration:
            own = [self.calibration.factors[name] for name in self.diffusivities]
            factor = np.array(own)[which] * factor
        # Partly ferrite: from no movement at all to as in austenite, nobody knows how far.
        return Draws(core, shift_c, shift_pct, factor, rng.uniform(0, 1, samples)), which

    def medians(self, sample, which):
        """Median of a sample under each published set."""
        return {
            name: float(np.median(sample[which == i])) for i, name in enumerate(self.diffusivities)
        }


AS_PUBLISHED = PackKnowledge()


def of_samples(sample, unit, level, *, method="linear"):
    """Median and central interval of a Monte Carlo sample."""
    shares = [0.5 - level / 2, 0.5, 0.5 + level / 2]
    low, middle, high = np.quantile(sample, shares, method=method).tolist()
    return Estimate(middle, low, high, unit, level, f"Monte Carlo, {sample.size} samples")
