"""What stands in the sheets of an XLSX file, read within limits that are asked before parsing?"""

import io
import lzma
import re
import warnings
import zipfile
import zlib
from datetime import date, datetime
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.table_faults import MANY_ROWS_MEND, MOST_ROWS, cell_fault

LARGEST_UNPACKED_BYTES = 200_000_000
MOST_COLUMNS = 702  # as far as ZZ; a stray cell far to the right would make every row as wide
LAST_ROW = 1_048_576  # of a spreadsheet
# 1,000,000 cells take openpyxl 13 s on one core, and nothing may take over 10 s.
MOST_CELLS = 500_000
MOST_SPREAD = 10_000_000  # columns times rows: what is kept of them stays under 0.2 GB
CHUNK_BYTES = 1 << 20
LONGEST_TAG = 4096  # bytes kept of a chunk, so that a cell cut in two is seen whole
_FAR = re.compile(rb'<(?:\w+:)?c\s[^<>]*?\br="([A-Z]{3,}\d+)"[^<>]*>')
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")
_CELL = re.compile(rb"<(?:\w+:)?c[\s>/]")
# What openpyxl raises for a damaged file: damage in the XML surfaces as wrong arguments.
_UNREADABLE = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, KeyError, IndexError, ValueError,
               TypeError, AttributeError, EOFError, OSError, SyntaxError, RuntimeError, MemoryError,
               NotImplementedError, AssertionError, OverflowError)  # fmt: skip
Sheets = dict[str, list[list[str]]]


def workbook_records(data: bytes, name: str) -> list[list[str]]:
    """Records of the sheet called "log" or "chops", or of the only one with anything on it.

    Parameters
    ----------
    data : bytes
        The XLSX file.
    name : str
        What it is called in errors.

    Returns
    -------
    list of list of str
        Row by row from the first; a row with nothing on it is empty.

    Raises
    ------
    UnusableInput
        If it is damaged, larger than the limits above, holds a cell far outside its table or a
        formula that was never calculated, or which sheet is meant is a guess.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            calculates = _within_limits(archive, name)
        shown = _load_sheets(data, name, data_only=True)
        typed = _load_sheets(data, name, data_only=False) if calculates else {}
    except UnusableInput:
        raise
    except _UNREADABLE:
        raise UnusableInput(
            "is not a readable XLSX workbook",
            name,
            "open it in a spreadsheet and save it again, as .xlsx without a password or as CSV",
        ) from None
    filled = {title: rows for title, rows in typed.items() if rows} | {
        title: rows for title, rows in shown.items() if rows
    }
    title = _choose_sheet(filled, name)
    _refuse_uncalculated(shown[title], typed.get(title, []), name)
    return shown[title]


def _within_limits(archive: zipfile.ZipFile, name: str) -> bool:
    """Whether a formula stands in a workbook; refuses one beyond the limits, parsing nothing."""
    entries = archive.infolist()
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > LARGEST_UNPACKED_BYTES:
        raise UnusableInput(
            f"unpacks to {unpacked / 1e6:.0f} MB", name, "save the log alone as CSV"
        )
    names = [entry.filename.replace("\\", "/").casefold() for entry in entries]
    if len(set(names)) < len(names):  # of two sheets of one name a reader takes either
        twice = next(each for k, each in enumerate(names) if each in names[:k])
        what = f'holds "{twice}" twice, so it is not known which was meant'
        raise UnusableInput(what, name, "open it in a spreadsheet, look it through and save it")
    cells, calculates = 0, False
    for entry in entries:
        if not re.search(r"worksheets/[^/]+\.xml$", entry.filename.replace("\\", "/"), re.I):
            continue
        kept = b""
        with archive.open(entry) as file:
            while chunk := file.read(CHUNK_BYTES):
                for far in _FAR.finditer(kept + chunk):
                    if not far[0].endswith(b"/>"):  # a blank one is only formatted
                        raise _stray(far[1].decode("ascii"), name)
                calculates = calculates or bool(_FORMULA.search(kept[-20:] + chunk))
                cells += len(_CELL.findall(chunk))
                kept = chunk[-LONGEST_TAG:]
    if cells > MOST_CELLS:
        what = f"holds {cells} cells, and a workbook of over {MOST_CELLS} is slow to read"
        raise UnusableInput(what, name, "save the sheet with the log as CSV UTF-8")
    return calculates


def _stray(place: str, name: str) -> UnusableInput:
    """The fault of a cell far outside the table."""
    return UnusableInput(
        f"something stands in the cell {place}, far outside the table",
        f"{name}, cell {place}",
        "delete it: go to that cell, clear it and save the file",
    )


def _load_sheets(data: bytes, name: str, *, data_only: bool) -> Sheets:
    """All sheets: what their cells show, or what was typed into them."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about styles and rules, which hold no reading
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=data_only)
        return {sheet.title: _sheet(sheet, name) for sheet in book.worksheets}


