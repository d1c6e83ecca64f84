"""How much carbon does a charcoal pack hold at the surface of the steel, at a heat?"""

from typing import NamedTuple

from edgetest.steel.phase_limits import graphite_pct

# Charcoal alone: "the so-called saturation point of mild steel is reached when the case contains
# 0.90 per cent of carbon, but this amount is frequently exceeded" (F. H. Colvin and K. A. Juthe,
# The Working of Steel, 1921, on bone and wood charcoal). The spread is our choice, no source.
PLAIN_PCT = 0.90
# With a carbonate as energiser the gas comes close to balance with the charcoal, that is to the
# line of graphite; how close is common practice, no source.
ENERGISED_SHARE = 0.95
U_PCT = 0.15  # standard uncertainty of either, and of a pack that nobody described; no source
STATED_U_PCT = 0.10  # where you state the carbon; no source
SHORT_H = 1.0  # before, the surface may not have come up to what the pack holds; no source


class PackPotential(NamedTuple):
    """Carbon that a pack holds at the surface, % by weight, its standard uncertainty, and why."""

    surface_pct: float
    u_pct: float
    why: str


def pack_potential(temperature_c, energised=None) -> PackPotential:
    """Carbon held by a charcoal pack whose supply is ample.

    Parameters
    ----------
    temperature_c : float
        Heat of the pack, °C.
    energised : bool or None
        Whether a carbonate (of sodium, potassium, calcium or barium) is mixed in; None where
        nobody said: then half way between.

    Returns
    -------
    PackPotential
    """
    most = float(graphite_pct(temperature_c))
    plain, rich = min(PLAIN_PCT, most), ENERGISED_SHARE * most
    if energised is None:
        return PackPotential((plain + rich) / 2, U_PCT, "between charcoal alone and energised")
    if energised:
        return PackPotential(rich, U_PCT, "charcoal with an energiser")
    return PackPotential(plain, U_PCT, "charcoal alone")
