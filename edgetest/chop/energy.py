"""Energy of a standard swing at the strike point, and depth or wood for each joule.

The swing is assumed, the same for every blade: an arm of fixed inertia turns at the elbow, the
tool straight on from it, and the muscles do a fixed work. A heavier tool is then swung slower.
"""

from dataclasses import asdict, dataclass
from math import exp, log, sqrt

import numpy as np
from scipy.special import ndtri

from edgetest.chop.balance import effective_mass_kg
from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields
from edgetest.stats.propagate import interval


@dataclass(frozen=True)
class Swing:
    """A standard swing.

    Forearm with hand: 1.65 kg of a 75 kg person, inertia 0.07 kg m² about the elbow (from
    memory of biomechanics tables). Elbow to the middle of the grip 0.35 m, work 40 J: common
    practice, no source.
    """

    work_j: float = 40.0
    arm_inertia_kg_m2: float = 0.07
    elbow_to_grip_mm: float = 350.0

    def assumptions(self):
        """What is assumed, in words."""
        return (
            f"an arm of {self.arm_inertia_kg_m2:g} kg m² turning at the elbow,"
            f" {self.elbow_to_grip_mm:g} mm from the grip, with {self.work_j:g} J of work"
        )


@dataclass(frozen=True)
class Blow:
    """One standard blow: speed at the strike point, energy it can give the wood, its share."""

    swing: Swing
    speed_m_s: Estimate
    energy_j: Estimate
    share_delivered: Estimate

    @property
    def doubts(self):
        """That the swing is assumed, whatever the tool."""
        return (doubt("assumed_swing"),)

    def to_dict(self):
        """Plain values for JSON."""
        swing = {**asdict(self.swing), "assumptions": self.swing.assumptions()}
        return {**json_fields(self), "swing": swing}

    def summary(self):
        """The blow in a sentence."""
        return (
            f"a standard blow ({self.swing.assumptions()}) lands at {self.speed_m_s.summary()}"
            f" and can give the wood {self.energy_j.summary()}"
        )


def standard_blow(balance, swing=None):
    """Energy of the standard swing at the tool's strike point.

    Parameters
    ----------
    balance : Balance
        Measured or predicted.
    swing : Swing, optional
        The assumed swing.

    Returns
    -------
    Blow
        Energy that is given up when the wood stops the strike point and the hand gives no
        impulse: half the free effective mass times the speed squared. It is all of the tool's
        energy where the blow falls on the centre of percussion of the swing, less elsewhere.

    Raises
    ------
    UnusableInput
        If the swing has no work or arm.
    """
    swing = swing or Swing()
    if not (swing.work_j > 0 and swing.arm_inertia_kg_m2 >= 0 and swing.elbow_to_grip_mm >= 0):
        raise UnusableInput(
            swing.assumptions(), "swing", "give work above zero, the rest 0 or more"
        )
    best = [
        balance.mass_g.value / 1e3,
        balance.balance_mm.value / 1e3,
        balance.inertia_balance_kg_cm2.value / 1e4,
    ]
    value = _blow(best, balance.grip_mm / 1e3, balance.strike_mm / 1e3, swing)
    draws = _blow(balance.draws[:3], balance.draws[3], balance.draws[4], swing)
    units = ("m/s", "J", "of the tool's energy")
    level = balance.mass_g.level
    speed, energy, delivered = (
        interval(many, one, unit, level=level, method="Monte Carlo, swing assumed exact")
        for one, many, unit in zip(value, draws, units, strict=True)
    )
    return Blow(swing, speed, energy, delivered)


def _blow(body, grip_m, strike_m, swing):
    """Speed, energy given up, and its share of the tool's own energy."""
    mass_kg, balance_m, inertia = (np.asarray(one, dtype=float) for one in body)
    elbow = grip_m - swing.elbow_to_grip_mm / 1e3
    about_elbow = inertia + mass_kg * (balance_m - elbow) ** 2
    turning = np.sqrt(2 * swing.work_j / (swing.arm_inertia_kg_m2 + about_elbow))
    speed = turning * (strike_m - elbow)
    energy = effective_mass_kg(mass_kg, balance_m, inertia, strike_m) * speed**2 / 2
    return speed, energy, energy / (about_elbow * turning**2 / 2)


def quotient(top, bottom, unit, *, method="logs, in quadrature"):
    """One estimate over another, independent of it; GUM propagation of relative uncertainty.

    Raises
    ------
    UnusableInput
        If one of them is not above zero.
    """
    return _combined(top, bottom, -1.0, unit, method)


def product(one, other, unit, *, method="logs, in quadrature"):
    """One estimate times another that is independent of it."""
    return _combined(one, other, 1.0, unit, method)


def _combined(one, other, power, unit, method):
    """One * other**power on the log scale."""
    if not min(one.low, other.low) > 0:
        what = f"{one.summary()} and {other.summary()}"
        raise UnusableInput(what, unit, "both must be above zero")
    level = one.level
    z = float(ndtri(0.5 + level / 2))
    spread = [log(e.high / e.low) / (2 * float(ndtri(0.5 + e.level / 2))) for e in (one, other)]
    half = z * sqrt(spread[0] ** 2 + spread[1] ** 2)
    value = one.value * other.value**power
    return Estimate(value, value * exp(-half), value * exp(half), unit, level, method)


def depth_per_joule(depth_mm, blow):
    """Depth of a chop for each joule of the standard blow, mm/J."""
    return quotient(depth_mm, blow.energy_j, "mm per J")


def joules_per_cm2(chops_per_100_cm2, blow):
    """Energy of standard blows to sever a square centimetre of the reference wood, J/cm²."""
    per_cm2 = Estimate(
        chops_per_100_cm2.value / 100,
        chops_per_100_cm2.low / 100,
        chops_per_100_cm2.high / 100,
        "chops per cm²",
        chops_per_100_cm2.level,
        chops_per_100_cm2.method,
    )
    return product(per_cm2, blow.energy_j, "J per cm²")
