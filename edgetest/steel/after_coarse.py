"""From which heat is a steel hardened again whose break was coarse?"""

from edgetest.steel.alike_heats import ALIKE_C
from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.surely import is_hard, true_readings

TOO_HOT = "A coarse break comes from too hot a heat, not from the steel: normalise and cycle it"
JUST_PAST = (
    "no hotter than just past where a magnet lets go, which is hot enough for most steels (common "
    "practice, no source)"
)


def heat_that_was_fine(coarse: HeatSeen, seen: SteelSeen) -> HeatSeen | None:
    """The last plainly cooler heat of piece or lot that came hard and fine, quenched as fast.

    None where there is none.
    """
    lots = {one.id: one.lot for one in seen.pieces}
    lot = lots.get(coarse.piece)
    of = {coarse.piece, *(name for name, other in lots.items() if lot and other == lot)}
    own = [one for one in seen.heats if one.piece in of and one.medium == coarse.medium]
    found = [one for one in own if _came_fine(one) and _cooler(one, coarse)]
    return found[-1] if found else None


def _came_fine(heat: HeatSeen) -> bool:
    """Whether a heat came hard and whole, with a fine break."""
    whole = heat.grain == "fine" and not heat.cracked and not heat.carburised
    return whole and any(map(is_hard, true_readings(heat.hardness)))


def _cooler(heat: HeatSeen, coarse: HeatSeen) -> bool:
    """Whether a heat's degrees are known, and below those of the coarse one where it has any."""
    return heat.heat_c is not None and (coarse.heat_c is None or heat.heat_c < coarse.heat_c)


def after_coarse(coarse: HeatSeen, seen: SteelSeen) -> str:
    """Why a coarse coupon is normalised, and how hot it is hardened then."""
    fine = heat_that_was_fine(coarse, seen)
    if fine is not None:
        which = f"coupon {fine.coupon} of {fine.piece} came hard and fine so"
        return f"{TOO_HOT}, then harden from {degrees_told(fine.heat_c)}: {which}."
    step = f"about {ALIKE_C:g} °C cooler, " if coarse.heat_c is not None else ""
    return f"{TOO_HOT}, then harden {step}{JUST_PAST}."
