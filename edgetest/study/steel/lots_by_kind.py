"""Which pieces of a lot are of one kind of part? Those of several kinds are hardly one steel."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.steel_seen import PieceSeen
from edgetest.store.records import STUDY_FILE

UNTOLD = "unknown"  # the kind of a piece of which nobody said what it was


def lots_by_kind(pieces: Sequence[PieceSeen]) -> tuple[PieceSeen, ...]:
    """The pieces with a lot of their own for each kind of part, where one lot holds several.

    So a disc that lies among tines tells nothing of their steel. A piece of no told kind stays
    with the only kind there is, and with none of several.
    """
    kinds = _kinds(pieces)
    return tuple(
        replace(one, lot=f"{one.lot} ({_kind(one)})")
        if len(kinds.get(one.lot, ())) > 1 and one.origin != UNTOLD
        else one
        for one in pieces
    )


def lots_of_several_kinds(pieces: Sequence[PieceSeen]) -> Iterator[Doubt]:
    """A doubt for each lot of which the pieces are of several kinds of part."""
    for lot, kinds in _kinds(pieces).items():
        if len(kinds) > 1:
            at = Where(STUDY_FILE, value=lot)
            yield doubt("lot_of_several_kinds", where=at, lot=lot, kinds=" and ".join(kinds))


def _kinds(pieces) -> dict[str | None, list[str]]:
    """The kinds of part in each lot, in the order of their pieces."""
    found: dict[str | None, dict[str, None]] = {}
    for one in pieces:
        if one.lot and one.origin != UNTOLD:
            found.setdefault(one.lot, {})[_kind(one)] = None
    return {lot: list(kinds) for lot, kinds in found.items()}


def _kind(piece) -> str:
    return piece.origin.replace("_", " ")
