"""What counts for a piece whose wood or water is blank: what is noted of its board."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from edgetest.chop.species import said_as
from edgetest.doubts import Doubt, doubt
from edgetest.store.chop_log import SEVERED, ChopLog, ChopRow
from edgetest.study.words import listed

_COLUMNS = {"species": "wood", "moisture_pct": "moisture"}


def with_board_words(log: ChopLog) -> ChopLog:
    """The log with blanks of wood and water filled from the other pieces of their board.

    A board is of one wood at one water for every tool, and its bench sheet has one box for each.
    Where its rows do not say one thing alike, a blank stays blank.

    Parameters
    ----------
    log : ChopLog

    Returns
    -------
    ChopLog
        `from_board` of a row names the columns that were filled.
    """
    return replace(log, rows=of_boards(log.rows))


def of_boards(rows: Sequence[ChopRow]) -> tuple[ChopRow, ...]:
    """The rows of a log, filled as `with_board_words` says."""
    said = _said_of_boards(rows)
    return tuple(_filled(row, said.get(row.board, {})) for row in rows)


def board_word_doubts(rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """One doubt with all rows that stand with a word of their board in the place of a blank.

    A piece that was never chopped counts nowhere, so its blanks are not told.

    Parameters
    ----------
    rows : sequence of ChopRow
        As `with_board_words` filled them.

    Yields
    ------
    Doubt
    """
    alike: dict[tuple[str, str], list[int]] = defaultdict(list)
    for row in rows:
        if row.from_board and not row.waiting:
            words = listed(_COLUMNS[column] for column in row.from_board)
            alike[words, ", ".join(_shown(row, column) for column in row.from_board)].append(
                row.line
            )
    told = [
        f"{words} of row{'s' * (len(lines) > 1)} {listed(map(str, lines))} ({said})"
        for (words, said), lines in alike.items()
    ]
    if told:
        yield doubt("taken_from_board", what="; ".join(told))


def pieces_on_boards(rows: Iterable[ChopRow]) -> Iterator[ChopRow]:
    """Pieces to sever of a board that is named, chopped or waiting."""
    return (row for row in rows if row.kind in SEVERED and row.board and not row.exclude)


def _said_of_boards(rows):
    """What the rows of each board say alike, by board and column; a board of two woods is none."""
    noted: dict[str, dict[str, dict[str, str | float]]] = {}
    for row in pieces_on_boards(rows):
        of_board = noted.setdefault(row.board, {column: {} for column in _COLUMNS})
        for column in _COLUMNS:
            if (typed := getattr(row, column)) not in (None, ""):
                of_board[column].setdefault(noted_key(column, typed), typed)
    return {
        board: {column: next(iter(typed.values())) for column, typed in of_board.items()
                if len(typed) == 1}
        for board, of_board in noted.items() if len(of_board["species"]) < 2
    }  # fmt: skip


def noted_key(column: str, typed: str | float) -> str:
    """What tells one noted wood or water of a board from another."""
    said = said_as(typed) if column == "species" else str(typed)
    return " ".join(said.casefold().split())


def _filled(row, said):
    """The row with its blanks taken from its board."""
    found = {
        column: typed for column, typed in said.items() if getattr(row, column) in (None, "")
    } if next(pieces_on_boards([row]), None) else {}  # fmt: skip
    return replace(row, **found, from_board=tuple(found)) if found else row


def _shown(row, column):
    """A filled value in words."""
    typed = getattr(row, column)
    return typed if isinstance(typed, str) else f"{typed:g} %"
