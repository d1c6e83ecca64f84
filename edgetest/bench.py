"""Readings taken at the bench: each is on disk before the call returns, and can be undone."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from edgetest.chop_log import read_chops
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.files import append_line, csv_text, locked, write_atomic
from edgetest.logs import NO_READING, read_log
from edgetest.records import load_study
from edgetest.tables import read_table

HISTORY_FILE = "history.jsonl"
# What tells one row of a log from the next; the same cells name the row that waits for a reading.
KEYS = {
    "log": ("blade", "block", "cuts", "station_mm", "check_no"),
    "chops": ("blade", "kind", "order", "block", "board"),
}
# Cells that a template fills in for a row and that a reading may add to.
ACCOMPANY = ("batch", "operator", "species", "moisture_pct", "width_mm", "thickness_mm",
             "diameter_mm", "heat_treatment", "stroke")  # fmt: skip


@dataclass(frozen=True)
class Change:
    """One change of a log, as the history keeps it; `row` is its number in the file."""

    what: str
    table: str
    row: int
    before: dict[str, str] | None
    after: dict[str, str] | None
    when: str


def append_reading(
    folder: str | Path, row: Mapping[str, Any], *, table: str = "log", when: datetime | None = None
) -> Change:
    """Put one row into a study's log; it is on disk when this returns.

    A row of the template that waits for exactly this stage (same blade, cuts, station and
    check, readings blank) is filled in; otherwise the row is added at the end, and a column
    that the log does not have yet is added to its heading. Two programs may append at once.

    Parameters
    ----------
    folder : str or Path
        The study.
    row : mapping
        Cells by column; None and "" are blank.
    table : {"log", "chops"}
    when : datetime, optional
        Time kept in the history; now, if not given.

    Returns
    -------
    Change
        Where the row went; `undo_last` takes it back.

    Raises
    ------
    UnusableInput
        If the study's log is an XLSX, or is not a table that rows can be added to; `ManyFaults`
        naming every cell that the log's own check would refuse. Nothing is written then.
    """
    folder = Path(folder)
    cells = {name: _cell(value) for name, value in row.items() if _cell(value)}
    _check(folder, cells, table)
    with locked(folder):
        sheet = _open(folder, table)
        sheet.add_columns(cells)
        number = sheet.waiting_row(cells, KEYS[table])
        before = None if number is None else sheet.cells(number)
        if number is None:
            number = sheet.add(cells)
        else:
            sheet.fill(number, cells)
        change = Change("append", table, number, before, sheet.cells(number), _stamp(when))
        _commit(folder, sheet, change)
    return change


def correct_reading(
    folder: str | Path,
    row: int,
    column: str,
    value: Any,
    *,
    was: str,
    table: str = "log",
    when: datetime | None = None,
) -> Change:
    """Correct one cell; the old value stays in the history.

    Parameters
    ----------
    row : int
        Number of the row in the file.
    column : str
        Column of the cell.
    value : object
        What it should say.
    was : str
        What the cell said when the correction was begun. If someone else has changed it
        since, the correction is refused and both versions are shown.
    """
    folder = Path(folder)
    if _cell(value):
        _check(folder, {column: _cell(value)}, table, whole_row=False)
    with locked(folder):
        sheet = _open(folder, table)
        where = f"{table}.csv, row {row}, {column}"
        if column not in sheet.heading or not sheet.has(row):
            raise UnusableInput("there is no such cell", where, "load the log again")
        before = sheet.cells(row)
        met, new = before.get(column, ""), _cell(value)
        if met != was:
            raise UnusableInput(
                f'says "{met}" now; it said "{was}" when the correction to "{new}" was begun',
                where,
                "load the log again and decide which is right",
            )
        sheet.fill(row, {column: new})
        change = Change("correct", table, row, before, sheet.cells(row), _stamp(when))
        _commit(folder, sheet, change)
    return change


def undo_last(folder: str | Path, *, table: str = "log", when: datetime | None = None) -> Change:
    """Take back the last change of a log that has not been taken back yet.

    Raises
    ------
    UnusableInput
        If there is none, or the row has been changed by hand since.
    """
    folder = Path(folder)
    with locked(folder):
        last = _last_standing(read_history(folder), table)
        if last is None:
            raise UnusableInput("there is nothing to undo", f"{table}.csv", "edit the file")
        sheet = _open(folder, table)
        if not sheet.has(last.row) or sheet.cells(last.row) != last.after:
            raise UnusableInput(
                "the row has been changed since",
                f"{table}.csv, row {last.row}",
                "correct it in the file",
            )
        if last.before is None:
            sheet.remove(last.row)
        else:
            sheet.replace(last.row, last.before)
        change = Change("undo", table, last.row, last.after, last.before, _stamp(when))
        _commit(folder, sheet, change)
    return change


def read_history(folder: str | Path) -> list[Change]:
    """All changes made at the bench, oldest first; a line cut short by a crash is skipped."""
    path = Path(folder) / HISTORY_FILE
    if not path.is_file():
        return []
    changes = []
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            changes.append(Change(**json.loads(line)))
        except (json.JSONDecodeError, TypeError):
            continue  # the write was cut short, so its reading was never acknowledged
    return changes


def _check(folder: Path, cells: Mapping[str, str], table: str, *, whole_row: bool = True) -> None:
    """Refuse cells that the log's own check would refuse, before anything is written."""
    study = load_study(folder)
    heading = list(cells)
    needed = ("blade", "cuts") if table == "log" else ("blade", "kind")
    if not whole_row:  # the keys of the row that the cell belongs to are not in question
        stand_in = {"blade": study.blades[0].id, "cuts": "0", "kind": "inspection"}
        heading += [name for name in needed if name not in cells]
        cells = {**{name: stand_in[name] for name in needed}, **cells}
    data = csv_text([heading, [cells[name] for name in heading]]).encode()
    name = f"{table}.csv"
    log = (
        read_log(data, study=study, name=name)
        if table == "log"
        else read_chops(data, study, name=name)
    )
    faults = [fault for fault in log.faults if fault.what != NO_READING]
    if faults:
        raise ManyFaults(
            UnusableInput(f.what, ", ".join([name, "new row", *filter(None, [f.column])]), f.mend)
            for f in faults
        )


