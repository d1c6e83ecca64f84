"""Did a coupon crack where its sisters came whole and hard out of the same quench?"""

from edgetest.steel.alike_heats import told_alike
from edgetest.steel.heats_once import merged
from edgetest.steel.made_good import whole_since
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.surely import is_hard, true_readings

WHOLE_ENOUGH = 2  # heats of sisters that came whole, before a crack is a coupon's own; our choice
WHOLE_BEFORE = (
    "A heat before it, quenched slower, hardened and did not crack: stay with that quench."
)
WHOLE_AGAIN = "It is past: a fresh one, quenched the same, hardened and did not crack."


def crack_told(cracked: HeatSeen, seen: SteelSeen) -> tuple[str, dict]:
    """The code of the doubt that a crack raises, and the words of its sentence.

    The steel bears a quench out of which other pieces of its lot came whole and hard: then a
    sharp corner, a scratch or an old crack is to blame. Not where a second heat of the piece
    cracked so. Common practice, no source.

    Parameters
    ----------
    cracked : HeatSeen
    seen : SteelSeen
    """
    words: dict = {"cracked": cracked.cracked, "count": max(cracked.count, cracked.cracked or 0)}
    whole = _whole_sisters(cracked, seen)
    own = [one for one in seen.heats if one.piece == cracked.piece and one.cracked]
    if len(whole) < WHOLE_ENOUGH or len(own) > 1 or (cracked.cracked or 0) > 1:
        return "cracked", words
    *first, last = dict.fromkeys(one.piece for one in whole)
    return "cracked_alone", {**words, "whole": " and ".join(filter(None, (", ".join(first), last)))}


def crack_past(cracked: HeatSeen, seen: SteelSeen) -> str:
    """That another heat came whole and hard, slower or where the crack was a lone one; else "".

    A slower one before the crack answers it as well, unless a blade that cracked was tried.
    """
    if said := whole_since(cracked, seen.heats):
        return said
    tried = any(one.heat == (cracked.coupon, cracked.heat) for one in seen.trials)
    if not tried and whole_since(cracked, (cracked, *seen.heats)):
        return WHOLE_BEFORE
    own = [one for one in seen.heats if one.piece == cracked.piece]
    later = own[own.index(cracked) + 1 :] if cracked in own else []
    again = any(_whole(one) and told_alike(one, cracked) for one in later)
    return WHOLE_AGAIN if again and crack_told(cracked, seen)[0] == "cracked_alone" else ""


def _whole_sisters(cracked, seen):
    """Heats of other pieces of its lot, made alike, that came whole and hard."""
    lot = next((one.lot for one in seen.pieces if one.id == cracked.piece), None)
    sisters = {one.id for one in seen.pieces if lot and one.lot == lot} - {cracked.piece}
    heats = (one for one in merged(seen.heats) if one.piece in sisters and _whole(one))
    return [one for one in heats if told_alike(one, cracked)]


def _whole(heat):
    return not heat.cracked and any(map(is_hard, true_readings(heat.hardness)))
