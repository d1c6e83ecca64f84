"""May the chance be told beside the headline, or does what was seen speak against it?"""

from edgetest.steel.gave_out import last_blade
from edgetest.steel.situation import Situation

LIKELY = 0.5  # a chance above it speaks for the steel; our choice
MIXED_LIKELY = 0.5  # beyond, pieces are likelier several steels than one; our choice
UNMENDED = (
    "What was seen does not fit together: until that is mended, rely on no chance for this steel."
)
NOT_ALIKE = (
    "No chance is told: the coupons of this piece are likely not one steel, and one of them says "
    "little of the next."
)
LOT_NOT_ALIKE = (
    "No chance is told: the pieces of this lot are likely not one steel, and one of them says "
    "little of the next."
)
SHORT = (
    "No chance is told: the blade lived shorter than the known one, and nothing noted yet tells "
    "whether its edge, its heat or the steel is to blame."
)
OUTRANKED = (
    "No chance is told: the readings alone would speak for the steel, and what was done with it "
    "and seen of it outranks them."
)
OPEN = (
    "No chance is told: the readings alone would leave it open, and what was done with it and seen "
    "of it outranks them."
)
UNLIKELY = 0.2  # up to here a chance fits a step that gives the steel up; our choice
AGAINST = ("leave", "light_use")


def unmended(at: Situation) -> bool:
    """Whether what was seen of a piece does not fit together, but for mere remarks."""
    return any(not one.remark for one in at.contradictions)


def withheld(at: Situation, action: str) -> str:
    """Why no chance is told beside a step; "" where it may be told.

    Parameters
    ----------
    at : Situation
    action : str
        Of the step.

    Returns
    -------
    str
    """
    chance = at.belief.chance_fit
    if chance is None or action == "first_step":
        return ""
    if action != "reuse" and unmended(at):
        return UNMENDED
    if not at.sisters_quenched and at.chance("mixed_lot") > MIXED_LIKELY:
        return _not_alike(at)
    last = last_blade(at)
    if chance > LIKELY and last is not None and last.short and action != "reuse":
        return SHORT
    if action not in AGAINST or chance <= UNLIKELY:
        return ""
    return OUTRANKED if chance > LIKELY else OPEN


def _not_alike(at):
    """Which are likely not one steel: coupons of the piece; without two, pieces of its lot."""
    several = len({heat.coupon for heat in at.heats}) > 1
    return LOT_NOT_ALIKE if at.sisters and not several else NOT_ALIKE
