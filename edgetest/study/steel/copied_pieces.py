"""Is a piece of one study the very piece of another, its folder a copy that went its own way?"""

from collections.abc import Mapping
from typing import Any, NamedTuple

DEEDS = ("heats", "trials")
FREE = ("note",)  # words that are added to and mended at any time
BLANK: tuple[object, ...] = (None, "", [])


class TypedPiece(NamedTuple):
    """A piece as typed, what was done to it first, and how many rows tell of it."""

    row: Mapping[str, Any]
    first: tuple[str, Mapping[str, Any]] | None  # "heats" or "trials", and its row
    rows: int = 0


def typed_piece(evidence: Any, name: str) -> TypedPiece:
    """A piece of a study as it stands in the file.

    Parameters
    ----------
    evidence
        `[evidence]` as read; anything else tells of no piece.
    name : str
        Its id.
    """
    told = evidence if isinstance(evidence, Mapping) else {}
    rows = [row for row in told.get("pieces", ()) if row.get("id") == name]
    done = [(kind, row) for kind in DEEDS for row in told.get(kind, ()) if row.get("piece") == name]
    return TypedPiece(rows[0] if rows else {}, done[0] if done else None, len(done))


def same_piece(one: TypedPiece, other: TypedPiece) -> bool:
    """Whether two pieces are one: no word typed of both differs, of it and of its first deed.

    Of a piece that has no row of its own, or to which nothing was done yet, nobody can tell.
    """
    if one.first is None or other.first is None or not (one.row and other.row):
        return False
    return (
        one.row["id"] == other.row["id"]
        and one.first[0] == other.first[0]
        and _agree(one.row, other.row)
        and _agree(one.first[1], other.first[1])
    )


def same_in(one: Any, other: Any, name: str) -> bool:
    """Whether a piece of one study's evidence is that of another's, known by others too.

    Where another piece shows that one folder is a copy of the other, a piece to which nothing was
    done yet in one of them is known by its row alone.

    Parameters
    ----------
    one, other
        `[evidence]` of two studies.
    name : str
        Id of the piece in either.
    """
    here, there = typed_piece(one, name), typed_piece(other, name)
    if same_piece(here, there):
        return True
    worked = here.first is not None and there.first is not None
    if worked or not (here.row and there.row and _agree(here.row, there.row)):
        return False
    ids = [row.get("id") for row in one.get("pieces", ())]
    return any(same_piece(typed_piece(one, each), typed_piece(other, each)) for each in ids)


def _agree(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether no key that both say is said otherwise; notes are free."""
    both = [key for key in one if key in other and key not in FREE]
    told = (key for key in both if one[key] not in BLANK and other[key] not in BLANK)
    return all(one[key] == other[key] for key in told)
