"""A CSV or XLSX file as rows of texts with the row numbers that a spreadsheet shows."""

import csv
import gc
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.no_numbers import shortened
from edgetest.store.table_faults import MANY_ROWS_MEND, MOST_ROWS, CellFault, cell_fault
from edgetest.store.workbook import as_cell, workbook_records

LARGEST_BYTES = 64_000_000


@dataclass(frozen=True)
class TableRow:
    """One row: its number in the file and its cells by column."""

    line: int
    cells: dict[str, str]
    beyond: int = 0  # blank cells behind the last column of the heading, as a comma too many leaves


@dataclass(frozen=True)
class Table:
    """A table as it was read; rows that do not fit the heading stand in `faults`."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[TableRow, ...]
    faults: tuple[CellFault, ...] = ()
    delimiter: str = ","
    heading_line: int = 1
    records: tuple[tuple[str, ...], ...] = field(default=(), repr=False)


def read_table(source: str | Path | bytes | Table, *, name: str | None = None) -> Table:
    """The rows of a CSV (`,`, `;` or tab) or XLSX file.

    Parameters
    ----------
    source : str, Path, bytes or Table
        A file, or its bytes (an upload); a table is handed back.
    name : str, optional
        What the file is called in errors.

    Returns
    -------
    Table
        Every cell as text without blanks around it. Rows with too many or too few cells and
        columns that are named twice are in `faults`.

    Raises
    ------
    UnusableInput
        If the file cannot be read as a table at all.
    """
    if isinstance(source, Table):
        return source
    if isinstance(source, bytes):
        data, name = source, name or "table"
    else:
        path = Path(source)
        name = name or path.name
        data = _read_bytes(path, name)
    if len(data) > LARGEST_BYTES:
        raise UnusableInput(
            f"is {len(data) / 1e6:.0f} MB large",
            name,
            f"a log stays under {LARGEST_BYTES / 1e6:.0f} MB: {MANY_ROWS_MEND}",
        )
    if is_xlsx(data):
        return _shape(name, workbook_records(data, name), "")
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise UnusableInput(
            "is an old or a locked spreadsheet",
            name,
            "save it as .xlsx without a password, or as CSV",
        )
    text = _decode(data, name)
    delimiter, records = _csv_records(text, name)
    return _shape(name, records, delimiter)


def table_of(columns: Iterable[Any], rows: Iterable[Iterable[Any]], name: str) -> Table:
    """Cells in memory, such as a data frame's, as if they had been read from a spreadsheet."""
    return _shape(name, [[as_cell(cell) for cell in row] for row in (columns, *rows)], ",")


@contextmanager
def no_collecting() -> Iterator[None]:
    """Keep the collector of cycles still: the rows of a log hold none.

    It walks them again and again as they grow: 0.8 s of the 2.2 s that 100,000 rows took.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


def is_xlsx(data: bytes) -> bool:
    """Whether bytes are a zip, as every XLSX is, whatever the file is called."""
    return data[:4] == b"PK\x03\x04"


def _read_bytes(path: Path, name: str) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise UnusableInput("there is no such file", str(path), "check the name") from None
    except IsADirectoryError:
        raise UnusableInput(
            "is a folder, not a file", str(path), "name a CSV or XLSX file"
        ) from None
    except OSError as fault:
        raise UnusableInput(
            f"cannot be read ({fault.strerror})", name, "close it elsewhere and try again"
        ) from None


def _decode(data: bytes, name: str) -> str:
    """UTF-8 with or without a byte order mark; nothing else is guessed."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise UnusableInput("is UTF-16 text", name, "save it as CSV UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        byte = data[fault.start : fault.start + 1]
        shown = byte.decode("cp1252", errors="replace")
        raise UnusableInput(
            f"byte 0x{byte.hex()} is not UTF-8; as Windows-1252 (cp1252) it would be {shown!r}",
            f"{name}, line {line}",
            'save the file as "CSV UTF-8"',
        ) from None
    if "\0" in text:
        raise UnusableInput("is not a text file", name, "save it as CSV UTF-8 or XLSX")
    return text


def _csv_records(text: str, name: str) -> tuple[str, list[list[str]]]:
    """Delimiter and records; a spreadsheet's first line "sep=;" only names the delimiter."""
    delimiter = None
    if told := re.match(r"sep=(.)\r?\n", text):
        delimiter, text = told[1], text[told.end() :]
    delimiter = delimiter or _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    records: list[list[str]] = []
    try:
        for record in reader:
            records.append(record)
            if len(records) > MOST_ROWS:
                raise UnusableInput(f"has over {MOST_ROWS:,} rows", name, MANY_ROWS_MEND)
    except csv.Error as fault:
        if "field limit" in str(fault):
            what = f"a cell holds over {csv.field_size_limit():,} letters"
            mend = "close its quotes if they were left open, or shorten it"
            raise UnusableInput(what, f"{name}, row {len(records) + 1}", mend) from None
        raise UnusableInput(
            f"the quotes do not close ({fault})",
            f"{name}, row {len(records) + 1}",
            'a text with quotes in it is written "1 1/2"" wide", an inch mark as in',
        ) from None
    return delimiter, records


