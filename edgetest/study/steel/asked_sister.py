"""Which sister's coupon does the next step of a piece ask for, and is that sister still tested?"""

from collections.abc import Sequence
from dataclasses import replace

from edgetest.steel.lot_apart import unread_sister
from edgetest.steel.situation import stopped
from edgetest.steel.steel_cautions import cautions_at
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_words import TESTS_BY_CODE

SISTER, COUPON, BOUGHT = "second_piece", "coupon_oil", "buy_known"
WHY = "The next step of {piece} asks for it, to tell which pieces of the lot are one steel."


def free_sister(seen: SteelSeen, piece: str | None) -> str | None:
    """The first piece of a lot, beside the one asked about, of which no coupon was read."""
    read = {heat.piece for heat in seen.heats if heat.hardness}
    lots = {one.id: one.lot for one in seen.pieces}
    lot = [one for one in seen.pieces if piece in lots and one.lot == lots[piece]]
    free = (p.id for p in lot if p.id != piece and p.id not in read and not stopped(p))
    return next(free, None)


def with_asked_sister(verdicts: Sequence, seen: SteelSeen) -> list:
    """Verdicts, the sister whose coupon is asked for tested and not bought.

    By itself known steel may be bought for it, while the step of a piece that it is to be held
    against names it. The verdict on the piece asked about, the first, stays.

    Parameters
    ----------
    verdicts : sequence of PieceVerdict
    seen : SteelSeen
    """
    asking: dict[str | None, str | None] = {}
    for one in verdicts:
        test = one.decision.next_test
        if test is not None and test.code == SISTER and unread_sister(seen, one.piece) is None:
            asking.setdefault(free_sister(seen, one.piece), one.piece)
    pieces = {one.id: one for one in seen.pieces}
    return [
        _tested(one, asking[one.piece], pieces[one.piece])
        if k and one.piece in asking and one.decision.action == BOUGHT
        else one
        for k, one in enumerate(verdicts)
    ]


def _tested(verdict, by, piece):
    """A verdict that asks for the coupon of its piece, as the step of another piece does."""
    test = replace(
        TESTS_BY_CODE[COUPON],
        title=f"its coupon, which the next step of {by} asks for",
        cautions=cautions_at(COUPON, piece),
    )
    decision = replace(
        verdict.decision,
        action="go_on",
        way=COUPON,
        next_test=test,
        reasons=(WHY.format(piece=by),),
        cautions=test.cautions,
    )
    return replace(verdict, decision=decision)
