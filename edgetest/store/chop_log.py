"""The log of a chop test: severed billets, single chops, passes and the damage they left."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from edgetest.errors import ManyFaults
from edgetest.store.cells import MISSING, Reading
from edgetest.store.columns import Column, column_faults, row_reader
from edgetest.store.log_rows import two_spellings, unknown_blade
from edgetest.store.logs import READINGS
from edgetest.store.records import Study
from edgetest.store.table_faults import CellFault, cell_fault
from edgetest.store.tables import Table, read_table

KINDS = (
    "billet", "lumber", "single", "rope", "flex", "bend", "nail", "bone", "antler", "knot",
    "shave", "inspection", "touch-up",
)  # fmt: skip
TOUCH_UP = "touch-up"  # the edge was touched up or sharpened: a new edge starts
ORIENTATIONS = ("flat", "on edge")  # which face of a piece with two sides takes the blow
WIDEST_NOTCH_DEG = 170
SEVERED = ("billet", "lumber")
SIDES = ("width_mm", "thickness_mm", "diameter_mm")
WETTEST_PCT = 250  # of the oven-dry mass: no wood of a billet holds more; from memory, no source
_TEXTS = ("blade", "nominal", "species", "grain", "operator", "block", "board", "day",
          "scale", "damage_at", "note")  # fmt: skip
_COUNTS = ("order", "near_misses", "knots", "chips_count", "rolls_count")
_SIZES = {"width_mm": "mm", "thickness_mm": "mm", "diameter_mm": "mm", "length_mm": "mm",
          "mass_g": "g", "density_kg_m3": "kg_m3"}  # fmt: skip
WATER = ("green", "air-dry", "oven-dry")
SAME_WATER = ("fresh", "wet", "unseasoned", "air dry", "air-dried", "seasoned", "oven dry",
              "oven-dried")  # fmt: skip
_SIZES_FROM_ZERO = {"bend_deg": "deg", "largest_chip_mm": "mm"}
_ALL = (
    *(Column(name) for name in _TEXTS),
    Column("photo", "path"),
    Column("date", "date"),
    *(Column(name, "whole", least=0) for name in _COUNTS),
    *(Column(name, "number", unit, above=0) for name, unit in _SIZES.items()),
    *(Column(name, "number", unit, least=0) for name, unit in _SIZES_FROM_ZERO.items()),
    Column("notch_angle_deg", "number", "deg", above=0),
    Column("orientation", "choice", choices=ORIENTATIONS),
    Column(
        "moisture_pct",
        "number or word",
        "pct",
        least=0,
        choices=(*WATER, *SAME_WATER),
        usual=WATER,
    ),
    Column("chops", "strokes", "cuts", above=0),
    Column("depth_mm", "reading", "mm", above=0),
    Column("kind", "choice", choices=KINDS),
    Column("result", "choice", choices=("pass", "fail")),
    Column("mishap", "reason"),
    Column("exclude", "reason"),
)
COLUMNS = {column.name: column for column in _ALL}
# What a log of cuts holds and a chop log does not, with what is said of it.
_READING = "it is a reading of a cut test, and no figure of a chop test is worked out from it"
_ELSEWHERE = "put it into a study of its own with a protocol of cuts (`edgetest new`)"
OF_CUTS = {
    **dict.fromkeys(("station_mm", "check_no", "life", *READINGS), (_READING, _ELSEWHERE)),
    "cuts": ("a chop test counts strokes", 'strokes go to "chops"; ' + _ELSEWHERE),
}


@dataclass(frozen=True)
class ChopRow:
    """One row of a chop log; blank cells are None or ""."""

    line: int
    blade: str
    kind: str
    order: int | None = None
    chops: Reading | None = None
    near_misses: int | None = None
    width_mm: float | None = None
    thickness_mm: float | None = None
    diameter_mm: float | None = None
    nominal: str = ""
    orientation: str = ""
    notch_angle_deg: float | None = None
    length_mm: float | None = None
    mass_g: float | None = None
    species: str = ""
    density_kg_m3: float | None = None
    moisture_pct: float | str | None = None
    grain: str = ""
    knots: int | None = None
    depth_mm: Reading | None = None
    bend_deg: float | None = None
    chips_count: int | None = None
    largest_chip_mm: float | None = None
    rolls_count: int | None = None
    damage_at: str = ""
    result: str = ""
    operator: str = ""
    block: str = ""
    board: str = ""
    day: str = ""
    date: str = ""
    photo: str = ""
    scale: str = ""
    mishap: str = ""
    exclude: str = ""
    note: str = ""
    from_board: tuple[str, ...] = ()  # columns that were blank and hold what is noted of its board

    @property
    def section_mm2(self) -> float | None:
        """Cross-section of what was severed, mm²; None where it was not measured."""
        if self.diameter_mm is not None:
            return float(np.pi * self.diameter_mm**2 / 4)
        if self.width_mm is not None and self.thickness_mm is not None:
            return self.width_mm * self.thickness_mm
        return None

    @property
    def weighed_density_kg_m3(self) -> float | None:
        """Density as given, or from the piece's mass, length and section, kg/m³."""
        if self.density_kg_m3 is not None or self.mass_g is None or self.length_mm is None:
            return self.density_kg_m3
        section = self.section_mm2
        return None if section is None else self.mass_g / (section * self.length_mm) * 1e6

    @property
    def board_or_block(self) -> str:
        """What a piece was of: its board, else the block that was noted in its place."""
        return self.board or self.block

    @property
    def look_counts(self) -> bool:
        """Whether what the row says of the edge counts: damage stays where strokes are left out."""
        return not self.exclude or self.kind not in ("inspection", TOUCH_UP)

    @property
    def waiting(self) -> bool:
        """Whether the row of a template still waits for what was chopped."""
        outcome = (self.chops, self.depth_mm, self.bend_deg, self.chips_count, self.rolls_count)
        return self.kind != TOUCH_UP and not self.result and all(value is None for value in outcome)


