"""May a soak that was too short be why a blade gave out, where the steel is given a lesser use?"""

from dataclasses import dataclass

from edgetest.estimate import chance as said_chance
from edgetest.steel.gave_out import heat_tried, last_blade
from edgetest.steel.situation import Situation

SOAK_TOLD = 0.2  # chance of too short a soak from which the decision's own sentence tells it; ours
UNLESS = ", unless its soak was too short"


@dataclass(frozen=True)
class SoakToBlame:
    """The heat whose soak is in doubt, and that in words with what would tell."""

    of: tuple[str, int] | None  # None where the blade broke and another one is to be made
    words: str


def soak_to_blame(at: Situation, action: str) -> SoakToBlame | None:
    """The soak of the blade tried last, where it may be the reason of a light use; else None.

    Parameters
    ----------
    at : Situation
    action : str
        Of the step.
    """
    last = last_blade(at)
    heat = heat_tried(at, last) if last is not None and action == "light_use" else None
    if last is None or heat is None:
        return None
    chance = at.chance_done(heat, "too_short")
    if chance < SOAK_TOLD:
        return None
    broke = last.gave_out == "broke"
    anew = "harden another one" if broke else "harden it again"
    words = (
        f"The soak of {heat.coupon}, heat {heat.heat}, may be to blame and not the steel: the "
        f"chance that it was too short is {said_chance(chance)}. To know, {anew}, soaked longer, "
        "and try it beside the known blade."
    )
    return SoakToBlame(None if broke else (heat.coupon, heat.heat), words)
