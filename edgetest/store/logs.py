"""The log of a cut test: rows with their readings, every fault named by row and column."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from edgetest.errors import ManyFaults
from edgetest.store.cells import Reading
from edgetest.store.columns import (
    Column,
    column_faults,
    no_heading,
    readings_among,
    row_reader,
)
from edgetest.store.log_rows import LogRow, check_rows
from edgetest.store.protocol import Protocol, unit_of
from edgetest.store.records import Study
from edgetest.store.table_faults import CellFault, cell_fault
from edgetest.store.tables import Table, TableRow, no_collecting, read_table

# Readings that a log without a protocol may hold; a protocol adds its own.
READINGS = {
    "edge_width_um": "µm",
    "w30_um": "µm",
    "sever_force_gf": "gf",
    "card_mm": "mm",
    "cord_draw_mm": "mm",
    "rope_force_n": "N",
    "depth_mm": "mm",
}
TEXTS = (
    "blade", "heat_treatment", "scale", "batch", "block", "day", "operator",
    "note",
)  # fmt: skip
STROKES = ("push", "draw", "chop")
PASS_FAIL = ("pass", "fail")
NO_READING = "no column holds a reading"
LIFE = "life"  # the column of lives typed as such; its log has no cuts
BESIDE_LIFE = ("cuts", "check_no", "station_mm", "photo", "scale")


@dataclass(frozen=True)
class Readings:
    """All readings of one column as equal-length arrays, excluded ones included and marked.

    `value`, `lower` and `upper` are nan where nothing is known (a number has no bounds, a
    `<x` no value); `grade` is spelt as on the ladder and `rank` its place there, 0 the
    sharpest, else -1.
    """

    name: str
    blade: np.ndarray
    heat_treatment: np.ndarray
    cuts: np.ndarray
    value: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    grade: np.ndarray
    rank: np.ndarray
    kind: np.ndarray
    station_mm: np.ndarray
    check_no: np.ndarray
    batch: np.ndarray
    block: np.ndarray
    operator: np.ndarray
    mishap: np.ndarray
    line: np.ndarray
    excluded: np.ndarray
    reason: np.ndarray

    def __len__(self) -> int:
        return len(self.line)

    @property
    def station(self) -> np.ndarray:
        """Stations as labels, "20" or ""."""
        labels = ["" if np.isnan(mm) else f"{mm:g}" for mm in self.station_mm]
        return np.array(labels, dtype=object)

    def used(self) -> "Readings":
        """Without the excluded ones."""
        keep = ~self.excluded
        return Readings(self.name, *(getattr(self, key)[keep] for key in _ARRAYS))


_ARRAYS = tuple(key for key in Readings.__dataclass_fields__ if key != "name")


@dataclass(frozen=True)
class Log:
    """A log as read: `rows` that stand, `faults` in file order, names of the readings."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[LogRow, ...]
    faults: tuple[CellFault, ...] = ()
    reading_names: tuple[str, ...] = ()

    def require(self) -> "Log":
        """The log itself, or all its faults raised at once."""
        if self.faults:
            raise ManyFaults(self.faults)
        return self

    def blades(self) -> tuple[str, ...]:
        """Blades in the order in which they first appear."""
        return tuple(dict.fromkeys(row.blade for row in self.rows))

    def heat_treatment_of(self, blade: str) -> str:
        """The heat treatment that the log itself gives for a blade, or ""."""
        return self._heat_treatments.get(blade, "")

    @cached_property
    def _heat_treatments(self) -> dict[str, str]:
        """The first heat treatment that stands beside each blade."""
        return {r.blade: r.heat_treatment for r in reversed(self.rows) if r.heat_treatment}

    def readings(self, name: str) -> Readings:
        """One reading's column as arrays; rows where it is blank are left out."""
        rows = [row for row in self.rows if name in row.readings]
        met = [row.readings[name] for row in rows]
        texts = ("blade", "batch", "block", "operator", "mishap")
        return Readings(
            name,
            heat_treatment=np.array([self.heat_treatment_of(r.blade) for r in rows], dtype=object),
            grade=_column(met, "text"),
            rank=_column(met, "rank", int, blank=-1),
            kind=_column(met, "kind"),
            check_no=_column(rows, "check_no", int, blank=1),
            line=_column(rows, "line", int),
            excluded=_column(rows, "exclude", bool),
            reason=_column(rows, "exclude"),
            **{each: _column(rows, each) for each in texts},
            **{each: _column(rows, each, float) for each in ("cuts", "station_mm")},
            **{each: _column(met, each, float) for each in ("value", "lower", "upper")},
        )


def _column(
    records: Sequence[Any], name: str, kind: type = object, *, blank: float = np.nan
) -> np.ndarray:
    """One attribute of many records as an array."""
    cells = [getattr(record, name) for record in records]
    return np.array([blank if cell is None else cell for cell in cells], dtype=kind)


