"""The log of a cut test: rows with their readings, every fault named by row and column."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import numpy as np

from edgetest.cells import Reading, format_reading, plain_number
from edgetest.columns import (
    Column,
    marks_of,
    missing_columns,
    readings_of,
    typed_row,
    unknown_columns,
)
from edgetest.errors import ManyFaults
from edgetest.protocol import Protocol, unit_of
from edgetest.records import Study
from edgetest.tables import CellFault, Table, cell_fault, read_table

# Readings that a log without a protocol may hold; a protocol adds its own.
READINGS = {
    "edge_width_um": "µm",
    "sever_force_gf": "gf",
    "card_mm": "mm",
    "cord_draw_mm": "mm",
    "rope_force_n": "N",
    "depth_mm": "mm",
}
TEXTS = (
    "blade", "heat_treatment", "photo", "scale", "batch", "block", "day", "date", "operator",
    "mishap", "exclude", "note",
)  # fmt: skip
STROKES = ("push", "draw", "chop")
PASS_FAIL = ("pass", "fail")
NO_READING = "no column holds a reading"


@dataclass(frozen=True)
class LogRow:
    """One row of a log; blank cells are None, "" or absent from `readings`."""

    line: int
    blade: str
    cuts: int
    station_mm: float | None = None
    readings: dict[str, Reading] = field(default_factory=dict)
    check_no: int | None = None
    photo: str = ""
    scale: str = ""
    heat_treatment: str = ""
    batch: str = ""
    block: str = ""
    day: str = ""
    date: str = ""
    operator: str = ""
    stroke: str = ""
    mishap: str = ""
    exclude: str = ""
    note: str = ""


@dataclass(frozen=True)
class Readings:
    """All readings of one column as equal-length arrays, excluded ones included and marked.

    `value`, `lower` and `upper` are nan where nothing is known (a number has no bounds, a
    `<x` no value); `rank` is the grade's place on the ladder, 0 the sharpest, else -1.
    """

    name: str
    blade: np.ndarray
    heat_treatment: np.ndarray
    cuts: np.ndarray
    value: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    rank: np.ndarray
    kind: np.ndarray
    station_mm: np.ndarray
    check_no: np.ndarray
    batch: np.ndarray
    block: np.ndarray
    line: np.ndarray
    excluded: np.ndarray
    reason: np.ndarray

    def __len__(self) -> int:
        return len(self.line)

    @property
    def station(self) -> np.ndarray:
        """Stations as labels, "20" or ""."""
        return _texts("" if np.isnan(mm) else f"{mm:g}" for mm in self.station_mm)

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
        return next(
            (r.heat_treatment for r in self.rows if r.blade == blade and r.heat_treatment), ""
        )

    def readings(self, name: str) -> Readings:
        """One reading's column as arrays; rows where it is blank are left out."""
        rows = [row for row in self.rows if name in row.readings]
        met = [row.readings[name] for row in rows]
        treatment = {blade: self.heat_treatment_of(blade) for blade in self.blades()}
        return Readings(
            name,
            blade=_texts(row.blade for row in rows),
            heat_treatment=_texts(treatment[row.blade] for row in rows),
            cuts=np.array([row.cuts for row in rows], dtype=float),
            value=_floats(reading.value for reading in met),
            lower=_floats(reading.lower for reading in met),
            upper=_floats(reading.upper for reading in met),
            rank=np.array([-1 if r.rank is None else r.rank for r in met], dtype=int),
            kind=_texts(reading.kind for reading in met),
            station_mm=_floats(row.station_mm for row in rows),
            check_no=np.array([row.check_no or 1 for row in rows], dtype=int),
            batch=_texts(row.batch for row in rows),
            block=_texts(row.block for row in rows),
            line=np.array([row.line for row in rows], dtype=int),
            excluded=np.array([bool(row.exclude) for row in rows], dtype=bool),
            reason=_texts(row.exclude for row in rows),
        )


def _floats(values: Iterable[float | None]) -> np.ndarray:
    return np.array([np.nan if value is None else value for value in values], dtype=float)


def _texts(values: Iterable[str]) -> np.ndarray:
    return np.array(list(values), dtype=object)


