"""How is it written down what a lot's other pieces are asked for?"""

from collections.abc import Sequence
from shlex import quote

from edgetest.steel.contradictions import contradictions
from edgetest.steel.lot_apart import in_each_pair, unread_sister
from edgetest.steel.odd_one import odd_by_sparks
from edgetest.steel.parted_lots import parted_alike
from edgetest.steel.steel_seen import PieceSeen
from edgetest.study.steel.asked_sister import free_sister
from edgetest.study.steel.fill_in import hardness_to_fill_in, to_fill_in
from edgetest.study.steel.steel_result import SteelResult

A_LOT_APART = "Where they still differ, give it a lot of its own:"
A_LOT_JOINED = "Where they still differ, give it the lot of {alike}, which came out the same way:"


def sister_row(result: SteelResult, quench: str) -> str:
    """Table and cells of the coupon of a further piece: its file alone where it is quenched.

    Parameters
    ----------
    result : SteelResult
    quench : str
        The cells of a fresh coupon behind its name.
    """
    asked = result.asked.piece
    waiting = unread_sister(result.seen, asked or "")
    if waiting is not None:
        here = f"piece={quote(waiting.piece)} coupon={quote(waiting.coupon)} heat={waiting.heat}"
        return f"heats {here} {hardness_to_fill_in(result.seen, 'hardness_below')}"
    free = free_sister(result.seen, asked) or "OTHER"
    return f"heats piece={quote(free)} coupon=1 {quench}"


def sorted_row(result: SteelResult) -> str:
    """Table and cells of a lot that is sorted: sparks not noted yet, else a lot of its own."""
    lot = _lot(result)
    first = None if lot else result.asked.piece
    unsparked = next((one.id for one in lot if one.sparks is None), first)
    if unsparked is not None:
        return f"pieces id={quote(unsparked)} {to_fill_in('sparks', 'stream')}"
    odd = _odd(result, lot)
    alike = parted_alike(result.seen, odd)
    to = odd if alike is None else str(alike.lot)
    return f"pieces id={quote(odd)} --replace lot={quote(to)}"


def lot_words(result: SteelResult) -> str:
    """What comes before the line that parts a piece: a lot of its own, or that of a like one."""
    alike = parted_alike(result.seen, _odd(result, _lot(result)))
    return A_LOT_APART if alike is None else A_LOT_JOINED.format(alike=alike.id)


def _odd(result: SteelResult, lot: Sequence[PieceSeen]) -> str:
    """The piece that its cure names: the odd one by coupons, else by sparks, else the softer."""
    ids = {one.id for one in lot}
    found = contradictions(result.seen)
    told = [one.piece for one in found if one.code == "alike_differ" and one.piece in ids]
    apart, odd = in_each_pair(found, ids), odd_by_sparks(lot)
    if apart is not None and len(apart) == 1:
        return next(iter(apart))
    if odd is not None and (apart is None or odd in apart):
        return odd
    return next(iter(told), result.asked.piece or "")


def _lot(result: SteelResult) -> list[PieceSeen]:
    asked = next((p for p in result.seen.pieces if p.id == result.asked.piece), None)
    return [] if asked is None else [p for p in result.seen.pieces if p.lot == asked.lot]
