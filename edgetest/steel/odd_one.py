"""Which one piece of a lot came out apart from several sisters that were treated alike?"""

from collections.abc import Sequence
from itertools import combinations

from edgetest.steel.alike_heats import apart_though_alike, as_hard_since, told_alike
from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen
from edgetest.steel.surely import is_hard, true_readings


def odd_by_sparks(lot: Sequence[PieceSeen]) -> str | None:
    """The one piece of a lot that sparks unlike all others, which spark alike; None for none."""
    words = [one.sparks for one in lot]
    odd = [one.id for one in lot if one.sparks and words.count(one.sparks) == 1]
    few = None in words or len(words) < 3
    return None if few or len(odd) != 1 or len(set(words)) != 2 else odd[0]


def odd_of_several(seen: SteelSeen, piece: str) -> str | None:
    """The one that is in every pair of a piece's lot that came out apart; None of one pair alone.

    A pair that was made good since counts for none, and nobody is odd whose sister sparks so.

    Parameters
    ----------
    seen : SteelSeen
    piece : str
        One of the lot.
    """
    lot = of_its_lot(seen, piece)
    pairs = _pairs_apart(seen, {one.id for one in lot})
    odd = frozenset.intersection(*pairs) if len(pairs) > 1 else frozenset()
    by_sparks = odd_by_sparks(lot)
    clear = len(odd) == 1 and (by_sparks is None or by_sparks in odd)
    return next(iter(odd)) if clear else None


def of_its_lot(seen: SteelSeen, piece: str) -> list[PieceSeen]:
    """The pieces of a piece's lot, itself too; none where it is of no lot."""
    lot = next((one.lot for one in seen.pieces if one.id == piece), None)
    return [one for one in seen.pieces if lot and one.lot == lot]


def _pairs_apart(seen, ids):
    """Pairs of these pieces that came out apart though alike, and were not made good since."""
    heats = [heat for heat in seen.heats if heat.piece in ids]
    apart = (
        pair for one, other in combinations(heats, 2) if one.piece != other.piece
        for pair in apart_though_alike(one, other)
    )  # fmt: skip
    return {frozenset((hard.piece, soft.piece)) for hard, soft in apart
            if not as_hard_since(soft, hard, seen.heats)}  # fmt: skip


def odd_is_harder(seen: SteelSeen, piece: str, about: Sequence[HeatSeen]) -> bool:
    """Whether the harder of two heats is of the odd one, and the softer, told first, hardened too.

    One that did not harden is made once more itself: its heat may have been missed.

    Parameters
    ----------
    seen : SteelSeen
    piece : str
        The softer one.
    about : sequence of HeatSeen
    """
    hardened = bool(about) and any(map(is_hard, true_readings(about[0].hardness)))
    return hardened and odd_of_several(seen, piece) == about[-1].piece != piece


def odd_made_again(seen: SteelSeen, piece: str, about: Sequence[HeatSeen]) -> bool:
    """Whether the odd one has a further heat told alike, and read; so too where it is no harder."""
    hard = about[-1]
    again = (one for one in seen.heats if one.piece == hard.piece and one != hard)
    made = any(one.hardness and told_alike(one, hard) for one in again)
    return made or not odd_is_harder(seen, piece, about)
