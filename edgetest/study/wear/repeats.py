"""Is it the blade or the measuring? The same edge read again and again, from a table."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.stats.outliers import name_outliers
from edgetest.store.table_faults import cell_fault
from edgetest.store.tables import read_table
from edgetest.store.workspace import log_path
from edgetest.study.words import listed
from edgetest.units import Unreadable, normal, parse_number, split_range
from edgetest.wear.plan.repeatability import Repeatability, repeatability

EDGE = "edge"  # the column that tells several edges apart


@dataclass(frozen=True)
class RepeatedReadings:
    """Readings with the row of the file, the person and the edge of each; None without a column."""

    values: np.ndarray
    people: list[str] | None
    edges: list[str] | None
    lines: list[int]


def columns_of(source, *, name=None):
    """Names of the columns of a table, to choose from."""
    return list(read_table(source, name=name).columns)


def read_repeats(path, *, reading="edge_width_um", by="operator"):
    """Repeated readings of one edge, or of several told apart by a column `edge`.

    Parameters
    ----------
    path : str, Path or bytes
        CSV or XLSX with a column `reading` and, for several people or set-ups, a column `by`.
    reading, by : str
        Names of the columns.

    Returns
    -------
    RepeatedReadings

    Raises
    ------
    UnusableInput
        Naming every cell that is no number, or the column that is missing.
    """
    table = read_table(path)
    for column in (reading, *([by] if by != "operator" else [])):  # one person needs no column
        if column not in table.columns:
            raise UnusableInput(
                f'there is no column "{column}"',
                where=table.name,
                mend=f"name one of: {', '.join(table.columns)}",
            )
    values, people, edges, lines, faults = [], [], [], [], list(table.faults)
    for row in table.rows:
        cell = (row.cells.get(reading) or "").strip()
        if not cell:
            continue
        try:
            values.append(parse_number(cell))
        except Unreadable as fault:
            what, mend = _fault(cell, fault)
            faults.append(cell_fault(table.name, row.line, reading, what, mend))
            continue
        people.append((row.cells.get(by) or "").strip())
        edges.append((row.cells.get(EDGE) or "").strip())
        lines.append(row.line)
    if faults:
        raise ManyFaults(faults)
    return RepeatedReadings(
        np.array(values),
        people if by in table.columns else None,
        edges if EDGE in table.columns else None,
        lines,
    )


def _fault(cell, fault):
    """What is wrong with a cell that is no number, and its mend; a bound is no misspelling."""
    if normal(cell)[:1] in tuple("<>≤≥") or split_range(normal(cell)):
        return (
            f'"{cell}" is a bound, and bounds do not tell how far readings of one edge differ',
            "repeat an edge that always shows a number, and leave all rows of this one out: "
            "without the bounds alone the spread would look smaller than it is",
        )
    return fault.what, fault.mend


def repeats_table(path):
    """The table of repeated readings: the file itself, or a study's `repeats.csv` or `.xlsx`.

    Raises
    ------
    UnusableInput
        If a folder holds none.
    """
    path = Path(path)
    if not path.is_dir():
        return path
    table = log_path(path, "repeats")
    if table is None:
        raise UnusableInput(
            "there is no repeats.csv or repeats.xlsx here",
            where=str(path),
            mend="put the repeated readings of one edge into it, one a row",
        )
    return table


@dataclass(frozen=True)
class Repeats:
    """The spread of repeated readings, and those that stand apart (named, none dropped)."""

    spread: Repeatability
    standing_apart: tuple[tuple[int, float], ...]  # row of the file, reading

    def to_dict(self):
        """Plain values for JSON."""
        apart = [{"row": row, "value": value} for row, value in self.standing_apart]
        return {**self.spread.to_dict(), "standing_apart": apart}

    def summary(self):
        """The spread as a maker reads it out, and what to look at."""
        words = [self.spread.summary()]
        for row, value in self.standing_apart:
            words.append(f"Row {row} reads {value:g}: it stands apart; look at it again.")
        return " ".join([*words, *(one.text for one in self.spread.doubts)])

    def used_words(self, used):
        """What a study that keeps this does with it, and the rows in it that may be slips.

        Parameters
        ----------
        used : str
            "Kept; fit, compare and plan now use it".
        """
        if not self.standing_apart:
            return f"{used}."
        rows = listed([str(row) for row, _ in self.standing_apart])
        rows = f"row{'s' if len(self.standing_apart) > 1 else ''} {rows}"
        return f"{used}, {rows} and all. If that was a slip, mend it and keep the result anew."


def repeatability_of(path, *, reading="edge_width_um", by="operator", relative=True):
    """Repeatability and reproducibility of a table of repeated readings.

    Returns
    -------
    Repeats
    """
    found = read_repeats(path, reading=reading, by=by)
    values = found.values
    spread = repeatability(values, found.people, level=found.edges, relative=relative)
    centred = np.log(values) if relative else values.copy()
    unsaid = [""] * len(values)
    cells = np.array(
        [
            f"{e} · {who}"
            for e, who in zip(found.edges or unsaid, found.people or unsaid, strict=True)
        ]
    )
    for cell in set(cells.tolist()):
        centred[cells == cell] -= centred[cells == cell].mean()
    most = max(1, len(values) // 10)
    apart, _, _ = name_outliers(centred, most) if len(values) >= most + 3 else ((), None, None)
    return Repeats(spread, tuple((found.lines[i], float(values[i])) for i in sorted(apart)))
