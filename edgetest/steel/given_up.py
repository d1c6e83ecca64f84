"""Did the maker give a piece up, as it makes no blade?"""

from edgetest.steel.blades_left import blades_stood
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.situation import Situation

GIVEN_UP = "You wrote that it makes no blade (makes_blades = 0): it is set aside."

USED_UP = "None of the blades that you wrote under makes_blades is left:"


def given_up(at: Situation, losses) -> TradeStep | None:
    """Nothing is asked any more of a piece that makes no blade, none of which stood."""
    if at.piece.makes_blades != 0 or blades_stood(at.seen, at.piece.id):
        return None
    return TradeStep("leave", None, GIVEN_UP)


def still_broken(at: Situation, step: TradeStep):
    """The contradictions of a piece; none of one that is set aside, for nothing mends it."""
    return () if step.reason == GIVEN_UP else at.contradictions


def told_no_chance(step: TradeStep):
    """Whether no chance belongs to a step: nothing seen yet, the piece set aside, or used up."""
    aside = step.reason == GIVEN_UP or step.reason.startswith(USED_UP)
    return step.action == "first_step" or aside
