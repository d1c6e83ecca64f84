"""What does a heat make of the steel before the quench? Austenite, its carbon, carbides, grain."""

import math
from dataclasses import dataclass

EUTECTOID_C = 0.77  # % C of pearlite, iron-carbon diagram
ACM_C_PER_C = 1 / 319  # % C a °C: from 0.77 at 727 to 2.02 at about 1130 °C, iron-carbon diagram
LOW_ALLOY_MOST_CR = 2.5  # above it a grade brings its own figures
CR_HOLDS_CARBON = 0.09  # the eutectoid moves left, % C a % Cr, from memory
CR_SLOWS_SLOPE = 0.6  # bearing steel of 1.5 % Cr holds near 0.65 % C from 845 °C, from memory
FAST_HEATING_C = 10.0  # Ac above the books' in a forge, common practice, no source
DISSOLVING_MIN = 1.5  # time constant at 800 °C in plain steel, common practice, no source
DISSOLVING_HALVES_C = 45.0  # it halves with this many degrees, common practice, no source
CR_SLOWS_DISSOLVING = 0.8  # a % Cr, up to 5 %
EVEN_BEFORE_SOAK_MIN = 1.0  # what a coupon spends near heat before the clock starts
FINEST_UM = 11.0  # grain of a good normalising, about ASTM number 10
GRAIN_GROWS_ABOVE_C = 890.0  # common practice, no source; the description says about 900
GRAIN_PINNED_MORE_C = 90.0  # with 5 % of undissolved carbides or more, or with vanadium
GRAIN_E_FOLD_C = 55.0
MOST_GRAIN_UM = 400.0


@dataclass(frozen=True, slots=True)
class Austenite:
    """State before the quench: share, its carbon, undissolved carbides (% volume), grain (µm)."""

    share: float
    carbon: float
    carbides_pct: float
    grain_um: float


def ac1(steel):
    """Lower critical temperature, °C (Andrews 1965, from memory)."""
    return (
        723 - 10.7 * steel.mn - 16.9 * min(steel.ni, 6) + 29.1 * steel.si
        + 16.9 * min(steel.cr, 5) + 6.38 * min(steel.w, 6) + FAST_HEATING_C
    )  # fmt: skip


def ac3(steel, c):
    """Upper critical temperature of a hypoeutectoid steel, °C (Andrews 1965, from memory)."""
    upper = (
        910 - 203 * math.sqrt(max(c, 0.0)) - 15.2 * min(steel.ni, 6) + 44.7 * steel.si
        + 104 * min(steel.v, 0.3) + 31.5 * min(steel.mo, 1) + 13.1 * min(steel.w, 2)
        - 30 * min(steel.mn, 2) - 11 * min(steel.cr, 5) + FAST_HEATING_C
    )  # fmt: skip
    return max(upper, ac1(steel) + 5)


def held_carbon(steel, t_c):
    """Most carbon that austenite holds beside carbides, %."""
    if steel.carbon_at_800 is not None:
        return max(0.02, steel.carbon_at_800 + steel.carbon_per_c * (t_c - 800))
    eutectoid = EUTECTOID_C - CR_HOLDS_CARBON * min(steel.cr, LOW_ALLOY_MOST_CR)
    slope = ACM_C_PER_C / (1 + CR_SLOWS_SLOPE * min(steel.cr, LOW_ALLOY_MOST_CR))
    return eutectoid + slope * max(0.0, t_c - ac1(steel))


def grain_before(forged, cycles, found_um):
    """Grain before the last heat, µm: forging coarsens, normalising cycles undo it."""
    grain = found_um * (2.6 if forged else 1.0)
    for _ in range(cycles):
        grain = max(FINEST_UM, math.sqrt(grain * FINEST_UM))
    return grain


def grain_after(grain, t_c, soak_min, through, carbides_pct, v):
    """Grain after the heat, µm: it is born anew above the upper critical, then grows."""
    if through:
        grain = grain**0.6 * FINEST_UM**0.4
    start = GRAIN_GROWS_ABOVE_C + GRAIN_PINNED_MORE_C * min(1.0, carbides_pct / 5 + v / 0.2)
    hotter = max(0.0, t_c - start) / GRAIN_E_FOLD_C
    time = 1 + 0.25 * math.log(max(soak_min, 0.5) / 5)
    return min(MOST_GRAIN_UM, grain * math.exp(hotter * max(time, 0.3)))


def austenite(steel, c, t_c, soak_min, grain):
    """What a soak at `t_c` makes of steel with `c` % carbon where it is looked at."""
    lower = ac1(steel)
    if t_c <= lower:
        return Austenite(0.0, 0.0, max(0.0, 15 * c), grain)
    upper = ac3(steel, min(c, EUTECTOID_C))
    tau = DISSOLVING_MIN * 0.5 ** ((t_c - 800) / DISSOLVING_HALVES_C)
    tau *= 1 + CR_SLOWS_DISSOLVING * min(steel.cr, 5.0)
    done = 1 - math.exp(-(soak_min + EVEN_BEFORE_SOAK_MIN) / tau)
    held = held_carbon(steel, t_c)
    # A soft minimum: the last carbides dissolve late even where the carbon would fit in.
    dissolved = (max(c, 0.005) ** -4 + held**-4) ** -0.25 * (0.35 + 0.65 * done)
    share = 1.0
    if t_c < upper and c < EUTECTOID_C:
        first = min(1.0, c / EUTECTOID_C)
        share = first + (1 - first) * (t_c - lower) / (upper - lower)
    share *= 0.4 + 0.6 * done
    carbon = min(dissolved / max(share, 0.05), held + 0.1) if share < 1 else dissolved
    carbides = 15 * max(0.0, c - dissolved)
    grown = grain_after(grain, t_c, soak_min, t_c > upper - 10, carbides, steel.v)
    return Austenite(share, carbon, carbides, grown)
