"""Would the log's own check refuse cells that are to be written, or a row where it stands?"""

import re
from collections.abc import Mapping
from pathlib import Path

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.chop_log import ChopLog, read_chops
from edgetest.store.files import csv_text
from edgetest.store.log_sheet import Sheet
from edgetest.store.logs import NO_READING, Log, read_log
from edgetest.store.protocol import unit_of
from edgetest.store.records import Study, load_study

_DECIMAL = re.compile(r"\b(\d+)[.,]\d+")
NO_ROW = (
    "no row waits for it, and nothing else was read at these cuts: check blade, cuts, station and "
    "block; a stage that was forgotten is a row to put into the file, in its place above the later "
    "cuts"
)


def refuse_faulty_cells(
    folder: Path,
    cells: Mapping[str, str],
    table: str,
    *,
    beside: Mapping[str, str] | None = None,
    row: int | None = None,
    alone: bool = False,
) -> None:
    """Refuse cells that the log's own check would refuse, before anything is written.

    Parameters
    ----------
    folder : Path
    cells : mapping
        As typed.
    table : {"log", "chops"}
    beside : mapping, optional
        What stands in the row that they go into: one cell is checked against another there.
    row : int, optional
        Number of that row, where it stands already: a fault of what was not typed is told there.
    alone : bool
        Whether what else is wrong with that row is left to the check of the log.

    Raises
    ------
    ManyFaults
    """
    study = load_study(folder)
    whole = {**_in_whole_numbers(beside or {}), **cells}
    data = csv_text([list(whole), list(whole.values())]).encode()
    faults = [
        fault
        for fault in _read(data, study, table).faults
        if fault.what != NO_READING and not (alone and fault.column not in cells)
    ]
    if faults:
        raise ManyFaults(
            UnusableInput(
                f.what, _place(table, f.column, None if f.column in cells else row), f.mend
            )
            for f in faults
        )


def _place(table: str, column: str | None, row: int | None) -> str:
    """Where a fault stands: in the row that stands already, or in what was typed for one."""
    return ", ".join(filter(None, (f"{table}.csv", f"row {row}" if row else "new row", column)))


def _in_whole_numbers(beside: Mapping[str, str]) -> dict[str, str]:
    """What stands beside cells, rounded up: a decimal there would settle which mark is meant."""
    return {
        name: _DECIMAL.sub(lambda found: str(int(found[1]) + 1), cell)
        if unit_of(name) is not None
        else cell
        for name, cell in beside.items()
    }


def _read(data: bytes, study: Study, table: str) -> Log | ChopLog:
    """A log by the check that it is opened with."""
    name = f"{table}.csv"
    if table == "log":
        return read_log(data, study=study, name=name)
    return read_chops(data, study, name=name)


def refuse_out_of_turn(
    folder: Path, sheet: Sheet, number: int, table: str, *, new: bool = False
) -> None:
    """Refuse a row that is at fault where it would stand, as a stage behind the last one."""
    log = _read(sheet.to_bytes(), load_study(folder), table)
    faults = [fault for fault in log.faults if fault.row == number and fault.what != NO_READING]
    if not faults:
        return
    if not new:
        raise ManyFaults(faults)
    where = {f: ", ".join(filter(None, (f"{table}.csv, new row", f.column))) for f in faults}
    raise ManyFaults(
        UnusableInput(f.what, where[f], NO_ROW if f.column == "cuts" else f.mend) for f in faults
    )
