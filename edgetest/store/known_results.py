"""Results of tests whose logs are gone: a ratio of lives and its interval, a row each."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgetest.errors import ManyFaults
from edgetest.store.columns import Column, column_faults, row_reader
from edgetest.store.table_faults import CellFault, cell_fault
from edgetest.store.tables import Table, read_table

COLUMNS = {
    each.name: each
    for each in (
        Column("study"), Column("protocol"), Column("reading"), Column("arm"), Column("against"),
        Column("ratio", "number", above=0), Column("low", "number", above=0),
        Column("high", "number", above=0), Column("note"),
    )
}  # fmt: skip
FARTHEST = 1000.0  # of a ratio of lives; no two edges differ so, own choice
NEEDED = ("study", "arm", "against", "ratio", "low", "high")


@dataclass(frozen=True)
class KnownResult:
    """How many times as long `arm` lasted as `against`, with the ends of a 95 % interval."""

    study: str
    protocol: str
    reading: str
    arm: str
    against: str
    ratio: float
    low: float
    high: float


def read_known_results(source: str | Path | bytes | Table) -> tuple[KnownResult, ...]:
    """The rows of a table of results.

    Parameters
    ----------
    source : str, Path, bytes or Table
        CSV or XLSX with the columns study, arm, against, ratio, low, high (of a 95 % interval);
        protocol, reading and note may be there.

    Raises
    ------
    ManyFaults
        By row and column.
    UnusableInput
        If it cannot be read as a table at all.
    """
    table = read_table(source)
    faults = [*table.faults, *column_faults(table, NEEDED, COLUMNS)]
    read, results = row_reader(table, COLUMNS), []
    for row in table.rows:
        cells, wrong = read(row)
        faults += wrong
        blank = [name for name in NEEDED if name in table.columns and cells.get(name) in (None, "")]
        if blank and not wrong:
            faults.append(cell_fault(table.name, row.line, blank[0], "is blank", "fill it in"))
        if wrong or blank or faults:
            continue
        faults += _faults_of(table.name, row.line, cells)
        text = {name: cells.get(name) or "" for name in ("study", "protocol", "reading", "arm",
                                                        "against")}  # fmt: skip
        results.append(
            KnownResult(**text, ratio=cells["ratio"], low=cells["low"], high=cells["high"])
        )
    if faults:
        raise ManyFaults(faults)
    return tuple(results)


def _faults_of(name: str, line: int, cells: dict[str, Any]) -> list[CellFault]:
    """What is wrong with a row whose cells can be read: at most one fault."""
    low, ratio, high = cells["low"], cells["ratio"], cells["high"]
    if not low < ratio < high:
        column, what = "ratio", f"{low:g} to {high:g} does not hold {ratio:g}"
        mend = "write the ends of the ratio's 95 % interval"
    elif low < 1 / FARTHEST or high > FARTHEST:
        column, what = "low", f"{low:g} to {high:g} is no range of lives"
        mend = f"write ratios between {1 / FARTHEST:g} and {FARTHEST:g}"
    elif cells["arm"] == cells["against"]:
        column, what, mend = "against", "is the arm itself", "name two things that were compared"
    else:
        return []
    return [cell_fault(name, line, column, what, mend)]