def _delimiter(text: str) -> str:
    """The separator that the heading uses most, outside quotes."""
    heading = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", heading)
    counts = {mark: bare.count(mark) for mark in (";", "\t", ",")}
    best = max(counts, key=lambda mark: counts[mark])
    return best if counts[best] else ","


def _shape(name: str, records: list[list[str]], delimiter: str) -> Table:
    """Records put under their heading; what does not fit becomes a fault."""
    cleaned = [list(map(str.strip, record)) for record in records]
    first = next((i for i, record in enumerate(cleaned) if any(record)), None)
    if first is None:
        raise UnusableInput("is empty", name, "the first row names the columns: blade, cuts, …")
    heading = cleaned[first]
    while heading and not heading[-1]:
        heading = heading[:-1]
    columns = tuple(column.casefold() for column in heading)
    faults = list(_heading_faults(name, columns, first + 1))
    if len(columns) == 1 and (found := re.search(r"[|:]|\s{2,}|(?<=\w) (?=\w+ )", columns[0])):
        what = f'the heading is one column, "{columns[0][:40]}"'
        mend = f'put a comma between the columns in place of "{found[0]}"'
        raise cell_fault(name, first + 1, None, what, mend)
    rows = []
    for i, record in enumerate(cleaned[first + 1 :], first + 2):
        if not any(record):
            continue
        beyond = max(0, len(record) - len(cleaned[first]))
        if fault := _ragged(name, i, record, len(columns), delimiter, beyond=beyond):
            faults.append(fault)
            continue
        if tuple(map(str.casefold, record[: len(columns)])) == columns:
            what = "the row is the heading once more"
            faults.append(cell_fault(name, i, None, what, "delete it: two logs were joined"))
            continue
        rows.append(TableRow(i, dict(zip(columns, record, strict=False)), beyond))
    kept = tuple(tuple(record) for record in records)
    return Table(name, columns, tuple(rows), tuple(faults), delimiter, first + 1, kept)


ONE_MORE = (
    "; or there is a separator too many: take it out, before the first cell that is out of place"
)


def shifted(table: Table, row: TableRow) -> CellFault:
    """The fault of a row whose cells stand one column too far, for a separator too many."""
    width = len(table.columns)
    what = f"the row has {width + row.beyond} cells, the heading {width}"
    return cell_fault(table.name, row.line, None, what, _separator_mend(table.delimiter) + ONE_MORE)


def _separator_mend(delimiter: str) -> str:
    if delimiter == ",":
        return 'a decimal comma or a comma in a note needs quotes: "12,5"'
    return "put texts that hold the separator in quotes"


def _heading_faults(name: str, columns: tuple[str, ...], line: int) -> list[CellFault]:
    faults = []
    for column, count in Counter(columns).items():
        if not column:
            what, mend = "a column has no name", "name it in the heading or delete it"
            faults.append(cell_fault(name, line, None, what, mend))
        elif count > 1:
            times = "twice" if count == 2 else f"{count} times"
            what = f'the column "{column}" stands {times}'
            faults.append(cell_fault(name, line, column, what, "rename or delete one of them"))
    return faults


_WHOLE, _DIGITS = re.compile(r"[<>~]?\d+"), re.compile(r"\d+(?![\d.,])")


def _ragged(
    name: str, line: int, record: list[str], width: int, delimiter: str, *, beyond: int
) -> CellFault | None:
    """The fault of a row with too many or too few cells.

    Blank cells too many are none, unless decimal commas may have made them: each parts a number
    in two, and every cell behind it, to a blank one at the end, stands one column too far.
    """
    halves = sum(bool(_WHOLE.fullmatch(a) and _DIGITS.match(b)) for a, b in pairwise(record))
    parted = delimiter == "," and 0 < beyond <= halves
    if len(record) == width or (len(record) > width and not any(record[width:]) and not parted):
        return None
    what = f"the row has {len(record)} cells, the heading {width}"
    if not delimiter:
        return _beside_heading(name, line, record, width)
    if len(record) < width:
        return cell_fault(name, line, None, what, "keep the separators of blank cells")
    last = ONE_MORE if record[-1] else "; else take out the comma that is too many"
    return cell_fault(name, line, None, what, _separator_mend(delimiter) + last)


def _beside_heading(name: str, line: int, record: list[str], width: int) -> CellFault:
    """The fault of a spreadsheet's cell that stands right of the last column of the heading."""
    from openpyxl.utils import get_column_letter

    place = next(j for j in range(width, len(record)) if record[j])
    what = f'"{shortened(record[place])}" stands right of the last column of the heading'
    cell = f"cell {get_column_letter(place + 1)}{line}"
    return cell_fault(name, line, cell, what, "delete it, or name its column in the heading")