@dataclass(frozen=True)
class ChopLog:
    """A chop log as read: `rows` that stand and `faults` in file order."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[ChopRow, ...]
    faults: tuple[CellFault, ...] = ()

    def require(self) -> "ChopLog":
        """The log itself, or all its faults raised at once."""
        if self.faults:
            raise ManyFaults(self.faults)
        return self

    def blades(self) -> tuple[str, ...]:
        """Blades in the order in which they first appear."""
        return tuple(dict.fromkeys(row.blade for row in self.rows))

    def of_kind(self, *kinds: str) -> tuple[ChopRow, ...]:
        """Rows of some kinds that hold an outcome and are not excluded."""
        return tuple(r for r in self.rows if r.kind in kinds and not r.exclude and not r.waiting)


def struck_pieces(rows: Iterable[ChopRow]) -> list[ChopRow]:
    """Pieces to sever whose strokes are noted, and that were not left out."""
    return [row for row in rows if row.kind in SEVERED and row.chops and not row.exclude]


def read_chops(
    source: str | Path | bytes | Table, study: Study | None = None, *, name: str | None = None
) -> ChopLog:
    """A chop log from CSV or XLSX, with all its faults collected.

    Parameters
    ----------
    source : str, Path or bytes
        The file, or its bytes.
    study : Study, optional
        Gives the blades that may occur.
    name : str, optional
        What the file is called in errors.

    Returns
    -------
    ChopLog
        A row whose blade or kind cannot be read is not among `rows`; a cell that cannot be
        read is left out of its row. Both stand in `faults`.

    Raises
    ------
    UnusableInput
        If the file is no table at all.
    """
    table = read_table(source, name=name)
    faults = [*table.faults, *column_faults(table, ("blade", "kind"), COLUMNS, elsewhere=OF_CUTS)]
    rows: list[ChopRow] = []
    if {"blade", "kind"} <= set(table.columns):
        rows, more = _rows(table)
        faults += more
        faults += _across_rows(table.name, rows, study)
    faults.sort(key=lambda fault: fault.row or 0)
    return ChopLog(table.name, table.columns, tuple(rows), tuple(faults))


def _rows(table: Table) -> tuple[list[ChopRow], list[CellFault]]:
    typed_row = row_reader(table, COLUMNS)
    rows, faults = [], []
    for record in table.rows:
        cells, more = typed_row(record)
        for key in ("blade", "kind"):
            if not record.cells.get(key):
                mend = "every row names its blade and its kind"
                what = f"the {key} cell is blank"
                more.append(cell_fault(table.name, record.line, key, what, mend))
        if cells.get("blade") and cells.get("kind"):
            kept = {name: cell for name, cell in cells.items() if not _blank(cell)}
            row = ChopRow(line=record.line, **kept)
            broken = _with_sides({fault.column for fault in more})
            more += [f for f in _one_row(table.name, row) if f.column not in broken]
            rows.append(row)
        faults += more
    return rows, faults


def _with_sides(broken: set[str | None]) -> set[str | None]:
    """Columns of cells at fault; a side that cannot be read is no missing cross-section."""
    return broken | set(SIDES) if broken & set(SIDES) else broken


def _blank(cell: object) -> bool:
    return cell is None or (isinstance(cell, Reading) and cell.kind == "missing")


def _one_row(name: str, row: ChopRow) -> Iterator[CellFault]:
    """What one row may not say."""
    for column, what, mend in (*_piece_faults(row), *_outcome_faults(row)):
        yield cell_fault(name, row.line, column, what, mend)


def _piece_faults(row: ChopRow) -> Iterator[tuple[str, str, str]]:
    """Column, fault and mend of what is said of the piece."""
    if row.diameter_mm and (row.width_mm or row.thickness_mm):
        what = "a diameter and a width or thickness stand side by side"
        yield "diameter_mm", what, "a round billet has a diameter only, a flat one two sides"
    elif row.kind in SEVERED and not (
        row.section_mm2 or row.nominal or row.waiting or row.exclude
    ):  # what is left out is no figure's: its strokes are work of the edge, of whatever size
        what = f"a severed {row.kind} without its cross-section"
        mend = (
            "give width_mm and thickness_mm, or diameter_mm, or nominal (such as 2x4); if nobody "
            "measured it, say so in exclude"
        )
        yield "width_mm", what, mend
    water = row.moisture_pct
    if isinstance(water, float | int) and water > WETTEST_PCT:
        what = f"{water:g} % moisture is more than wood holds"
        yield "moisture_pct", what, "give water in per cent of the oven-dry mass"


def _outcome_faults(row: ChopRow) -> Iterator[tuple[str, str, str]]:
    """Column, fault and mend of what came of the chops."""
    chops = row.chops or MISSING
    yield from _count_faults(row, chops)
    if row.kind == "single" and chops.value not in (None, 1.0):
        what = f"a single chop with {chops.value:g} chops"
        yield "chops", what, "one row a chop; a severed piece has the kind billet or lumber"
    if row.chips_count == 0 and row.largest_chip_mm:
        yield "largest_chip_mm", "no chip was counted but one has a size", "count it too"
    if row.damage_at and not (row.chips_count or row.rolls_count):
        yield "damage_at", "no chip or roll was counted but one has a place", "count it too"
    if (row.notch_angle_deg or 0) > WIDEST_NOTCH_DEG:
        what = f"{row.notch_angle_deg:g}° is no notch"
        yield "notch_angle_deg", what, "give the angle between its two faces, 30 to 120° as a rule"
    if row.kind == TOUCH_UP and row.chops is not None:
        yield "chops", "a touch-up with chops", "strokes stand in a row of their own"
    if (row.bend_deg or 0) > 180:
        yield "bend_deg", f"{row.bend_deg:g}° is past 180°", "give the angle of the bend"


def _count_faults(row: ChopRow, chops: Reading) -> Iterator[tuple[str, str, str]]:
    """Column, fault and mend of strokes that cannot be so many."""
    for number in (chops.value, chops.lower, chops.upper):
        if number and number % 1:
            yield "chops", f"{number} chops are not a whole number", "count whole strokes"
    if row.near_misses is not None and chops.value and row.near_misses > chops.value:
        what = f"{row.near_misses} near misses among {chops.value:g} chops"
        yield "near_misses", what, "near_misses are those of the chops that missed the kerf"


def _across_rows(name: str, rows: Sequence[ChopRow], study: Study | None) -> list[CellFault]:
    """Names that the study does not know, and orders that stand twice."""
    faults = list(two_spellings(name, rows, ("blade", "species", "block", "board")))
    known = [blade.id for blade in study.blades] if study else None
    seen: dict[tuple[str, str, int, str, str], int] = {}
    for row in rows:
        if known is not None and row.blade not in known:
            faults.append(unknown_blade(name, row.line, row.blade, known))
        if row.order is None or row.exclude:
            continue
        key = (row.blade, row.kind, row.order, row.block, row.board)
        before = seen.setdefault(key, row.line)
        if before != row.line:
            what = f"{row.kind} {row.order} of blade {row.blade} stands in row {before} already"
            mend = (
                "delete a row that was typed twice (left out, its strokes still count as work); "
                "else number each anew, or give the wrong one a reason in exclude"
            )
            faults.append(cell_fault(name, row.line, "order", what, mend))
    return faults