def _sheet(sheet: Any, name: str) -> list[list[str]]:
    """All cells of a sheet as texts, without empty rows and columns at the end.

    The size that the file states of itself is not believed: it may leave out rows.
    """
    sheet.reset_dimensions()
    rows: list[list[str]] = []
    blank = 0  # rows since the last with anything in it
    for row in sheet.iter_rows(values_only=True):
        held = row if any(value is not None for value in row) else ()
        texts = [as_cell(value) for value in held[:MOST_COLUMNS]]
        if not any(text.strip() for text in texts):
            blank += 1
            if len(rows) + blank > LAST_ROW:
                raise ValueError(f"no spreadsheet has a row {len(rows) + blank}")
            continue
        if len(rows) + blank >= MOST_ROWS:
            place = next(j for j, text in enumerate(texts) if text.strip())
            what = f'"{texts[place][:20]}" stands in row {len(rows) + blank + 1}'
            raise UnusableInput(
                f"{what}; a log has at most {MOST_ROWS:,} rows",
                f"{name}, row {len(rows) + blank + 1}",
                f"delete what stands far below the table, or {MANY_ROWS_MEND}",
            )
        rows += [[]] * blank
        rows.append(texts)
        blank = 0
    width = max(map(len, rows), default=0)
    if width * len(rows) > MOST_SPREAD:
        what = f"its cells lie {width} columns and {len(rows)} rows apart"
        raise UnusableInput(what, name, "save the sheet with the log alone, as CSV UTF-8")
    return [row + [""] * (width - len(row)) for row in rows]


def _choose_sheet(filled: Sheets, name: str) -> str:
    stem = Path(name).stem.casefold()
    named = [title for title in filled if title.casefold() in ("log", "chops", stem)]
    chosen = named if len(named) == 1 else list(filled)
    if len(chosen) == 1:
        return chosen[0]
    if not filled:
        raise UnusableInput("is an empty spreadsheet", name, "fill in the first sheet")
    raise UnusableInput(
        f"has several filled sheets ({', '.join(filled)})", name, 'call the one with the log "log"'
    )


def _refuse_uncalculated(shown: list[list[str]], typed: list[list[str]], name: str) -> None:
    """Refuse a formula that has no value: it would be read as a blank."""
    heading = next((row for row in typed if any(row)), [])
    for i, row in enumerate(typed):
        for j, cell in enumerate(row):
            calculated = i < len(shown) and j < len(shown[i]) and shown[i][j]
            if cell.startswith("=") and not calculated:
                column = heading[j].strip() if j < len(heading) else ""
                raise cell_fault(
                    name, i + 1, column or f"column {j + 1}",
                    f"the formula {cell} was never calculated",
                    "open the file in a spreadsheet, let it calculate, and save it",
                )  # fmt: skip


def as_cell(value: Any) -> str:
    """A spreadsheet's cell as it would stand in a CSV."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, datetime):
        return (
            value.date().isoformat()
            if value.time() == datetime.min.time()
            else value.isoformat(" ")
        )
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return str(value)
