"""Readings taken at the bench: each is on disk before the call returns, and can be undone."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from edgetest.errors import UnusableInput
from edgetest.store.cells import plain_number
from edgetest.store.files import locked
from edgetest.store.history import Change, last_standing, read_history
from edgetest.store.log_sheet import KEYS, Sheet, open_sheet
from edgetest.store.meant_rows import (
    AGAIN,
    meant_cells,
    piece_before_look,
    refuse_doubled,
    row_that_stands,
    row_to_correct,
)
from edgetest.store.row_checks import refuse_faulty_cells, refuse_out_of_turn
from edgetest.store.row_commit import commit_row, row_meant
from edgetest.store.row_places import place_of, turn_of_done


def append_reading(
    folder: str | Path,
    row: Mapping[str, Any],
    *,
    table: str = "log",
    doubled: Literal["kept", "refused"] = "kept",
    when: datetime | None = None,
) -> Change:
    """Put one row into a study's log; it is on disk when this returns.

    A row of the template that waits for exactly this stage (same blade, cuts, station and
    check, readings blank) is filled in; otherwise the row is added at the end, in a chop log where
    its number places it, in a wear log where its stage belongs, and a column that the log
    does not have yet to its heading.

    Parameters
    ----------
    folder : str or Path
        The study.
    row : mapping
        Cells by column; None and "" are blank.
    table : {"log", "chops"}
    doubled : {"kept", "refused"}
        What becomes of a reading that stands in the log already, or comes after one of a later
        stage: kept for a person to sort out, or refused with both versions named.
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
    with locked(folder):
        sheet = open_sheet(folder, table)
        typed, cells = cells, sheet.in_its_marks(cells)
        if doubled == "refused":
            cells = meant_cells(sheet, cells, table)
        below = piece_before_look(sheet, cells, table) if doubled == "refused" else 0
        number = sheet.waiting_row(cells, KEYS[table], below=below)
        if number is None and doubled == "refused":
            number = row_that_stands(sheet, cells, table)
            cells = sheet.still_blank(number, cells, table) if number else cells
        before = None if number is None else sheet.cells(number)
        refuse_faulty_cells(folder, typed, table, beside=before, row=number)
        sheet.add_columns(cells)
        if doubled == "refused":
            refuse_doubled(sheet, cells, table)
        if number is None:
            placed = (
                doubled == "refused" or table == "chops" or not sheet.answers(cells, KEYS[table])
            )
            number = sheet.add(cells, above=place_of(folder, sheet, cells, table, placed=placed))
        else:
            sheet.fill(number, cells)
        if doubled == "refused":
            refuse_out_of_turn(folder, sheet, number, table, new=before is None)
        return commit_row(folder, sheet, "append", number, before, sheet.cells(number), when)


