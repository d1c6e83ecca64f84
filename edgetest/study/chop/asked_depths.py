"""Which depth of a single chop can hardly be meant beside the tool's others in the same wood?"""

from collections.abc import Iterator, Sequence
from statistics import median

from edgetest.chop.species import said_as
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ChopRow
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import counted

# Depths of one tool differ by some tenths, and a dull edge or a knot may halve them; a comma that
# slipped makes ten times. Own choice.
DEPTHS_APART = 3.0
FEWEST_OTHERS = 3


def asked_of_depths(
    name: str, rows: Sequence[ChopRow], line: int | None = None
) -> Iterator[UnusableInput]:
    """Questions about depths far from the tool's others.

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
    for row, what in _odd_depths(rows):
        if line in (None, row.line):
            mend = "check the number, its comma and its unit; if it is right, leave it"
            yield cell_fault(name, row.line, "depth_mm", what, mend)


def depth_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each such depth: figures rest on it."""
    for row, what in _odd_depths(rows):
        words = f"{name}, row {row.line}, depth_mm: {what}"
        yield doubt("depth_asked", what=words, where=Where(name, row.line, row.blade))


def _odd_depths(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str]]:
    """Chops whose depth is some times the middle one of the tool's like chops, or a part of it."""
    chops = [(row, depth) for row in rows if not row.exclude and (depth := _depth_mm(row)) > 0]
    for row, own in chops:
        others = [depth for each, depth in chops if each is not row and _of(each) == _of(row)]
        if len(others) < FEWEST_OTHERS:
            continue
        usual = median(others)
        times = max(own, usual) / min(own, usual)
        if times >= DEPTHS_APART:
            how = "deep" if own > usual else "shallow"
            of = f"the {usual:g} mm of {counted(len(others), 'like chop')} of {row.blade}"
            yield row, f"{own:g} mm is {times:.2g} times as {how} as {of}"


def _of(row: ChopRow) -> tuple[str, str, str]:
    """Tool, wood and water: hard wood is not cut as deep as soft, nor dry as green."""
    return row.blade, said_as(row.species), str(row.moisture_pct)


def _depth_mm(row: ChopRow) -> float:
    """The depth of a single chop; 0 where none is noted."""
    if row.kind != "single" or row.depth_mm is None:
        return 0.0
    return row.depth_mm.value or 0.0
