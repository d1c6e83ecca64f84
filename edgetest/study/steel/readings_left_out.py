"""Which readings of hardness does the maker leave out of the count, and why?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.steel_rows import ONLY_COUPON, FoundPiece, SteelRows
from edgetest.study.steel.typed_cells import HARDNESSES
from edgetest.study.words import listed

PLACES = {
    "hardness_skin": " on the skin", "hardness_below": " below the skin", "hardness": "",
}  # fmt: skip


def readings_left_out(rows: SteelRows) -> Iterator[Doubt]:
    """A doubt for each piece, heat and temper whose readings stand there and are not weighed.

    Parameters
    ----------
    rows : SteelRows
    """
    for row in (*rows.pieces, *rows.heats, *rows.tempers):
        if row.exclude.strip():
            piece, who = _whose(row, rows)
            at = Where(STUDY_FILE, value=piece)
            yield doubt("reading_left_out", who=who, read=_read(row), why=row.exclude, where=at)


def _read(row) -> str:
    """What was read, as typed, with its place; that nothing was."""
    told = [f"{_text(each)}{PLACES[key]}" for key in HARDNESSES for each in getattr(row, key)]
    return listed(told) if told else "no reading"


def _text(cell) -> str:
    return f"{cell:g}" if isinstance(cell, int | float) else str(cell)


def _whose(row, rows: SteelRows) -> tuple[str, str]:
    """The piece of a row, and what the row is of in words."""
    if isinstance(row, FoundPiece):
        return row.id, f"{row.id}, as found"
    piece = row.piece or rows.piece_names[0]
    who = f"blade {row.blade}" if row.blade else f"coupon {row.coupon or ONLY_COUPON} of {piece}"
    who += f", heat {row.heat}" if row.heat else ""
    at_c = getattr(row, "temperature_c", None)
    return piece, who if at_c is None else f"{who}, after {at_c:.0f} °C"
