"""A CSV log as it was typed, to add a row or change a cell and leave all else as it is."""

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import csv_text
from edgetest.store.protocol import unit_of
from edgetest.store.tables import read_table
from edgetest.units import decimal_marks

_DECIMAL = re.compile(r"(\d*)[.,](\d+)")
# What tells one row of a log from the next; the same cells name the row that waits for a reading.
KEYS = {
    "log": ("blade", "block", "cuts", "station_mm", "check_no"),
    "chops": ("blade", "kind", "order", "block", "board"),
}
# Cells about the circumstances, which a reading may share with what stands in its row.
ACCOMPANY = ("batch", "operator", "species", "moisture_pct", "width_mm", "thickness_mm",
             "diameter_mm", "nominal", "orientation", "heat_treatment", "stroke", "scale",
             "date")  # fmt: skip
REMARKS = {"mishap", "exclude", "note"}


class Sheet:
    """The raw cells of a CSV log, kept as they were typed; row numbers as in a spreadsheet."""

    def __init__(
        self, path: Path, records: list[list[str]], delimiter: str, line_end: str, bom: bool
    ):
        self.path, self.records = path, records
        self.delimiter, self.line_end, self.bom = delimiter, line_end, bom
        self.added: list[str] = []
        self.moved_from: int | None = None
        self.top = next(i for i, record in enumerate(records) if any(c.strip() for c in record))
        self.heading = [name.strip().casefold() for name in records[self.top]]

    def in_its_marks(self, cells: Mapping[str, str]) -> dict[str, str]:
        """Numbers with the decimal mark of this file: one of the other would make it doubtful."""
        mark = "," if self._writes_commas() else "."
        return {
            name: _DECIMAL.sub(lambda found: _with_mark(found, mark), cell)
            if unit_of(name) is not None
            else cell
            for name, cell in cells.items()
        }

    def _writes_commas(self) -> bool:
        columns = [i for i, name in enumerate(self.heading) if unit_of(name) is not None]
        cells = [r[i] for r in self.records[self.top + 1 :] for i in columns if i < len(r)]
        marks = decimal_marks(cell for cell in cells if "," in cell or "." in cell)
        if not marks and self.delimiter == ";":
            return not any("." in cell for cell in cells)
        return marks == ","

    def has(self, number: int) -> bool:
        """Whether there is a row of this number below the heading."""
        return self.top + 1 < number <= len(self.records)

    def rows(self) -> Iterator[tuple[int, dict[str, str]]]:
        """Number and cells of every row that holds something."""
        for number in range(self.top + 2, len(self.records) + 1):
            if cells := self.cells(number):
                yield number, cells

    def cells(self, number: int) -> dict[str, str]:
        """Cells of a row that are not blank."""
        record = self.records[number - 1]
        pairs = zip(self.heading, record, strict=False)
        return {name: cell.strip() for name, cell in pairs if name and cell.strip()}

    def still_blank(self, number: int, cells: Mapping[str, str], table: str) -> dict[str, str]:
        """The cells that fill what is blank in a row of a log, behind the row's own keys."""
        met = self.cells(number)
        own = {name: met[name] for name in KEYS[table] if name in met}
        return {**own, **{name: cell for name, cell in cells.items() if name not in met}}

    def add_columns(self, cells: Mapping[str, str]) -> None:
        """Add the columns that the heading does not have yet; `added` holds them."""
        new = [name for name in cells if name not in self.heading]
        if not new:
            return
        self.added += new
        width = len(self.heading)
        self.heading += new
        for i, record in enumerate(self.records[self.top :], self.top):
            if any(record):
                record += [""] * (width - len(record))
                record[width:] = new if i == self.top else [""] * len(new)

    def drop_columns(self, names: Sequence[str]) -> None:
        """Take those of some columns out that stand last in the heading and hold nothing."""
        while self.heading and self.heading[-1] in names:
            last = len(self.heading) - 1
            if any(row[last].strip() for row in self.records[self.top + 1 :] if len(row) > last):
                return
            self.heading.pop()
            for record in self.records[self.top :]:
                del record[last:]

    def waiting_row(
        self, cells: Mapping[str, str], keys: Sequence[str], *, below: int = 0
    ) -> int | None:
        """The first row with the same keys, below one of a number, that has room for these cells.

        Nothing that stands there is overwritten, and a remark is not put beside a reading
        that was there before it.
        """
        wanted = {name: cells.get(name, "") for name in keys}
        new = {name: cell for name, cell in cells.items() if name not in keys}
        for number in range(max(self.top + 1, below) + 1, len(self.records) + 1):
            met = self.cells(number)
            alike = met and all(_same(key, met.get(key, ""), cell) for key, cell in wanted.items())
            if alike and _has_room({k: v for k, v in met.items() if k not in keys}, new):
                return number
        return None

    def only_block(self, cells: Mapping[str, str]) -> str:
        """The block under which cells that name none are meant; "" where it is not one alone.

        All rows of the blade stand under it, or the only row that waits for these cells does.
        """
        if "block" in cells or "block" not in self.heading or "blade" not in cells:
            return ""
        blade = cells["blade"]
        own = {met.get("block", "") for _, met in self.rows() if met.get("blade") == blade}
        if len(own) != 1:
            rows = {
                block: self.waiting_row({**cells, "block": block}, KEYS["log"]) for block in own
            }
            own = {block for block, number in rows.items() if number is not None}
        return own.pop() if len(own) == 1 else ""

    def answers(self, cells: Mapping[str, str], keys: Sequence[str]) -> list[str]:
        """Columns of the cells that hold a reading or a photograph."""
        return [c for c in cells if c not in {*keys, *ACCOMPANY, *REMARKS}]

    def answered_rows(
        self,
        cells: Mapping[str, str],
        keys: Sequence[str],
        *,
        left_out: bool = False,
        any_reading: bool = False,
    ) -> Iterator[int]:
        """Every row of the same keys that holds one of these readings already, or any reading.

        Of those that count, or of those that were left out.
        """
        names = self.answers(cells, keys)
        for number in range(self.top + 2, len(self.records) + 1):
            met = self.cells(number)
            held = {name for name in (self.answers(met, keys) if any_reading else names)
                    if name in met}  # fmt: skip
            if met.get("scale", "") != cells.get("scale", ""):
                held -= {"photo"}  # one place in two set-ups: two views of it
            if not held or ("exclude" in met) != left_out:
                continue
            if all(_same(k, met.get(k, ""), cells.get(k, ""), open_block=False) for k in keys):
                yield number

    def add(self, cells: Mapping[str, str], *, above: int | None = None) -> int:
        """Add a row at the end, or above one of this number; returns its own."""
        while self.records and not any(cell.strip() for cell in self.records[-1]):
            self.records.pop()
        number = len(self.records) + 1 if above is None else above
        self.records.insert(number - 1, [cells.get(name, "") for name in self.heading])
        return number

    def fill(self, number: int, cells: Mapping[str, str]) -> None:
        """Set some cells of a row."""
        record = self.records[number - 1]
        record += [""] * (len(self.heading) - len(record))
        for name, cell in cells.items():
            record[self.heading.index(name)] = cell

    def replace(self, number: int, cells: Mapping[str, str]) -> None:
        """Set all cells of a row; those not named become blank."""
        self.records[number - 1] = [cells.get(name, "") for name in self.heading]

    def remove(self, number: int) -> None:
        """Take a row out."""
        del self.records[number - 1]

    def move(self, number: int, *, to: int | None) -> int:
        """Give a row another number, where one is given; returns the one that it has now."""
        if to is None or to == number:
            return number
        self.records.insert(to - 1, self.records.pop(number - 1))
        self.moved_from = number
        return to

    def to_bytes(self) -> bytes:
        """The file, with its own separator, line ends and byte order mark."""
        text = csv_text(self.records, delimiter=self.delimiter, line_end=self.line_end)
        return text.encode("utf-8-sig" if self.bom else "utf-8")


