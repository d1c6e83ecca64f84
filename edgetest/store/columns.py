"""What the columns of a log may hold, and the typed cells of its rows with every fault."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from edgetest.errors import nearest
from edgetest.no_numbers import NOTHING_HERE, NOTHING_READ
from edgetest.store.cells import (
    MISSING,
    Reading,
    parse_choice,
    parse_grade,
    parse_life,
    parse_reading,
    parse_reason,
    parse_strokes,
    parse_whole,
)
from edgetest.store.days import day_as_meant, parse_date
from edgetest.store.plausible import MOST
from edgetest.store.study_paths import path_within
from edgetest.store.table_faults import CellFault, cell_fault
from edgetest.store.tables import Table, TableRow, shifted
from edgetest.units import SHOWN, UNITS, Typed, Unreadable, decimal_marks, normal, parse_quantity


@dataclass(frozen=True)
class Column:
    """One known column: what its cells are and what they may not be."""

    name: str
    kind: Literal[
        "text",
        "path",
        "date",
        "reason",
        "whole",
        "number",
        "number or word",
        "reading",
        "grade",
        "life",
        "strokes",
        "choice",
    ] = "text"
    unit: str = ""
    above: float | None = None
    least: float | None = None
    choices: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()  # of the choices, those that a fault offers
    ladder: tuple[str, ...] = ()
    mend: str = "leave it blank if not measured"


RowReader = Callable[[TableRow], tuple[dict[str, Any], list[CellFault]]]


def parse_cell(column: Column, text: str, marks: str) -> Any:
    """The typed content of one cell; None (or a missing `Reading`) where it is blank."""
    blank = not text.strip()
    match column.kind:
        case "reading":
            return parse_reading(text, column.unit, marks, above=column.above, least=column.least)
        case "grade":
            return parse_grade(text, column.ladder)
        case "life":
            return parse_life(text, marks)
        case "strokes":
            return parse_strokes(text, marks, above=column.above)
        case "text":
            return text
        case _ if blank:
            return None
        case "date":
            return day_as_meant(parse_date(text))
        case "path":
            return path_within(text, "photos")
        case "reason":
            return parse_reason(text)
        case "whole":
            return _whole(column, text, marks)
        case "number":
            return _number(column, text, marks)
        case "number or word" if not any(letter.isdigit() for letter in text):
            return _word(column, text)
        case "number or word":
            return _number(column, text, marks)
    return _chosen(column, text)


def _chosen(column: Column, text: str) -> str:
    """One of a column's words; what makers write for nothing, or call a kind, is told so."""
    clean = normal(text).casefold()
    if column.name == "kind" and clean in CALLED_KIND:
        raise Unreadable(f'"{text}" is not known here', f"write {CALLED_KIND[clean]}")
    if column.name != "kind" and clean not in column.choices and clean in NOTHING_READ:
        raise Unreadable(f'"{text}" is not known here', NOTHING_HERE)
    return parse_choice(text, column.choices)


def _whole(column: Column, text: str, marks: str) -> int:
    if column.name in COUNTED and text.strip().casefold() in ("none", "nil", "no"):
        raise Unreadable(f'"{text}" is not a number', SEEN_OR_NOT)
    if column.name == "knots" and text.strip().isalpha():
        raise Unreadable(f'"{text}" is not a number', HOW_MANY)
    return parse_whole(text, marks, least=int(column.least or 0))


def _word(column: Column, text: str) -> str:
    try:
        return _chosen(column, text)
    except Unreadable as fault:
        if fault.mend == NOTHING_HERE:
            raise
        mend = f"write a number, or one of {', '.join(column.usual)}"
        if "froz" in text.casefold():  # ice is water too: how much, the other words say
            mend += ", and frozen in note"
        raise Unreadable(fault.what, mend) from None


def _number(column: Column, text: str, marks: str) -> float:
    number = parse_quantity(normal(text), column.unit, marks=marks)
    if column.above is not None and number <= column.above:
        raise Unreadable(f'"{text}" is not above {column.above:g}', column.mend)
    if column.least is not None and number < column.least:
        raise Unreadable(f'"{text}" is below {column.least:g}', column.mend)
    if number > MOST.get(column.unit, number):
        name = SHOWN.get(column.unit, column.unit)
        what = f'"{text}" is {number:g} {name}, more than can be'
        raise Unreadable(what, f"write the value met, in {name}")
    return Typed(number, " ".join(text.split())) if column.unit else number


COUNTED = ("chips_count", "rolls_count")  # on the edge: none seen is not the same as not looked at
# What makers call a kind of row of a chop log.
CALLED_KIND = {"stud": "lumber", "studs": "lumber", "2x4": "lumber", "board": "lumber",
               "look": "inspection", "sharpening": "touch-up"}  # fmt: skip
HOW_MANY = "write how many lie in the cut, 0 for none"
SEEN_OR_NOT = "write 0 if you looked and saw none; leave it blank if nobody looked"
# What makers call a column of a chop log, and what the nearest name in letters would not be.
CALLED = {"chips": "chips_count", "rolls": "rolls_count", "strokes": "chops", "blows": "chops",
          "missed": "near_misses", "misses": "near_misses",
          "wood": "species", "timber": "species"}  # fmt: skip


