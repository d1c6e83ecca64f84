"""What was changed in a study's files, when, and what was changed outside the program?"""

from collections import Counter, defaultdict, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from difflib import SequenceMatcher
from itertools import zip_longest
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_lines, locked, read_json_lines, write_atomic
from edgetest.store.log_sheet import Sheet, sheet_of

HISTORY_FILE = "history.jsonl"
IN_THE_FILE = "in the file"  # a change that somebody made outside the program
TABLES = ("log", "chops")
MOST_PAIRS = 1_000_000  # pairs of equal rows: half a second


_NOW_AND_THEN = ("columns", "from_row")
# Number of a row, its cells as they were and as they are, and where it stood if it was moved.
_Difference = tuple[int, dict[str, Any] | None, dict[str, Any] | None, int | None]


@dataclass(frozen=True)
class Change:
    """One change of a log, as the history keeps it; `row` is its number in the file.

    `columns` are those that the heading did not have before; `from_row` is where a row stood that
    was moved with the change.
    """

    what: str
    table: str
    row: int
    before: dict[str, Any] | None
    after: dict[str, Any] | None
    when: str
    columns: list[str] = field(default_factory=list)
    from_row: int | None = None

    def to_dict(self) -> dict[str, Any]:
        """The line of the history; columns and a former row only where there are some."""
        return {
            name: value for name, value in vars(self).items() if name not in _NOW_AND_THEN or value
        }


def read_history(folder: str | Path) -> list[Change]:
    """All changes kept of a study, oldest first; a line cut short by a crash is skipped."""
    keys = Change.__dataclass_fields__.keys()
    entries = (entry for _, entry in read_json_lines(Path(folder) / HISTORY_FILE))
    whole = (
        entry for entry in entries if entry.keys() | {*_NOW_AND_THEN} == keys and _whole(entry)
    )
    return [Change(**entry) for entry in whole]


def _whole(entry: dict[str, Any]) -> bool:
    """Whether an entry holds what a change holds; one that was damaged is skipped."""
    return (
        all(isinstance(entry[name], str) for name in ("what", "table", "when"))
        and isinstance(entry["row"], int)
        and isinstance(entry.get("columns", []), list)
        and isinstance(entry.get("from_row"), int | None)
        and all(isinstance(entry[name], dict | None) for name in ("before", "after"))
    )


def last_standing(changes: Sequence[Change], table: str) -> Change | None:
    """The last change of a table that was made in the program and not taken back."""
    standing: list[Change] = []
    for change in changes:
        if change.table != table or change.what == IN_THE_FILE:
            continue
        if change.what != "undo":
            standing.append(change)
        elif standing:
            standing.pop()
    return standing[-1] if standing else None


def keep_as_known(folder: Path, table: str, data: bytes) -> None:
    """Keep a copy of a log as the program left it; what differs from it later was done outside."""
    write_atomic(_known(folder, table), data)


def notice_edits(folder: str | Path, *, when: datetime | None = None) -> list[Change]:
    """Put what was changed in a log outside the program into the history, row by row.

    A log that the program has never written is taken as it stands, and so is a folder that
    cannot be written to, or whose disk is full: a study can be read there too.

    Parameters
    ----------
    folder : str or Path
        The study.
    when : datetime, optional
        Time kept in the history; now, if not given.

    Returns
    -------
    list of Change
        What was noticed now; `row` is the number in the file as it is, of a row that is gone
        that in the file as it was.
    """
    folder = Path(folder)
    changed = [table for table in TABLES if _differs(folder, table)]
    if not changed:
        return []
    found: list[Change] = []
    try:
        with locked(folder):
            for table in changed:
                if _differs(folder, table):  # not so any more where the program was just writing
                    found += notice_under_lock(folder, table, when)
    except OSError:
        return []
    return found


def notice_under_lock(folder: Path, table: str, when: datetime | None = None) -> list[Change]:
    """As `notice_edits`, of one log, by a caller who holds the folder's lock."""
    if not _differs(folder, table):
        return []
    known, path = _known(folder, table), folder / f"{table}.csv"
    data = path.read_bytes()
    moment = (when or datetime.now(UTC)).isoformat(timespec="seconds")
    try:
        old, new = sheet_of(known.read_bytes(), path), sheet_of(data, path)
    except UnusableInput:
        return []  # no table yet: told when it is read, noticed when it is mended
    found = [
        Change(IN_THE_FILE, table, number, was, now, moment, from_row=from_row)
        for number, was, now, from_row in _differences(old, new)
    ]
    append_json_lines(folder / HISTORY_FILE, (each.to_dict() for each in found))
    keep_as_known(folder, table, data)
    return found


def _differs(folder: Path, table: str) -> bool:
    """Whether a log is another than the program left it."""
    known, path = _known(folder, table), folder / f"{table}.csv"
    return known.is_file() and path.is_file() and known.read_bytes() != path.read_bytes()


def _known(folder: Path, table: str) -> Path:
    return folder / f".known_{table}.csv"


def _differences(old: Sheet, new: Sheet) -> list[_Difference]:
    """Number, old cells, new cells and former number of every row that differs, or was moved."""
    before, after = list(old.rows()), list(new.rows())
    ends = _changed_blocks(*([_key(cells) for _, cells in rows] for rows in (before, after)))
    blocks = [(before[i:i_end], after[j:j_end]) for i, i_end, j, j_end in ends]
    gone, come = ([row for block in blocks for row in block[side]] for side in (0, 1))
    moved = _moved(gone, come)
    left = set(moved.values())
    return [each for was, now in blocks for each in _in_block(was, now, moved, left)]


def _in_block(
    was: Sequence[Any], now: Sequence[Any], moved: dict[int, int], left: set[int]
) -> list[_Difference]:
    """The differences of one block of rows: those moved into it, then the others place by place."""
    here: list[_Difference] = [
        (number, cells, cells, moved[number])
        for number, cells in now
        if moved.get(number, number) != number
    ]
    pairs = zip_longest(
        [row for row in was if row[0] not in left], [row for row in now if row[0] not in moved]
    )
    others = ((old or (0, None), new or (0, None)) for old, new in pairs)
    return here + [(new[0] or old[0], old[1], new[1], None) for old, new in others]


def _moved(gone: Sequence[Any], come: Sequence[Any]) -> dict[int, int]:
    """Of rows (number, cells) that came, those that stood elsewhere: by their number, where."""
    places: dict[Any, deque[int]] = defaultdict(deque)
    for number, cells in gone:
        places[_key(cells)].append(number)
    return {number: places[key].popleft() for number, cells in come if places[key := _key(cells)]}


def _key(cells: dict[str, Any]) -> tuple[tuple[str, Any], ...]:
    """A row's cells as one thing to compare."""
    return tuple(sorted(cells.items()))


def _changed_blocks(
    before: Sequence[Any], after: Sequence[Any]
) -> Iterator[tuple[int, int, int, int]]:
    """Where two lists differ: begin and end in the first, begin and end in the second.

    Rows that stand many times would be held against each other without end: then the rows are
    compared place by place.
    """
    times = Counter(before)
    if sum(times[row] for row in after) > MOST_PAIRS:
        for i in range(max(len(before), len(after))):
            if before[i : i + 1] != after[i : i + 1]:
                yield (
                    min(i, len(before)),
                    min(i + 1, len(before)),
                    min(i, len(after)),
                    min(i + 1, len(after)),
                )
        return
    for word, *ends in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if word != "equal":
            yield ends[0], ends[1], ends[2], ends[3]