def log_columns(protocol: Protocol | None = None) -> dict[str, Column]:
    """The columns a log may have, those of the protocol's readings among them."""
    columns = [Column(name) for name in TEXTS]
    columns += [
        Column("cuts", "whole"),
        Column("check_no", "whole", least=1),
        Column("station_mm", "number", "mm", least=0),
        Column("stroke", "choice", choices=STROKES),
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
    source: str | Path | bytes,
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
    table = read_table(source, name=name)
    protocol = protocol or (study.rules if study else None)
    columns = log_columns(protocol)
    faults = [*table.faults, *missing_columns(table, ("blade", "cuts"))]
    faults += unknown_columns(table, columns)
    reading_names = tuple(
        c for c in dict.fromkeys(table.columns)
        if c in columns and columns[c].kind in ("reading", "grade")
    )  # fmt: skip
    if not reading_names and not (study and "photo" in table.columns):
        mend = "add one, such as edge_width_um or sever_force_gf"
        faults.append(cell_fault(table.name, table.heading_line, None, NO_READING, mend))
    rows: list[LogRow] = []
    if {"blade", "cuts"} <= set(table.columns):
        rows, more = _rows(table, columns)
        faults += more
        faults += check_rows(table.name, rows, protocol=protocol, study=study)
    faults.sort(key=lambda fault: fault.row or 0)
    return Log(table.name, table.columns, tuple(rows), tuple(faults), reading_names)


def _rows(table: Table, columns: dict[str, Column]) -> tuple[list[LogRow], list[CellFault]]:
    marks = marks_of(table, columns.values())
    rows, faults = [], []
    for record in table.rows:
        cells, more = typed_row(table, record, columns, marks)
        for key in ("blade", "cuts"):
            if not record.cells.get(key):
                what = f"the {key} cell is blank"
                mend = "every row names its blade and its cumulative cuts"
                more.append(cell_fault(table.name, record.line, key, what, mend))
        faults += more
        if cells.get("blade") and cells.get("cuts") is not None:
            plain = {k: v for k, v in cells.items() if not isinstance(v, Reading) and v is not None}
            rows.append(LogRow(line=record.line, readings=readings_of(cells), **plain))
    return rows, faults


def check_rows(
    name: str,
    rows: Sequence[LogRow],
    *,
    protocol: Protocol | None = None,
    study: Study | None = None,
) -> list[CellFault]:
    """Faults that only show across rows: falling cuts, doubled stages, mixed strokes, names."""
    faults: list[CellFault] = []
    faults += _falling_cuts(name, rows)
    faults += _doubled_stages(name, rows)
    faults += _mixed_strokes(name, rows, protocol)
    faults += _heat_treatments(name, rows, study)
    if study is not None:
        faults += _unknown_names(name, rows, study)
    return faults


def _met(row: LogRow) -> bool:
    """Whether anything was read in a row; rows of a template only wait for it."""
    return bool(row.readings or row.photo)


def _falling_cuts(name: str, rows: Sequence[LogRow]) -> Iterable[CellFault]:
    last: dict[tuple[Any, ...], LogRow] = {}
    for row in rows:
        if row.exclude or not _met(row):
            continue
        key = (row.blade, row.block, row.station_mm, row.check_no or 1)
        before = last.get(key)
        if before is not None and row.cuts < before.cuts:
            what = (
                f"cuts fall to {row.cuts} after {before.cuts} in row {before.line} "
                f"(blade {row.blade}{_at(row)})"
            )
            mend = (
                "cuts are cumulative: count on from the stage before, or move the row to its place"
            )
            yield cell_fault(name, row.line, "cuts", what, mend)
            continue
        last[key] = row


def _doubled_stages(name: str, rows: Sequence[LogRow]) -> Iterable[CellFault]:
    seen: dict[tuple[Any, ...], LogRow] = {}
    for row in rows:
        if row.exclude or not _met(row):
            continue
        for reading in (*row.readings, *(["photo"] if row.photo else [])):
            key = (row.blade, row.block, row.cuts, row.station_mm, row.check_no or 1, reading)
            if key in seen and seen[key].line != row.line:
                what = (
                    f"blade {row.blade} at {row.cuts} cuts{_at(row)} stands in row "
                    f"{seen[key].line} already"
                )
                mend = "number repeats in check_no, or give the wrong row a reason in exclude"
                yield cell_fault(name, row.line, reading, what, mend)
                break
            seen[key] = row


def _at(row: LogRow) -> str:
    station = f", station {row.station_mm:g} mm" if row.station_mm is not None else ""
    return station + (f", check {row.check_no}" if row.check_no is not None else "")


def _mixed_strokes(
    name: str, rows: Sequence[LogRow], protocol: Protocol | None
) -> Iterable[CellFault]:
    first: dict[str, LogRow] = {}
    for row in rows:
        if not row.stroke or row.exclude:
            continue
        before = first.setdefault(row.blade, row)
        if row.stroke != before.stroke:
            what = (
                f"blade {row.blade} has {row.stroke} cuts here, "
                f"{before.stroke} cuts in row {before.line}"
            )
            mend = "push and draw wear an edge differently: log them as two runs"
            yield cell_fault(name, row.line, "stroke", what, mend)
        elif protocol is not None and row.stroke != protocol.cut.stroke:
            what = f"{row.stroke} cuts, but {protocol.id} cuts with the {protocol.cut.stroke}"
            mend = "choose the protocol that was cut, or write one"
            yield cell_fault(name, row.line, "stroke", what, mend)


def _heat_treatments(name: str, rows: Sequence[LogRow], study: Study | None) -> Iterable[CellFault]:
    known = {blade.id: blade.heat_treatment for blade in study.blades} if study else {}
    first: dict[str, LogRow] = {}
    for row in rows:
        if not row.heat_treatment:
            continue
        before = first.setdefault(row.blade, row)
        if row.heat_treatment != before.heat_treatment:
            what = (
                f'blade {row.blade} has the heat treatment "{row.heat_treatment}" here, '
                f'"{before.heat_treatment}" in row {before.line}'
            )
            mend = "a blade has one; a re-treated blade is a new blade"
            yield cell_fault(name, row.line, "heat_treatment", what, mend)
        elif row.blade in known and row.heat_treatment != (known[row.blade] or ""):
            what = (
                f'blade {row.blade} has the heat treatment "{row.heat_treatment}" here, '
                f'"{known[row.blade] or ""}" in study.toml'
            )
            yield cell_fault(name, row.line, "heat_treatment", what, "make the two agree")


def _unknown_names(name: str, rows: Sequence[LogRow], study: Study) -> Iterable[CellFault]:
    blades = [blade.id for blade in study.blades]
    for row in rows:
        if row.blade not in blades:
            yield unknown_blade(name, row.line, row.blade, blades)
        if row.scale and row.scale not in study.scales:
            what = f'the scale "{row.scale}" is not in study.toml'
            known = ", ".join(study.scales) or "none"
            mend = f"known: {known}; add [scales.{row.scale}]"
            yield cell_fault(name, row.line, "scale", what, mend)


def unknown_blade(name: str, line: int, blade: str, known: Sequence[str]) -> CellFault:
    """The fault of a blade that the study does not know, with the nearest it does."""
    near = get_close_matches(blade, known, n=1, cutoff=0.6)
    mend = f'did you mean "{near[0]}"?' if near else f"known: {', '.join(known)}"
    what = f'the blade "{blade}" is not in study.toml'
    return cell_fault(name, line, "blade", what, f"{mend} (or add it to study.toml)")


def log_table(rows: Iterable[LogRow], columns: Sequence[str] | None = None) -> list[list[str]]:
    """Heading and cells of a log, as `edgetest.workspace.write_table` takes them."""
    rows = list(rows)
    if columns is None:
        readings = dict.fromkeys(name for row in rows for name in row.readings)
        used = [
            c
            for c in _PLAIN
            if c in ("blade", "cuts") or any(getattr(r, c) not in ("", None) for r in rows)
        ]
        columns = [*used, *readings]
    return [list(columns), *([_cell(row, column) for column in columns] for row in rows)]


_PLAIN = (
    "blade", "heat_treatment", "cuts", "station_mm", "check_no", "photo", "scale", "batch",
    "block", "day", "date", "operator", "stroke", "mishap", "exclude", "note",
)  # fmt: skip


def _cell(row: LogRow, column: str) -> str:
    if column in row.readings:
        return format_reading(row.readings[column])
    value = getattr(row, column, None) if column in _PLAIN else None
    if value is None or isinstance(value, str):
        return value or ""
    return plain_number(value)
