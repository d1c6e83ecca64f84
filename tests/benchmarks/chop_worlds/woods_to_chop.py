"""Which woods lie in the shop, and how do they resist? Hardness from memory, round figures.

Resistance to the edge goes as side hardness to a power of its own in each shop (cutting work goes
about with density, hardness about with its square), times the lot's own deviation.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Wood:
    """Name as a maker writes it, side hardness (N, seasoned) and density (kg/m³), from memory."""

    name: str
    hardness_n: float
    density_kg_m3: float


FIR = Wood("coast Douglas-fir", 3200, 510)
WOODS = (
    FIR,
    Wood("American beech", 5800, 720),
    Wood("white ash", 5900, 670),
    Wood("northern red oak", 5700, 700),
    Wood("sugar maple", 6400, 705),
    Wood("eastern white pine", 1700, 390),
    Wood("yellow-poplar", 2400, 460),
    Wood("black walnut", 4500, 610),
)


def resistance(wood, exponent, moisture_pct):
    """Resistance against Douglas-fir at 12 %; wet wood gives way, down to 0.7 when green."""
    wet = 1 - 0.3 * min(max(moisture_pct - 12, 0) / 18, 1)
    return (wood.hardness_n / FIR.hardness_n) ** exponent * wet