def _has_room(met: Mapping[str, str], new: Mapping[str, str]) -> bool:
    """Whether a row can take cells without a loss, and no remark would speak of what it holds.

    A circumstance alone, such as the batch of the medium, goes beside a remark, too.
    """
    held, more = met.keys() - {*ACCOMPANY, "note"}, new.keys() - {*ACCOMPANY}
    if held and more and REMARKS & (new.keys() | met.keys()):
        return False
    return all(
        name not in met or (name in ACCOMPANY and met[name] == cell) for name, cell in new.items()
    )


def _same(key: str, a: str, b: str, *, open_block: bool = True) -> bool:
    """Whether a cell of a waiting row means what is wanted: "20" does for "20.0".

    No check number is the first; a block that the template leaves open is any.
    """
    if key == "check_no":
        a, b = a or "1", b or "1"
    if a == b or (open_block and key in ("block", "board") and not a):
        return True
    try:
        return float(a.replace(",", ".")) == float(b.replace(",", "."))
    except ValueError:
        return False


def open_sheet(folder: Path, table: str) -> Sheet:
    """The study's log with its own separator, line ends and byte order mark."""
    path = folder / f"{table}.csv"
    if not path.is_file():
        end = "is an XLSX file" if (folder / f"{table}.xlsx").is_file() else "is not there"
        raise UnusableInput(f"the log {end}", str(path), f"save it as {table}.csv")
    return sheet_of(path.read_bytes(), path)


def sheet_of(data: bytes, path: Path) -> Sheet:
    """The raw cells of a CSV log that stands at a path.

    Raises
    ------
    UnusableInput
        If it is no table, or a column stands in it twice.
    """
    kept = read_table(data, name=path.name)
    doubled = [fault for fault in kept.faults if fault.row == kept.heading_line]
    if doubled:
        raise doubled[0]
    bom = data.startswith(b"\xef\xbb\xbf")
    text = data.decode("utf-8-sig")
    line_end = "\r\n" if "\r\n" in text else "\n"
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=kept.delimiter, strict=True)
    return Sheet(path, [list(record) for record in reader], kept.delimiter, line_end, bom)


def _with_mark(found: re.Match[str], mark: str) -> str:
    """A decimal with the mark wanted; a fourth digit keeps three from looking like thousands."""
    whole, rest = found[1], found[2]
    return f"{whole}{mark}{rest}{'0' if len(rest) == 3 else ''}"


def same_cell(there: str, told: str) -> bool:
    """Whether two cells say the same, a number however it is written."""
    try:
        return there == told or float(there.replace(",", ".")) == float(told.replace(",", "."))
    except ValueError:
        return False
