"""Which sparks are ranked beside a known steel that nobody named, and what did one steel show?"""

from collections.abc import Iterator
from dataclasses import replace

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import BESIDE_ONE, SPARKS, PieceSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import IN_EVIDENCE, SteelRows
from edgetest.study.words import listed

# What is ranked by a known steel of much carbon, by one of little, and what one of them shows.
OF_HIGH, OF_LOW = (*SPARKS[2:], "fewer_than_high"), (*SPARKS[:3], "more_than_low")
BETWEEN = SPARKS[2]  # no one steel shows it


def known_beside_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about sparks that a known steel beside them would rank, or would rank closer."""
    both = bool(rows.known_low and rows.known_high)
    for k, piece in enumerate(rows.pieces, 1):
        where = f"{IN_EVIDENCE}, pieces {k} ({piece.id}), sparks"
        said = f'"{spaced(piece.sparks or "")}"'
        if _unnamed(piece.sparks, rows):
            side, open_word = _missing(rows)
            what = f"{said} needs a known {side}-carbon steel beside it"
            mend = f"name it with known_{side} = … in [evidence]; if there was none, "
            mend += f'write sparks = "{open_word}"'
            yield UnusableInput(what, where, mend)
        elif both and piece.sparks in BESIDE_ONE:
            closer = ", ".join(spaced(word) for word in BESIDE_ONE[piece.sparks])
            what = f"{said} leaves open how many beside the other known steel"
            yield UnusableInput(what, where, f"write one of {closer}, if you held it beside both")


def known_beside_doubts(rows: SteelRows) -> Iterator[Doubt]:
    """A doubt for each word of sparks that are ranked beside a known steel that is not named."""
    told: dict[str, list[str]] = {}
    for piece in rows.pieces:
        if piece.sparks is not None and _unnamed(piece.sparks, rows):
            told.setdefault(piece.sparks, []).append(piece.id)
    for word, names in told.items():
        side, open_word = _missing(rows)
        counts = "as beside a known one"
        if word == BETWEEN:
            counts = f'as "{open_word}", which is all that one known steel shows'
        yield doubt(
            "spark_steel_unnamed", where=Where(STUDY_FILE, value=listed(names)),
            pieces=listed(names), word=spaced(word), side=side, counts=counts, open=open_word,
        )  # fmt: skip


def as_shown_beside(pieces: tuple[PieceSeen, ...], rows: SteelRows) -> tuple[PieceSeen, ...]:
    """The pieces, with no more told of their sparks than the known steels that are named show."""
    return tuple(
        replace(piece, sparks=_missing(rows)[1].replace(" ", "_"))
        if piece.sparks == BETWEEN and _unnamed(piece.sparks, rows)
        else piece
        for piece in pieces
    )


def _unnamed(sparks, rows) -> bool:
    """Whether one known steel is named, and the sparks are ranked by the other one."""
    if bool(rows.known_low) == bool(rows.known_high):
        return False
    return sparks in (OF_HIGH if rows.known_low else OF_LOW)


def _missing(rows) -> tuple[str, str]:
    """Which known steel is not named, and what the other one can show of more or fewer sparks."""
    return ("high", "more than low") if rows.known_low else ("low", "fewer than high")
