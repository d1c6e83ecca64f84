"""Is a piece typed for the wrong tool: of a board one has too many, and another one too few?"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from statistics import median

from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ChopRow, struck_pieces
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import counted, listed


def asked_of_turns(
    name: str, rows: Sequence[ChopRow], line: int | None = None
) -> Iterator[UnusableInput]:
    """Questions about boards of which one tool has a piece too many and another one too few.

    What boards usually give to a tool is the median over boards and tools, each kind of piece by
    itself. Further pieces of a board, such as after a knot, leave no tool with too few.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
        The whole log.
    line : int, optional
        Ask about this row alone.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    kinds: dict[str, list[ChopRow]] = defaultdict(list)
    for row in struck_pieces(rows):
        if row.board_or_block:
            kinds[row.kind].append(row)
    for own in kinds.values():
        for those, what in _too_many(own):
            if line in (None, those[-1].line):
                mend = "mend the blade of the row that is another's; if it was chopped so, leave it"
                yield cell_fault(name, those[-1].line, "blade", what, mend)


def _too_many(pieces: Sequence[ChopRow]) -> Iterator[tuple[list[ChopRow], str]]:
    """The pieces of a tool that has too many of a board which is done with, and what is odd."""
    tools = list(dict.fromkeys(row.blade for row in pieces))
    boards: dict[str, dict[str, list[ChopRow]]] = {}
    for row in pieces:
        here = boards.setdefault(row.board_or_block, {tool: [] for tool in tools})
        here[row.blade].append(row)
    usual = median(len(own) for here in boards.values() for own in here.values()) if pieces else 0
    for board, here in boards.items():
        most, least = (pick(tools, key=lambda tool: len(here[tool])) for pick in (max, min))
        few, done = len(here[least]), board != pieces[-1].board_or_block
        if done and usual >= 1 and few < usual < len(here[most]):
            lines = listed(str(row.line) for row in here[most])
            own = f'{most} has {counted(len(here[most]), "piece")} of "{board}" (rows {lines})'
            beside = f"{least} {few or 'none'}, where a board gives {usual:g} to each"
            yield here[most], f"{own} and {beside}: one may be typed for the wrong tool"
