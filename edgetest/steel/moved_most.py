"""Which one thing that was seen of a piece moved its likeliest explanation most?"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from edgetest.estimate import chance
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.steel_titles import EXPLANATION_TITLES
from edgetest.steel.weigh_steel import anything_seen, weigh_steel

LEAST_MOVED = 0.1  # of a chance: less is not told; our choice
_AS_FOUND = {
    "magnet": "the magnet on the cold piece", "sparks": "its sparks", "stream": "its spark stream",
    "forging": "how it forged", "fracture": "how it broke as found",
    "hardness": "its hardness as found", "carbon_pct": "the laboratory's carbon",
}  # fmt: skip


@dataclass(frozen=True)
class Moved:
    """What moved an explanation most: its chance with all that was seen, and without that."""

    what: str
    explanation: str
    with_it: float
    without_it: float

    def summary(self):
        """The same in a sentence."""
        title = EXPLANATION_TITLES[self.explanation]
        return (
            f"What moved this most is {self.what}: without it the chance of {title} would be "
            f"{chance(self.without_it)}, not {chance(self.with_it)}."
        )


def moved_most(seen: SteelSeen, tables: SteelTables, piece: str | None) -> Moved | None:
    """The one thing without which the likeliest explanation changes most.

    Each thing is left out in turn and all the rest weighed again.

    Parameters
    ----------
    seen : SteelSeen
    tables : SteelTables
    piece : str or None
        The piece asked about; the first where left out.

    Returns
    -------
    Moved or None
        None where nothing was seen, or no one thing moves it by a tenth.
    """
    about = seen.asked(piece)
    if about is None or not anything_seen(seen, about):
        return None
    tables = replace(tables, kept=None, changed=frozenset())
    now = weigh_steel(seen, tables, piece=about.id).explanations
    best = max(now, key=lambda code: now[code])
    each = [
        Moved(what, best, now[best], weigh_steel(left, tables, piece=about.id).explanations[best])
        for what, left in _left_out(seen, about)
    ]
    most = max(each, key=lambda one: abs(one.with_it - one.without_it), default=None)
    if most is None or abs(most.with_it - most.without_it) < LEAST_MOVED:
        return None
    return most


def _left_out(seen, about) -> Iterator[tuple[str, SteelSeen]]:
    """Each thing that was seen, by name, with all the rest."""
    for key, what in _AS_FOUND.items():
        if getattr(about, key):
            bare = getattr(PieceSeen(about.id), key)
            yield what, _with_piece(seen, replace(about, **{key: bare}))
    for one in seen.heats:
        if one.piece == about.id and not one.carburised:
            heats = tuple(h for h in seen.heats if h is not one)
            at = one.coupon, one.heat
            trials = tuple(t for t in seen.trials if (t.piece, t.heat) != (about.id, at))
            what = f"coupon {one.coupon}, heat {one.heat}, with what came after it"
            yield what, replace(seen, heats=heats, trials=trials)
    for one in seen.pieces:
        if about.lot and one.lot == about.lot and one.id != about.id and anything_seen(seen, one):
            what = f"what was seen of {one.id}, of the same lot"
            yield what, _with_piece(seen, replace(one, lot=None))


def _with_piece(seen, piece):
    pieces = tuple(piece if one.id == piece.id else one for one in seen.pieces)
    return replace(seen, pieces=pieces)
