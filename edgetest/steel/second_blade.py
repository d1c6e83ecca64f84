"""How many blades of a piece must stand before the rest of it is made, and why?"""

from edgetest.estimate import chance as said_chance
from edgetest.steel.blades_left import blades_to_come
from edgetest.steel.situation import Situation
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_words import SPARED_BY_NONE

OWN_BLADE = (
    "A sister is used once a blade of its own stood, or two where its chance is below {settles}: "
    "once a temper of its own fits, that is one of those you want, and costs half an hour of "
    "cutting besides; till then its tests come first. "
    f"{SPARED_BY_NONE} They tell how hard it is, not how long an edge lives."
)
SECOND = (
    "One blade stood, and two must: the chance is below {settles}, from which one blade settles a "
    "piece by the hours that a blade and known steel cost. {more}."
)


def settles_from(losses: SteelLosses) -> float:
    """Chance from which one blade that stood settles a piece.

    From it on, making the rest costs fewer hours than known steel for it: a blade is lost by the
    chance that it fails, and known steel is saved by the chance that it serves.
    """
    return losses.blade_hours / (losses.known_steel_hours + losses.blade_hours)


def own_blade_words(losses: SteelLosses) -> str:
    """How many blades of its own settle a sister, and that no coupon does."""
    return OWN_BLADE.format(settles=said_chance(settles_from(losses)))


def second_blade_words(at: Situation, losses: SteelLosses) -> str:
    """Why a second blade of a piece is asked for where one stood, beside those it gives after."""
    to_come = blades_to_come(at.seen, at.piece)
    more = "Make one more before the rest"
    if to_come is not None and to_come <= 1:
        more = "Make the one that is left of this piece, and try it too"
    elif to_come is not None:
        rest = f"{to_come - 1:g} that {'is' if to_come == 2 else 'are'}"
        more = f"Make one more before the {rest} left after it"
    return SECOND.format(settles=said_chance(settles_from(losses)), more=more)