def correct_reading(
    folder: str | Path,
    row: int,
    column: str,
    value: Any,
    *,
    was: str,
    of: Mapping[str, str] | None = None,
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
    of : mapping, optional
        Cells that tell which row is meant, such as its blade and cuts; where others stand at
        that number now, rows have moved and the correction is refused.
    """
    folder = Path(folder)
    with locked(folder):
        sheet = open_sheet(folder, table)
        where = f"{table}.csv, row {row}, {column}"
        if column not in sheet.heading or not sheet.has(row):
            raise UnusableInput("there is no such cell", where, "load the log again")
        before = row_meant(sheet, row, of or {})
        met, new = before.get(column, ""), _cell(value)
        if met != was:
            raise UnusableInput(
                f'says "{met}" now; it said "{was}" when the correction to "{new}" was begun',
                where,
                "load the log again and decide which is right",
            )
        if new:
            refuse_faulty_cells(folder, {column: new}, table, beside=before, alone=True)
        sheet.fill(row, sheet.in_its_marks({column: new}))
        return commit_row(folder, sheet, "correct", row, before, sheet.cells(row), when)


def replace_cells(
    folder: str | Path, row: Mapping[str, Any], *, table: str = "log", when: datetime | None = None
) -> Change | None:
    """Correct what stands in the row of a reading; the old cells stay in the history.

    Parameters
    ----------
    row : mapping
        Cells by column, as typed: those that tell the row, and what it should say; None and ""
        take a cell out.

    Returns
    -------
    Change or None
        None where the row says all of it already.

    Raises
    ------
    UnusableInput
        If no row holds such a reading, or several do; `ManyFaults` as of `append_reading`.
        Nothing is written then.
    """
    folder = Path(folder)
    cells = {name: _cell(value) for name, value in row.items()}
    # What is typed is read in its row, beside what stands there; here its columns and keys alone.
    keys = {name: cell if name in KEYS[table] else "" for name, cell in cells.items()}
    refuse_faulty_cells(folder, keys, table)
    with locked(folder):
        sheet = open_sheet(folder, table)
        told = sheet.in_its_marks(meant_cells(sheet, cells, table))
        number = row_to_correct(sheet, told, table)
        before = sheet.cells(number)
        new = {name: cell for name, cell in told.items() if name not in KEYS[table]}
        new = {name: cell for name, cell in new.items() if before.get(name, "") != cell}
        if not new:
            return None
        sheet.add_columns(new)
        sheet.fill(number, new)
        refuse_out_of_turn(folder, sheet, number, table)
        return commit_row(folder, sheet, "correct", number, before, sheet.cells(number), when)


def fill_row(
    folder: str | Path,
    row: int,
    cells: Mapping[str, Any],
    *,
    of: Mapping[str, str],
    table: str = "log",
    in_turn: bool = False,
    when: datetime | None = None,
) -> Change:
    """Fill blank cells of one row, all of them or none; it is on disk when this returns.

    Parameters
    ----------
    row : int
        Number of the row in the file.
    cells : mapping
        What the blank cells should say, by column; a column that the log does not have yet is
        added to its heading.
    of : mapping
        Cells that tell which row is meant, such as its blade and kind.
    in_turn : bool
        Whether it is filled as the work is done: the row of a piece goes above what still waits.

    Raises
    ------
    UnusableInput
        If other cells stand at that number now, or one of those to fill says something else
        already (both versions are named); `ManyFaults` naming every cell that the log's own
        check would refuse. Nothing is written then.
    """
    folder = Path(folder)
    new = {name: _cell(value) for name, value in cells.items() if _cell(value)}
    with locked(folder):
        sheet = open_sheet(folder, table)
        before = row_meant(sheet, row, of)
        refuse_faulty_cells(folder, new, table, beside=before, alone=True)
        new = sheet.in_its_marks(new)
        both = [(n, before[n], cell) for n, cell in new.items() if before.get(n, cell) != cell]
        if both:
            what = "; ".join(
                f'{n} says "{old}" already, "{cell}" was not written' for n, old, cell in both
            )
            raise UnusableInput(what, f"{table}.csv, row {row}", AGAIN[table])
        sheet.add_columns(new)
        sheet.fill(row, new)
        row = sheet.move(row, to=turn_of_done(sheet, row) if in_turn else None)
        refuse_out_of_turn(folder, sheet, row, table)
        return commit_row(folder, sheet, "append", row, before, sheet.cells(row), when)


def move_row(
    folder: str | Path,
    row: int,
    *,
    to: int,
    of: Mapping[str, str],
    table: str = "chops",
    when: datetime | None = None,
) -> Change:
    """Give a row another place in a log whose rows are the order of the work; it can be undone.

    Parameters
    ----------
    row, to : int
        Number of the row in the file, and the one that it shall have.
    of : mapping
        Cells that tell which row is meant, such as its blade and kind.

    Raises
    ------
    UnusableInput
        If other cells stand at that number now, or there is no such place, or it stands there.
    """
    folder = Path(folder)
    with locked(folder):
        sheet = open_sheet(folder, table)
        cells = row_meant(sheet, row, of)
        if to == row or not sheet.has(to):
            what = "it stands there already" if to == row else "there is no such place in the log"
            raise UnusableInput(what, f"{table}.csv, row {row}", "name the number of another row")
        sheet.move(row, to=to)
        return commit_row(folder, sheet, "move", to, cells, cells, when)


def undo_last(
    folder: str | Path,
    *,
    shown: Change | None = None,
    table: str = "log",
    when: datetime | None = None,
) -> Change:
    """Take back the last change of a log that has not been taken back yet.

    Parameters
    ----------
    folder : str or Path
        The study.
    shown : Change, optional
        The change that a person saw when asking for it (see `last_change`).
    table : {"log", "chops"}
    when : datetime, optional
        Time kept in the history; now, if not given.

    Raises
    ------
    UnusableInput
        If there is none, it is another than the one `shown`, or the row has been changed by
        hand since.
    """
    folder = Path(folder)
    with locked(folder):
        last = last_standing(read_history(folder), table)
        if last is None:
            raise UnusableInput("there is nothing to undo", f"{table}.csv", "edit the file")
        if shown is not None and last != shown:
            raise UnusableInput(
                f"another change came after it: {_words(last)} (the one to undo was "
                f"{_words(shown)})",
                f"{table}.csv, row {last.row}",
                "look at the last change and undo that one first",
            )
        sheet = open_sheet(folder, table)
        row = _row_of(sheet, last, table)
        if last.before is None:
            sheet.remove(row)
        else:
            sheet.replace(row, last.before)
            row = sheet.move(row, to=last.from_row)
        sheet.drop_columns(last.columns)
        return commit_row(folder, sheet, "undo", row, last.after, last.before, when)


def _row_of(sheet: Sheet, last: Change, table: str) -> int:
    """Number of the row of a change, which may have moved in the file since."""
    if sheet.has(last.row) and sheet.cells(last.row) == last.after:
        return last.row
    alike = [number for number, met in sheet.rows() if met == last.after]
    if len(alike) == 1:
        return alike[0]
    many = f"the row has been changed since: none holds the entry to undo ({_words(last)})"
    if alike:
        rows = ", ".join(map(str, alike))
        many = f"the row has moved since: rows {rows} hold the entry to undo ({_words(last)}) alike"
    raise UnusableInput(many, f"{table}.csv, row {last.row}", "correct it in the file")


def last_change(folder: str | Path, *, table: str = "log") -> Change | None:
    """The change that `undo_last` would take back; None where there is none."""
    return last_standing(read_history(folder), table)


def _words(change: Change) -> str:
    """A change as a person tells it from another."""
    before, after = change.before or {}, change.after or {}
    cells = [f"{name} {cell}" for name, cell in after.items() if before.get(name) != cell]
    return f"row {change.row}, {', '.join(cells)}"


def _cell(value: Any) -> str:
    if isinstance(value, float):
        return plain_number(value)
    return "" if value is None else " ".join(str(value).split())
