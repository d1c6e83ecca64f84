"""What each tool took on each board, a line a board: sizes or waters unlike meet the eye there."""

from collections import defaultdict
from collections.abc import Sequence

from edgetest.chop.species import said_as
from edgetest.store.chop_log import ChopRow, struck_pieces
from edgetest.study.chop.board_words import of_boards
from edgetest.units import as_typed

MOST_BOARDS = 40  # told; a longer log is read in its file


def boards_told(rows: Sequence[ChopRow]) -> tuple[str, ...]:
    """The pieces of each board that is named, tool beside tool.

    Parameters
    ----------
    rows : sequence of ChopRow

    Returns
    -------
    tuple of str
        "ash pole 1, European ash, seasoned: B1 45.4 mm 11; OLD 45.4 mm 13"; none of a tool alone.
    """
    boards: dict[str, list[ChopRow]] = defaultdict(list)
    for row in struck_pieces(of_boards(rows)):
        if row.board:
            boards[row.board].append(row)
    tools = list(dict.fromkeys(row.blade for own in boards.values() for row in own))
    told = [_line(board, own, tools) for board, own in boards.items()] if len(tools) > 1 else []
    return tuple(told[:MOST_BOARDS])


def _line(board, own, tools):
    """One board: what is noted of its wood, then the size and the strokes of each tool's pieces."""
    woods = dict.fromkeys(said_as(row.species) for row in own)
    waters = dict.fromkeys(_water(row.moisture_pct) for row in own)
    names = [board, " or ".join(filter(None, woods)), " or ".join(filter(None, waters))]
    pieces: dict[str, list[str]] = defaultdict(list)
    for row in own:
        pieces[row.blade].append(f"{_size(row)} {_strokes(row)}")
    took = "; ".join(f"{blade} {', '.join(pieces[blade])}" for blade in tools if pieces[blade])
    return f"{', '.join(filter(None, names))}: {took}"


def _water(typed):
    if isinstance(typed, float | int):
        return f"{typed:g} % water"
    return typed or ""


def _size(row):
    sides = (row.diameter_mm, row.width_mm, row.thickness_mm)
    told = " × ".join(as_typed(side, "mm") for side in sides if side is not None)
    return told or row.nominal or "size not noted:"


def _strokes(row):
    """Strokes as typed: 12; over 40."""
    count = row.chops
    if count.kind == "above":
        return f"over {count.lower:g}"
    if count.kind == "between":
        return f"{count.lower:g} to {count.upper:g}"
    return f"{count.value if count.value is not None else count.upper:g}"
