"""What is next where another blade is asked of a piece that gives none any more?"""

from dataclasses import replace

from edgetest.steel.blades_left import (
    blades_elsewhere,
    blades_left,
    blades_lost,
    blades_stood,
    none_left,
)
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.gave_out import sisters_failed
from edgetest.steel.given_up import USED_UP
from edgetest.steel.situation import Situation

NO_MORE = "as many as you wrote under makes_blades are made, so this piece gives no more"

GIVES_MORE = "Where it gives another, write how many in all as makes_blades."


def gives_no_more(at: Situation, step: TradeStep) -> TradeStep:
    """The step itself; where it makes a blade and those of the piece are all made, what holds then.

    A blade that stood is one of those wanted, and a blade of another piece of the lot tells of the
    rest; one that failed is hardened anew, for there is no steel for a further one. Where all of
    them broke or went to another use none is left to harden.
    """
    if not none_left(at.seen, at.piece):
        return step
    stood = blades_stood(at.seen, at.piece.id)
    if step.way == "trial_blade" and stood:
        return TradeStep("reuse", None, f"The trial blade stood, and {NO_MORE}.{_others(at)}")
    if step.way == "trial_blade" and blades_left(at.seen, at.piece) == 0:
        return TradeStep("leave", None, f"{USED_UP} {_gone(at)}.{_others(at)} {GIVES_MORE}")
    if step.way == "trial_blade":
        return replace(step, reason=f"{step.reason} But {NO_MORE}: harden one of them anew for it.")
    if step.action == "reuse":
        reason = step.reason
        for rest in (f"make the rest{of}" for of in (" of this piece alone", " of this piece", "")):
            reason = reason.replace(f"then {rest}", "this piece gives no more")
            reason = reason.replace(rest, "it gives no more")
        return replace(step, reason=reason)
    return step


def _gone(at: Situation) -> str:
    """What became of each blade of a piece of which none is left."""
    lost, elsewhere = blades_lost(at.seen, at.piece.id), blades_elsewhere(at.seen, at.piece.id)
    told = [f"{name} broke or cracked" for name in lost]
    return "; ".join([*told, *(f"{name} was made for another use" for name in elsewhere)])


def _others(at: Situation) -> str:
    """What blades of its lot did, and which piece's blade would tell; "" where it stands alone."""
    failed = sisters_failed(at)
    said = f" Of the same lot: {'; '.join(failed)}." if failed else ""
    left = [p.id for p in at.seen.pieces if p.id in at.sisters and not none_left(at.seen, p)]
    if not left:
        return said
    names = " and ".join(filter(None, (", ".join(left[:-1]), left[-1])))
    which = "either of them" if len(left) == 2 else "one of them"
    of = names if len(left) == 1 else f"{which} ({names})"
    return f"{said} A blade of {of} tells of the rest of the lot."
