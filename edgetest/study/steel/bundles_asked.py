"""Does one row of the evidence stand for several pieces that were bought together?"""

import re
from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.study.steel.steel_rows import IN_EVIDENCE, FoundPiece, SteelRows

# "T6 to T20", "T6-T20", "T6 and T7", "tines 6 to 20", "6-20": two numbers with such between.
_SEVERAL = re.compile(
    r"(?P<stem>[^\W\d]*)\s*(?P<first>\d+)\s*(?P<sign>to|and|-|–|…|\.{2,}|&|\+)\s*"
    r"(?P<again>[^\W\d]*)\s*(?P<second>\d+)",
    re.IGNORECASE,
)
ONE_MAKES = 4  # blades at the most of one small part; more are asked about; our choice
SMALL_PARTS = ("harrow_tine", "file_or_rasp", "ball_bearing", "hand_tool")
MEND = (
    "write a row each, with the same lot: each is then used on a blade of its own, where one row "
    "is settled by one blade for all; if it is one piece, leave it so"
)


def bundles_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about rows whose id, or whose number of blades, looks like that of several pieces.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for k, piece in enumerate(rows.pieces, 1):
        where = f"{IN_EVIDENCE}, pieces {k} ({piece.id})"
        if _names_several(piece.id):
            yield UnusableInput(f'"{piece.id}" looks like several pieces in one row', where, MEND)
        elif _makes_too_many(piece, rows):
            many = f"{piece.makes_blades:g} blades of one {piece.origin.replace('_', ' ')}"
            what = f"{many}, beside other rows of lot {piece.lot}: are several pieces meant"
            yield UnusableInput(what, f"{where}, makes_blades", MEND)


def _names_several(name: str) -> bool:
    """Whether an id holds two numbers of one kind, the second the greater: a day is none."""
    for met in _SEVERAL.finditer(name):
        alike = met["again"].casefold() in ("", met["stem"].casefold())
        if alike and int(met["second"]) > int(met["first"]):
            return True
    return False


def _makes_too_many(piece: FoundPiece, rows: SteelRows) -> bool:
    """Whether a small part makes more blades than one does, and others of its lot have rows."""
    if piece.lot is None or piece.origin not in SMALL_PARTS or piece.makes_blades is None:
        return False
    others = (one for one in rows.pieces if one.id != piece.id and one.lot == piece.lot)
    return piece.makes_blades > ONE_MAKES and any(one.origin == piece.origin for one in others)