def _last_standing(changes: Sequence[Change], table: str) -> Change | None:
    standing: list[Change] = []
    for change in changes:
        if change.table != table:
            continue
        if change.what != "undo":
            standing.append(change)
        elif standing:
            standing.pop()
    return standing[-1] if standing else None


def _stamp(when: datetime | None) -> str:
    return (when or datetime.now(UTC)).isoformat(timespec="seconds")


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return " ".join(str(value).split())


def _commit(folder: Path, sheet: "_Sheet", change: Change) -> None:
    """The log first: a change stands when the log holds it, and the history follows."""
    write_atomic(sheet.path, sheet.to_bytes())
    append_line(folder / HISTORY_FILE, json.dumps(vars(change), ensure_ascii=False))


class _Sheet:
    """The raw cells of a CSV log, kept as they were typed; row numbers as in a spreadsheet."""

    def __init__(
        self, path: Path, records: list[list[str]], delimiter: str, line_end: str, bom: bool
    ):
        self.path, self.records = path, records
        self.delimiter, self.line_end, self.bom = delimiter, line_end, bom
        self.top = next(i for i, record in enumerate(records) if any(c.strip() for c in record))
        self.heading = [name.strip().casefold() for name in records[self.top]]

    def has(self, number: int) -> bool:
        return self.top + 1 < number <= len(self.records)

    def cells(self, number: int) -> dict[str, str]:
        """Cells of a row that are not blank."""
        record = self.records[number - 1]
        pairs = zip(self.heading, record, strict=False)
        return {name: cell.strip() for name, cell in pairs if name and cell.strip()}

    def add_columns(self, cells: Mapping[str, str]) -> None:
        new = [name for name in cells if name not in self.heading]
        if not new:
            return
        width = len(self.heading)
        self.heading += new
        for i, record in enumerate(self.records[self.top :], self.top):
            if any(record):
                record += [""] * (width - len(record))
                record[width:] = new if i == self.top else [""] * len(new)

    def waiting_row(self, cells: Mapping[str, str], keys: Sequence[str]) -> int | None:
        """The first row with the same keys in which nothing has been read yet."""
        wanted = {name: cells.get(name, "") for name in keys}
        for number in range(self.top + 2, len(self.records) + 1):
            met = self.cells(number)
            if not met or any(not _same(k, met.get(k, ""), v) for k, v in wanted.items()):
                continue
            given = [n for n in met if n not in keys]
            if all(n in ACCOMPANY and met[n] == cells.get(n, met[n]) for n in given):
                return number
        return None

    def add(self, cells: Mapping[str, str]) -> int:
        while self.records and not any(cell.strip() for cell in self.records[-1]):
            self.records.pop()
        self.records.append([cells.get(name, "") for name in self.heading])
        return len(self.records)

    def fill(self, number: int, cells: Mapping[str, str]) -> None:
        record = self.records[number - 1]
        record += [""] * (len(self.heading) - len(record))
        for name, cell in cells.items():
            record[self.heading.index(name)] = cell

    def replace(self, number: int, cells: Mapping[str, str]) -> None:
        self.records[number - 1] = [cells.get(name, "") for name in self.heading]

    def remove(self, number: int) -> None:
        del self.records[number - 1]

    def to_bytes(self) -> bytes:
        text = csv_text(self.records, delimiter=self.delimiter, line_end=self.line_end)
        return text.encode("utf-8-sig" if self.bom else "utf-8")


def _same(key: str, a: str, b: str) -> bool:
    """Whether a cell of a waiting row means what is wanted: "20" does for "20.0".

    No check number is the first, and a block that the row leaves open is any.
    """
    if key == "check_no":
        a, b = a or "1", b or "1"
    if a == b or (key in ("block", "board") and not a):  # the template leaves it open
        return True
    try:
        return float(a.replace(",", ".")) == float(b.replace(",", "."))
    except ValueError:
        return False


def _open(folder: Path, table: str) -> _Sheet:
    """The study's log with its own separator, line ends and byte order mark."""
    path = folder / f"{table}.csv"
    if not path.is_file():
        end = "is an XLSX file" if (folder / f"{table}.xlsx").is_file() else "is not there"
        raise UnusableInput(f"the log {end}", str(path), f"save it as {table}.csv")
    data = path.read_bytes()
    kept = read_table(data, name=path.name)
    doubled = [fault for fault in kept.faults if fault.row == kept.heading_line]
    if doubled:
        raise doubled[0]
    bom = data.startswith(b"\xef\xbb\xbf")
    text = data.decode("utf-8-sig")
    line_end = "\r\n" if "\r\n" in text else "\n"
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=kept.delimiter, strict=True)
    return _Sheet(path, [list(record) for record in reader], kept.delimiter, line_end, bom)