NOWHERE_ELSE: Mapping[str, tuple[str, str]] = {}


def unknown_columns(
    table: Table, known: Iterable[str], elsewhere: Mapping[str, tuple[str, str]] = NOWHERE_ELSE
) -> list[CellFault]:
    """A fault for every column that nobody knows, with the nearest one that is known.

    `elsewhere` holds columns of another kind of log: why this one has none, and the mend.
    """
    names = sorted(known)
    faults = []
    for column in dict.fromkeys(table.columns):
        if column not in names and (other := elsewhere.get(column.strip().casefold())):
            why, mend = other
            what = f'the column "{column}" has no place here: {why}'
            faults.append(cell_fault(table.name, table.heading_line, column, what, mend))
        elif column and column not in names:
            meant = CALLED.get(column.strip().casefold().replace(" ", "_"), "")
            near = meant if meant in names else nearest(column, names)
            mend = f'did you mean "{near}"?' if near else f"known: {', '.join(names)}"
            if near in table.columns:
                mend = f'"{near}" stands there already: keep one of the two'
            mend = _in_other_unit(column, names) or mend
            what = f'the column "{column}" is not known'
            mend += '; remarks go to "note"'
            faults.append(cell_fault(table.name, table.heading_line, column, what, mend))
    return faults


def _in_other_unit(column: str, names: Iterable[str]) -> str:
    """How to mend a column that holds what a known one does, in another unit; "" for another."""
    what, _, unit = column.strip().lower().replace(" ", "_").rpartition("_")
    for name in names:
        of, _, kept = name.rpartition("_")
        factor = UNITS.get(kept, {}).get(unit)
        if what and of == what and factor is not None:
            return f'name it "{name}" and multiply its values by {factor:.6g}'
    return ""


def no_heading(table: Table, wanted: str) -> CellFault:
    """The fault of a table whose first row names no column that is known."""
    begins = ", ".join(table.columns)[:60]
    what = f'the first row is no heading: "{begins}"'
    mend = f"name the columns in it: {wanted}; leave out a title above it"
    return cell_fault(table.name, table.heading_line, None, what, mend)


def column_faults(
    table: Table,
    required: Iterable[str],
    known: Iterable[str],
    *,
    elsewhere: Mapping[str, tuple[str, str]] = NOWHERE_ELSE,
) -> list[CellFault]:
    """Faults of the heading: columns that must be there and are not, and those nobody knows.

    One that is missing and stands there misspelt is one fault: that it is misspelt.
    """
    unknown = unknown_columns(table, known, elsewhere)
    meant = {name for name in required for one in unknown if f'did you mean "{name}"?' in one.mend}
    return [*missing_columns(table, [n for n in required if n not in meant]), *unknown]


def missing_columns(table: Table, required: Iterable[str]) -> list[CellFault]:
    """A fault for every column that must be there and is not."""
    return [
        cell_fault(
            table.name, table.heading_line, name, f'the column "{name}" is missing', f"add {name}"
        )
        for name in required
        if name not in table.columns
    ]


def row_reader(table: Table, columns: dict[str, Column]) -> RowReader:
    """Types the cells of a table's rows: what was read of a text is kept for the next such cell.

    Returns
    -------
    callable
        `read(row)` gives the cells of one row by column and the faults of those that cannot be
        read, which are left out.
    """
    marks = marks_of(table, columns.values())
    read: dict[str, dict[str, Any]] = {name: {} for name in table.columns if name in columns}

    def typed_row(row: TableRow) -> tuple[dict[str, Any], list[CellFault]]:
        cells: dict[str, Any] = {}
        faults = []
        for name, text in row.cells.items():
            known = read.get(name)
            if known is None:
                continue
            if text not in known:
                try:
                    known[text] = parse_cell(columns[name], text, marks)
                except Unreadable as fault:
                    faults.append(cell_fault(table.name, row.line, name, fault.what, fault.mend))
                    continue
            cells[name] = known[text]
        if faults and row.beyond:  # one separator too many moves every cell behind it
            return cells, [shifted(table, row)]
        return cells, faults

    return typed_row


def marks_of(table: Table, columns: Iterable[Column]) -> str:
    """The decimal marks that the number cells of a table show beyond doubt."""
    kinds = ("number", "number or word", "reading", "strokes")
    names = [c.name for c in columns if c.kind in kinds and c.name in table.columns]
    cells = {row.cells.get(name, "") for row in table.rows for name in names}
    marks = decimal_marks(cell for cell in cells if "," in cell or "." in cell)
    if not marks and table.delimiter == ";" and not any("." in cell for cell in cells):
        return ","  # such a file is written where the comma is the decimal mark
    return marks


def readings_among(cells: dict[str, Any]) -> dict[str, Reading]:
    """The readings of a row that are not blank."""
    return {
        name: cell
        for name, cell in cells.items()
        if isinstance(cell, Reading) and cell.kind != MISSING.kind
    }
