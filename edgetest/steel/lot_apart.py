"""Pieces of a lot that came out apart: what is done once each of them has its coupon?"""

from collections.abc import Collection, Iterable

from edgetest.steel.contradictions import Contradiction, contradictions
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.odd_one import odd_by_sparks
from edgetest.steel.parted_lots import lot_given
from edgetest.steel.rule_cures import made_again_alike
from edgetest.steel.situation import Situation, stopped
from edgetest.steel.steel_seen import SPARKS, HeatSeen, SteelSeen

DIFFER = "Its sisters are another steel: mark each piece, and take a coupon from each."
AS_THE_HARDER = (
    "Treated alike it came out softer than its sister: make that heat once more, so that nothing "
    "differs, before it is called another steel or quenched otherwise."
)


def softer_sister(at: Situation, losses) -> TradeStep | None:
    """The softer of two pieces treated alike: the same heat once more, and then a lot of its own.

    Only while its last heat is one of those: a heat made otherwise since tells more.
    """
    found = at.uncured("alike_differ")
    if found is None or found.piece != at.piece.id or found.heats[0] in at.hard:
        return None
    if made_again_alike(at.seen, found.piece, found.heats):
        return sort_lot(at)
    return TradeStep("heat_treat_again", "repeat", AS_THE_HARDER)


def left_of_the_lot(at: Situation) -> TradeStep | None:
    """What a lot of several steels asks for before a temper: a further coupon, or to be sorted."""
    if at.sisters and at.sisters == at.sisters_quenched:
        return sort_lot(at) if at.came_out_apart else None
    return TradeStep("go_on", "second_piece", DIFFER) if at.sister_at_hand else None


def sort_lot(at: Situation) -> TradeStep:
    """The lot sorted: what is left where every piece has its coupon and they came out apart."""
    odd = odd_by_coupons(at)
    whose = "what came out unlike its sisters" if odd is None else odd
    given = "a lot of its own" if odd is None else lot_given(at.seen, odd)
    reason = (
        "Its lot came out apart, and no coupon more tells why: mend what does not fit together, "
        f"and where they still differ give {whose} {given}. Each lot is judged by itself then."
    )
    return TradeStep("go_on", "sort_lot", reason)


def odd_by_coupons(at: Situation) -> str | None:
    """The one piece that came out apart from each sister it is held against; None for none.

    Of two pieces neither is the odd one.
    """
    odd = in_each_pair(_found(at), {at.piece.id, *at.sisters})
    return next(iter(odd)) if odd is not None and len(odd) == 1 else None


def odd_by_sparks_too(at: Situation) -> str | None:
    """The one that sparks unlike all its sisters, unless their coupons point at another one.

    Where no coupons came out apart a spark one grade off is none: no eye tells it surely.
    """
    lot = [one for one in at.seen.pieces if one.lot == at.piece.lot]
    odd, apart = odd_by_sparks(lot), in_each_pair(_found(at), {at.piece.id, *at.sisters})
    if odd is None or apart is not None:
        return odd if odd in (apart or ()) else None
    own, other = (next(p.sparks for p in lot if (p.id == odd) is its) for its in (True, False))
    return odd if grades_apart(own, other) else None


def grades_apart(one: str | None, other: str | None) -> bool:
    """Whether two sparks lie more than one grade apart."""
    if one not in SPARKS or other not in SPARKS:
        return False
    return abs(SPARKS.index(one) - SPARKS.index(other)) > 1


def in_each_pair(found: Iterable[Contradiction], lot: Collection[str]) -> set[str] | None:
    """Those of a lot that are in each pair of it whose coupons came out apart; None of no pair."""
    pairs = [
        {name for name in (one.piece, one.sister) if name is not None} for one in found
        if one.code == "alike_differ" and not one.remark and one.piece in lot
    ]  # fmt: skip
    return set.intersection(*pairs) if pairs else None


def _found(at):
    return at.tables.once("contradictions", lambda: contradictions(at.seen))


def unread_sister(seen: SteelSeen, piece: str) -> HeatSeen | None:
    """A coupon of another piece of the lot that is quenched already and waits for its file.

    Only of a piece of which no coupon was read, and that nothing stops; None for none.
    """
    lot = next((one.lot for one in seen.pieces if one.id == piece), None)
    read = {heat.piece for heat in seen.heats if heat.hardness}
    free = {
        one.id for one in seen.pieces
        if lot and one.lot == lot and one.id not in read | {piece} and not stopped(one)
    }  # fmt: skip
    return next((heat for heat in reversed(seen.heats) if heat.piece in free), None)
