"""Rows of a cut-test log, and the faults that only show when rows are seen together."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from edgetest.errors import nearest
from edgetest.store.cells import Reading
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.store.table_faults import CellFault, cell_fault
from edgetest.store.toml_faults import heading_of

MOST_GUESSED = 200  # unknown blades whose nearest is sought: 0.4 ms each among 20, and it grows


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

    @property
    def waiting(self) -> bool:
        """Whether the row of a template still waits for its reading or photograph."""
        return not (self.readings or self.photo)


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
    faults += _doubled_stages(name, rows, study)
    faults += _mixed_strokes(name, rows, protocol)
    faults += _heat_treatments(name, rows, study)
    faults += two_spellings(name, rows, ("blade", "heat_treatment", "batch", "block"))
    if study is not None:
        faults += _unknown_names(name, rows, study)
    return faults


def _falling_cuts(name: str, rows: Sequence[LogRow]) -> Iterable[CellFault]:
    last: dict[tuple[Any, ...], LogRow] = {}
    for row in rows:
        if row.exclude or row.waiting or "life" in row.readings:
            continue
        key = (row.blade, row.block, row.station_mm, row.check_no or 1)
        before = last.get(key)
        if before is not None and row.cuts < before.cuts:
            what = (
                f"cuts fall to {row.cuts} after {before.cuts} in row {before.line} "
                f"(blade {row.blade}{_at(row)})"
            )
            mend = (
                "cuts are cumulative since sharpening: count on from the stage before, move the "
                "row to its place, or give a new run a block of its own"
            )
            yield cell_fault(name, row.line, "cuts", what, mend)
            continue
        last[key] = row


def _doubled_stages(name: str, rows: Sequence[LogRow], study: Study | None) -> Iterable[CellFault]:
    seen: dict[tuple[Any, ...], LogRow] = {}
    for row in rows:
        if row.exclude or row.waiting or "life" in row.readings:  # its rows are its runs
            continue
        for reading in (*row.readings, *(["photo"] if row.photo else [])):
            view = _lit(row, study) if reading == "photo" else ""  # one place in two lights
            key = (row.blade, row.block, row.cuts, row.station_mm, row.check_no or 1, reading, view)
            if key in seen and seen[key].line != row.line:
                what = (
                    f"blade {row.blade} at {row.cuts} cuts{_at(row)} stands in row "
                    f"{seen[key].line} already"
                )
                mend = (
                    "correct blade, cuts or station where one is mistyped, number repeats in "
                    "check_no, or give the wrong row a reason in exclude"
                )
                yield cell_fault(name, row.line, reading, what, mend)
                break
            seen[key] = row


def _lit(row: LogRow, study: Study | None) -> str:
    """The light that the set-up of a row's photograph declares; "" where none does."""
    rule = None
    if study is not None:
        rule = study.scales.get(row.scale) if row.scale else study.scale
    return (rule.light or "") if rule is not None else ""


def _at(row: LogRow) -> str:
    station = f", station {row.station_mm:g} mm" if row.station_mm is not None else ""
    return station + (f", check {row.check_no}" if row.check_no is not None else "")


def two_spellings(name: str, rows: Sequence[Any], columns: Sequence[str]) -> Iterable[CellFault]:
    """Faults of names that differ in capitals or blanks alone and would count as two."""
    for column in columns:
        first: dict[str, Any] = {}
        right: set[str] = set()  # spelled as where they stood first
        for row in rows:
            if (text := getattr(row, column)) in right:
                continue
            before = first.setdefault(" ".join(text.casefold().split()), row)
            if not text or text == getattr(before, column):
                right.add(text)
                continue
            what = f'"{text}" is written "{getattr(before, column)}" in row {before.line}'
            yield cell_fault(name, row.line, column, what, "write it one way")


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
        if row.heat_treatment.casefold() != before.heat_treatment.casefold():
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
    blades = {blade.id: None for blade in study.blades}
    unknown: dict[str, CellFault] = {}
    for row in rows:
        if row.blade not in blades:
            if row.blade not in unknown:
                near = list(blades) if len(unknown) < MOST_GUESSED else ()
                unknown[row.blade] = unknown_blade(name, row.line, row.blade, near)
            met = unknown[row.blade]
            yield cell_fault(name, row.line, "blade", met.what, met.mend)
        if row.scale and row.scale not in study.scales:
            what = f'the scale "{row.scale}" is not in study.toml'
            known = ", ".join(study.scales) or "none"
            mend = f"known: {known}; add {heading_of('scales', row.scale)}"
            yield cell_fault(name, row.line, "scale", what, mend)


def unknown_blade(name: str, line: int, blade: str, known: Sequence[str]) -> CellFault:
    """The fault of a blade that the study does not know, with the nearest it does."""
    alike = {_plain(name): name for name in known}
    near = nearest(_plain(blade), alike)
    mend = f'did you mean "{alike[near]}"?' if near else f"known: {', '.join(known) or '…'}"
    what = f'the blade "{blade}" is not in study.toml'
    return cell_fault(name, line, "blade", what, f"{mend} (or add it to study.toml)")


def _plain(name: str) -> str:
    """A name without case, blanks and dashes, to find the one that was meant."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())