def log_columns(protocol: Protocol | None = None) -> dict[str, Column]:
    """The columns a log may have, those of the protocol's readings among them."""
    columns = [Column(name) for name in TEXTS]
    columns += [
        Column("photo", "path"),
        Column("date", "date"),
        Column("cuts", "whole"),
        Column(LIFE, "life"),
        Column("check_no", "whole", least=1),
        Column("station_mm", "number", "mm", least=0, mend="count from the heel of the edge"),
        Column("stroke", "choice", choices=STROKES),
        Column("mishap", "reason"),
        Column("exclude", "reason"),
    ]
    columns += [Column(name, "reading", unit_of(name) or "", above=0) for name in READINGS]
    if protocol is None:
        columns += [Column("grade", "grade"), Column("pass_fail", "grade", ladder=PASS_FAIL)]
    for rule in protocol.readings if protocol else ():
        if rule.kind == "number":
            unit = unit_of(rule.name) or ""
            counted = unit == "count"
            least, above = (0.0, None) if counted else (None, 0.0)
            columns.append(Column(rule.name, "reading", unit, above=above, least=least))
        else:
            ladder = protocol.ladder if protocol and rule.kind == "grade" else PASS_FAIL
            columns.append(Column(rule.name, "grade", ladder=ladder))
    return {column.name: column for column in columns}


def read_log(
    source: str | Path | bytes | Table,
    protocol: Protocol | None = None,
    study: Study | None = None,
    *,
    name: str | None = None,
) -> Log:
    """A cut-test log from CSV or XLSX, with all its faults collected.

    Parameters
    ----------
    source : str, Path or bytes
        The file, or its bytes.
    protocol : Protocol, optional
        Gives the readings and the ladder of grades; taken from `study` if that is given.
    study : Study, optional
        Gives the blades that may occur and their heat treatments.
    name : str, optional
        What the file is called in errors.

    Returns
    -------
    Log
        A row whose blade or cuts cannot be read is not among `rows`; a reading that cannot be
        read is not among that row's `readings`. Both stand in `faults`.

    Raises
    ------
    UnusableInput
        If the file is no table at all.
    """
    with no_collecting():
        return _read_log(read_table(source, name=name), protocol, study)


def _read_log(table: Table, protocol: Protocol | None, study: Study | None) -> Log:
    """The log that a table is."""
    protocol = protocol or (study.rules if study else None)
    columns = log_columns(protocol)
    needed = ("blade", LIFE if LIFE in table.columns else "cuts")
    if not set(table.columns) & set(columns):
        raise no_heading(table, ", ".join((*needed, "edge_width_um")))
    faults = [*table.faults, *column_faults(table, needed, columns)]
    faults += _beside_lives(table, columns)
    known = [name for name in columns if columns[name].kind in ("reading", "grade", "life")]
    reading_names = tuple(c for c in dict.fromkeys(table.columns) if c in known)
    there = reading_names or _misspelt(known, faults)
    if not there and not (study and "photo" in table.columns):
        mend = "add one, such as edge_width_um or sever_force_gf"
        faults.append(cell_fault(table.name, table.heading_line, None, NO_READING, mend))
    rows: list[LogRow] = []
    if set(needed) <= set(table.columns):
        rows, more = _rows(table, columns, needed)
        faults += more
        faults += check_rows(table.name, rows, protocol=protocol, study=study)
    faults.sort(key=lambda fault: fault.row or 0)
    return Log(table.name, table.columns, tuple(rows), tuple(faults), reading_names)


def _misspelt(known: list[str], faults: list[CellFault]) -> bool:
    """Whether a column of readings stands there, but for its spelling."""
    return any(f'did you mean "{name}"?' in one.mend for one in faults for name in known)


def _beside_lives(table: Table, columns: dict[str, Column]) -> list[CellFault]:
    """A fault for every column of cuts or readings that stands beside typed lives."""
    if LIFE not in table.columns:
        return []
    what = 'the log has the column "life", and {} beside it'
    mend = (
        "use life where you noted how long each blade lasted, or cuts with {} where you read "
        "the edge at stages: a log of its own for each"
    )
    return [
        cell_fault(table.name, table.heading_line, name, what.format(name), mend.format(other))
        for name in dict.fromkeys(table.columns)
        if name in BESIDE_LIFE or (name in columns and columns[name].kind in ("reading", "grade"))
        for other in ["a reading" if name in BESIDE_LIFE else name]
    ]


def _rows(
    table: Table, columns: dict[str, Column], needed: Sequence[str]
) -> tuple[list[LogRow], list[CellFault]]:
    typed_row = row_reader(table, columns)
    rows, faults = [], []
    for record in table.rows:
        cells, more = typed_row(record)
        more += _blank_keys(table.name, record, needed)
        faults += more
        life = cells.get(LIFE)
        if life is not None:  # the cuts that it had made when it was last looked at
            cells["cuts"] = round(life.value or life.lower or life.upper or 0)
        if cells.get("blade") and cells.get("cuts") is not None:
            plain = {k: v for k, v in cells.items() if not isinstance(v, Reading) and v is not None}
            rows.append(LogRow(line=record.line, readings=readings_among(cells), **plain))
    return rows, faults


def _blank_keys(name: str, record: TableRow, needed: Sequence[str]) -> list[CellFault]:
    """The faults of a row that does not say of which blade and stage it is."""
    # a life may be waited for
    blank = [key for key in needed if key != LIFE and not record.cells.get(key)]
    if not blank:
        return []
    rest = " and its cumulative cuts" if "cuts" in needed else ""
    mend = f"every row names its blade{rest}; remarks go to note, sums are worked out"
    begins = next((cell for cell in record.cells.values() if cell), "")[:30]
    return [
        cell_fault(
            name, record.line, key, f'the {key} cell is blank in a row that begins "{begins}"', mend
        )
        for key in blank
    ]
