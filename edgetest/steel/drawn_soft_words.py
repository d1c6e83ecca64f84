"""What was done with a coupon that was hard as quenched and came too soft out of its tempers?"""

from edgetest.steel.bare_heats import degrees_told
from edgetest.steel.gave_out import COOLEST_TEMPER_C
from edgetest.steel.steel_seen import HeatSeen

LESSER_USE = "good for lesser use, not for this"
NO_COOLER = (
    f"A temper cooler than about {COOLEST_TEMPER_C:g} °C is not worth trying: it leaves the edge "
    "nearly as brittle as quenched (common practice, no source)."
)


def drawn_soft_words(heat: HeatSeen, *, cooler_tried: bool) -> str:
    """Why a piece is good for lesser use alone, by the tempers that were made and read.

    Parameters
    ----------
    heat : HeatSeen
        Hard as quenched.
    cooler_tried : bool
        Whether a cooler temper was made after a first one.
    """
    told = [one.temperature_c for one in heat.tempers if one.hardness]
    coolest = min((at_c for at_c in told if at_c is not None), default=None)
    which = "each temper" if len(told) > 1 else "its one temper"
    if coolest is not None:
        which += f"{', the coolest' if len(told) > 1 else ''} at {degrees_told(coolest)}"
    if cooler_tried:
        which = "each temper, and a cooler one was no cure"
    said = f"Hard as quenched, yet too soft after {which}: {LESSER_USE}."
    last = coolest is not None and coolest <= COOLEST_TEMPER_C
    return f"{said} {NO_COOLER}" if last and not cooler_tried else said
