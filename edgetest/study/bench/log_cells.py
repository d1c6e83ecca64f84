"""The cells of a log as they were typed, each row with its faults beside it."""

from dataclasses import dataclass

from edgetest.store.history import read_history
from edgetest.store.tables import read_table
from edgetest.store.workspace import log_path


@dataclass(frozen=True)
class LogCells:
    """A log as its file has it; `faults` by row number, those of the whole file under None.

    `rows` are (number in the file, cells by column); `editable` says whether single cells can
    be set right here, which an XLSX file does not allow.
    """

    table: str
    columns: tuple[str, ...]
    rows: tuple[tuple[int, dict[str, str]], ...]
    faults: dict[int | None, tuple]
    editable: bool

    def cell(self, line, column):
        """What a cell says; blank where there is none."""
        return dict(self.rows).get(line, {}).get(column, "")

    def with_fault(self):
        """The rows that have a fault."""
        return tuple((line, cells) for line, cells in self.rows if line in self.faults)

    def fault_words(self, line):
        """All faults of a row in a line."""
        return "; ".join(f"{f.column or 'row'}: {f.what}" for f in self.faults.get(line, ()))


def log_cells(source, faults, *, table="log"):
    """The cells of a study's log.

    Parameters
    ----------
    source : Source
    faults : sequence of CellFault
        Of that log.
    table : {"log", "chops"}

    Returns
    -------
    LogCells or None
        None where there is no such file.
    """
    path = log_path(source.path, table)
    if path is None:
        return None
    read = read_table(path)
    width = len(read.columns)
    rows = []
    for number, record in enumerate(read.records, 1):
        if number <= read.heading_line or not any(cell.strip() for cell in record):
            continue
        cells = [cell.strip() for cell in record[:width]]
        cells += [""] * (width - len(cells))
        rows.append((number, dict(zip(read.columns, cells, strict=True))))
    by_row: dict[int | None, tuple] = {}
    for fault in faults:
        by_row[fault.row] = (*by_row.get(fault.row, ()), fault)
    return LogCells(table, read.columns, tuple(rows), by_row, path.suffix == ".csv")


@dataclass(frozen=True)
class Told:
    """One change of the log as the history shows it."""

    when: str
    what: str
    row: int
    before: str
    after: str


def told_history(folder, *, last=50):
    """The last changes of a study's logs, newest first, in words."""
    found = []
    for change in read_history(folder)[-last:][::-1]:
        old, new = change.before or {}, change.after or {}
        names = [n for n in dict.fromkeys([*old, *new]) if old.get(n, "") != new.get(n, "")]
        found.append(
            Told(
                change.when.replace("T", " ")[:16],
                f"{change.table}: {change.what}",
                change.row,
                ", ".join(f"{n} {old[n]}" for n in names if n in old),
                ", ".join(f"{n} {new[n]}" for n in names if n in new),
            )
        )
    return tuple(found)
