"""What does steel that came soft from each quench tell of its carbon?"""

from collections.abc import Sequence

from edgetest.steel.martensite import (
    HIGHEST_CARBON_PCT,
    LOWEST_CARBON_PCT,
    as_quenched_hrc,
    carbon_for_hardness,
)
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.surely import true_readings

AN_ANALYSIS = "An analysis tells which it is."
WORN = "Worn files read soft too: try yours on steel that you know is hard."


def soft_untold(heats: Sequence[HeatSeen]) -> str:
    """Why a laboratory is asked: two ways to read the same soft coupons, the carbon named.

    Parameters
    ----------
    heats : sequence of HeatSeen
        Those that came out soft below the skin.

    Returns
    -------
    str
        The carbon is that which gives the hardest reading from a full quench (the relation of
        `edgetest.steel.martensite`); none is named where its bracket lies outside the relation.
    """
    carbon = _carbon_words(heats)
    if not carbon:
        return (
            "Soft in each quench, while the kinds that fit best hold more carbon than that: either "
            f"none of these quenches was full, or it is of no such kind. {AN_ANALYSIS}"
        )
    return (
        "Soft in each quench, while the kinds that fit best hold more carbon than that. Steel of "
        f"{carbon} carbon reads so from a full quench, and no other quench makes it harder; else "
        f"none of these quenches was full. {AN_ANALYSIS}"
    )


def too_little(heats: Sequence[HeatSeen]) -> str:
    """Why a steel has too little carbon for an edge; how much it reads like, where that is told.

    Parameters
    ----------
    heats : sequence of HeatSeen
        Those that came out soft below the skin, from a heat hot enough.
    """
    carbon = _carbon_words(heats)
    if not carbon:
        return f"Hot enough, below the skin, and still soft: too little carbon. {WORN}"
    return (
        f"Hot enough, below the skin, and still soft: steel of {carbon} carbon reads so from a "
        f"full quench, and no other quench makes it harder. That is too little carbon. {WORN}"
    )


def _carbon_words(heats):
    """The carbon that the hardest reading stands for; "" where no reading is bounded so."""
    readings = [one for heat in heats for one in true_readings(heat.hardness)]
    bounded = [(one.low_hrc, one.high_hrc) for one in readings
               if one.low_hrc is not None and one.high_hrc is not None]  # fmt: skip
    if not bounded:
        return ""
    low, high = max(bounded)
    least, most = (float(as_quenched_hrc(pct)) for pct in (LOWEST_CARBON_PCT, HIGHEST_CARBON_PCT))
    if not (least <= low <= high <= most):
        return ""
    ends = [f"{carbon_for_hardness(hrc):.2f}" for hrc in (low, high)]
    return f"about {ends[0]} %" if ends[0] == ends[1] else f"about {ends[0]} to {ends[1]} %"
