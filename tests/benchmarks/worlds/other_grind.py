"""How the read width of a worn edge grows, by ways of wearing that are not a flat.

A second world for the rule that takes the grind out of a comparison. None of
its ways removes an area from a wedge in proportion to a power of the load. Each
is written from mechanics alone, and every setting is drawn once for a study;
all settings are invented, for no published figure covers the work of a small
shop. A steel's resistance divides the wear a cut does: a blade of twice the
resistance makes twice the cuts to the same width at the same grind, whichever
way it wears. That ratio of cuts is the truth a study is judged by.

Angles are per side, in degrees. ``wear`` is cuts over resistance, as a share of
the cuts of the whole test.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

REFERENCE_ANGLE_DEG = 20.0
REFERENCE_THICKNESS_MM = 0.4


@dataclass(frozen=True)
class Grind:
    """What the grinder sets: the angle per side and the thickness behind the edge."""

    angle_deg: float = REFERENCE_ANGLE_DEG
    thickness_mm: float = REFERENCE_THICKNESS_MM

    @property
    def tangent(self) -> float:
        """Half the width the wedge gains for each unit of height lost."""
        return math.tan(math.radians(self.angle_deg))


REFERENCE = Grind()


@dataclass(frozen=True)
class OtherWear:
    """One study's way of wearing and its drawn settings.

    ``end_um`` is the width the reference steel reads at the reference grind
    after the whole test, ``start_um`` what a fresh edge reads.
    """

    way: str
    end_um: float
    start_um: float
    growth_power: float
    slender_power: float
    load_power: float
    rolled_share: float
    rolled_over: float

    def width_um(self, wear: float, grind: Grind) -> float:
        """The width read at this much wear, of a blade of this grind."""
        shape = _WAYS[self.way]
        scale = (self.end_um - self.start_um) / shape(self, 1.0, REFERENCE)
        grown = scale * shape(self, wear, grind)
        if self.way == "grit floor":
            return max(self.start_um, grown)
        return self.start_um + grown


def _rounding_above(world: OtherWear, wear: float, grind: Grind) -> float:
    """The radius grows; seen from the edge, a round touches its bevels 2 r cos(a) apart."""
    return wear**world.growth_power * math.cos(math.radians(grind.angle_deg))


def _rounding_along(world: OtherWear, wear: float, grind: Grind) -> float:
    """The radius grows; the lost bevel is read, r / tan(a) on each side of the apex."""
    return wear**world.growth_power / grind.tangent


def _chipping(world: OtherWear, wear: float, grind: Grind) -> float:
    """Chips as deep as 1 / tan(a) to a power; the mouth is 2 tan(a) times the depth."""
    slender = (REFERENCE.tangent / grind.tangent) ** world.slender_power
    return wear**world.growth_power * slender * grind.tangent


def _rolling(world: OtherWear, wear: float, grind: Grind) -> float:
    """The apex rolls as far up as it yields and is lost; then height goes at a steady rate.

    A side load on the apex of a wedge bends it: the stress at height L is
    1.5 F / (L tan(a)^2), so all below a height as 1 / tan(a)^2 yields.
    """
    yields = (REFERENCE.tangent / grind.tangent) ** 2
    rolled = yields * (1 - math.exp(-wear / world.rolled_over))
    lost = world.rolled_share * rolled + (1 - world.rolled_share) * wear
    return lost * grind.tangent


def _grit_floor(world: OtherWear, wear: float, grind: Grind) -> float:
    """Height goes at a steady rate, unseen until it is wider than the grit leaves it."""
    return wear * grind.tangent


def _thick_height(world: OtherWear, wear: float, grind: Grind) -> float:
    """The blade behind the edge wedges the cut: load multiplies the height lost a cut."""
    return wear * _wedging(world, grind) * grind.tangent


def _thick_rounding(world: OtherWear, wear: float, grind: Grind) -> float:
    """The blade behind the edge wedges the cut: load multiplies the growth of a radius."""
    grown = (wear * _wedging(world, grind)) ** world.growth_power
    return grown * math.cos(math.radians(grind.angle_deg))


def _wedging(world: OtherWear, grind: Grind) -> float:
    return (grind.thickness_mm / REFERENCE_THICKNESS_MM) ** world.load_power


_WAYS: dict[str, Callable[[OtherWear, float, Grind], float]] = {
    "rounding, read from the edge": _rounding_above,
    "rounding, read along the bevel": _rounding_along,
    "chipping": _chipping,
    "rolling, then loss": _rolling,
    "grit floor": _grit_floor,
    "thickness, height lost": _thick_height,
    "thickness, rounding": _thick_rounding,
}
WAYS = tuple(_WAYS)


def drawn_wear(way: str, rng: np.random.Generator) -> OtherWear:
    """The settings of one study that wears this way (all ranges invented)."""
    world = OtherWear(
        way=way,
        end_um=float(rng.uniform(25, 80)),
        start_um=float(rng.uniform(1, 4)),
        growth_power=float(rng.uniform(0.4, 1.0)),
        slender_power=float(rng.uniform(0.5, 2.5)),
        load_power=float(rng.uniform(0.0, 1.5)),
        rolled_share=float(rng.uniform(0.2, 0.7)),
        rolled_over=float(rng.uniform(0.05, 0.4)),
    )
    if way == "grit floor":
        return replace(world, start_um=float(rng.uniform(3, 12)))
    return world


def wanted_ratio(world: OtherWear, one: Grind, other: Grind, width_um: float) -> float:
    """How many times the cuts ``one`` makes to this width, over ``other``'s, steel apart."""
    return wear_at(world, one, width_um) / wear_at(world, other, width_um)


def wear_at(world: OtherWear, grind: Grind, width_um: float) -> float:
    """The wear after which a blade of this grind reads this width."""
    low, high = 1e-6, 1e4
    for _ in range(80):
        middle = math.sqrt(low * high)
        if world.width_um(middle, grind) < width_um:
            low = middle
        else:
            high = middle
    return math.sqrt(low * high)
