"""What wood and what cross-section does a row of the chop log name, and what is wrong with it?"""

import re
from collections import defaultdict
from functools import partial

from edgetest.chop.billet_size import lumber_mm
from edgetest.chop.notch import PieceSection
from edgetest.chop.species import find_species, said_as
from edgetest.chop.wood import (
    HEAVIEST_KG_M3,
    LIGHTEST_KG_M3,
    measured_wood,
    water_of,
    wood_by_weight,
    wood_of_species,
    wood_state,
)
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.board_words import of_boards

# Columns from which the cross-section and the wood of a piece follow.
SIZES = ("width_mm", "thickness_mm", "diameter_mm", "nominal")
WOODS = ("species", "density_kg_m3", "mass_g", "length_mm", "moisture_pct", *SIZES)
KIND = re.compile(r"\b(hardwood|softwood)\b")  # written beside a species that is not known
DRY_PCT = 19.0  # PS 20 calls lumber dry up to this moisture; from memory


class PieceFault(UnusableInput):
    """A fault of woods or sizes that is the same in several rows; `column` is what to mend."""

    def __init__(self, what, where, mend, rows=(), column=""):
        super().__init__(what, where, mend)
        self.rows, self.column = rows, column


def own_woods(study):
    """The maker's own woods, as species."""
    return tuple(
        measured_wood(one.name, one.kind, one.density_kg_m3, one.moisture_pct, one.hardness_n)
        for one in (study.woods if study else ())
    )


def wood_name_fault(name, study=None):
    """What is wrong with the name of a wood alone; None where it is known, or waits for a weight.

    Returns
    -------
    UnusableInput or None
    """
    if not name or KIND.search(name.lower()):
        return None
    try:
        find_species(name, own_woods(study))
    except UnusableInput as fault:
        return fault
    return None


def kind_of_wood(species, own=()):
    """Hardwood or softwood, of a wood's name; "" where the name is blank or not known.

    Parameters
    ----------
    species : str
        As typed, its kind beside it or not.
    own : sequence of Species
        The maker's own woods.
    """
    if written := KIND.search(species.lower()):
        return written[0]
    try:
        return find_species(species, own).kind if species else ""
    except UnusableInput:
        return ""  # `wood_faults` tells this fault itself


def wood_faults(log, study=None, *, line=None):
    """Faults of woods and sizes, each once with all its rows; cells at fault already are left.

    Parameters
    ----------
    log : ChopLog
        All of it: one weighed piece speaks for its board.
    study : Study, optional
    line : int, optional
        The one row whose faults are wanted.

    Returns
    -------
    list of PieceFault
    """
    own, shared = own_woods(study), board_densities([*severed_rows(log)])
    found: dict[tuple[str, str, str], list[int]] = {}
    broken = {(fault.row, fault.column) for fault in log.faults}
    for row in severed_rows(log):
        if line not in (None, row.line):
            continue
        of_board = shared.get(row.line)
        for columns, work in (
            (SIZES, section_of),
            (WOODS, partial(wood_of_row, own=own, of_board=of_board)),
        ):
            if any((row.line, column) in broken for column in columns):
                continue
            try:
                work(row)
            except UnusableInput as fault:
                key = (fault.what, fault.where, fault.mend)
                lines = found.setdefault(key, [])
                lines += [row.line] if row.line not in lines[-1:] else []
    return [
        PieceFault(what, f"{log.name}, {_rows_said(lines)}, {where}", mend, tuple(lines), where)
        for (what, where, mend), lines in found.items()
    ]


def _rows_said(lines):
    """Rows in words: row 4; rows 4, 5, 7; of many, the first five and how many more."""
    if len(lines) == 1:
        return f"row {lines[0]}"
    more = f" and {len(lines) - 5} more" if len(lines) > 5 else ""
    return f"rows {', '.join(map(str, lines[:5]))}{more}"


def severed_rows(log):
    """Rows of severed pieces that count, a blank wood or water as noted of their board."""
    for row in of_boards(log.of_kind(*SEVERED)):
        if row.chops is not None and row.chops.kind != "below":
            yield row


def section_of(row):
    """Cross-section of the piece and how it lay."""
    if row.diameter_mm is not None:
        section = PieceSection(diameter_mm=row.diameter_mm)
    elif row.section_mm2 is not None:
        section = PieceSection(row.width_mm, row.thickness_mm, orientation=row.orientation)
    else:
        wet = row.moisture_pct is not None and water_of(row.moisture_pct).pct > DRY_PCT
        thickness, width = lumber_mm(row.nominal, condition="green" if wet else "dry")
        section = PieceSection(width, thickness, orientation=row.orientation)
    return section


def weighed_density_kg_m3(row):
    """Density as given or as weighed, also of lumber whose size is its trade size, kg/m³."""
    known = row.weighed_density_kg_m3
    if known is not None or None in (row.mass_g, row.length_mm) or not row.nominal:
        return known
    return row.mass_g / (100 * section_of(row).area_cm2 * row.length_mm) * 1e6


# Times by which two weighed pieces of one board are asked about: along a board density differs by
# some 10 % (common practice, no source); a slip of a digit or a side makes more.
DENSITIES_APART = 1.3


def board_densities(rows):
    """Density that each piece counts with, kg/m³: the mean of those weighed of its board.

    A board is the same wood for every tool, so a piece that was weighed speaks for them all.

    Parameters
    ----------
    rows : sequence of ChopRow

    Returns
    -------
    dict of int to float
        By line of the log; of one wood and water on a board that is named. Others are left out.
    """
    found: dict[int, float] = {}
    for own in _of_one_wood(rows):
        known = [d for row in own if (d := _own_density(row)) is not None]
        if known:
            found |= {row.line: sum(known) / len(known) for row in own}
    return found


def weighed_apart(rows):
    """Weighed pieces of one wood and board whose densities can hardly be of one.

    Parameters
    ----------
    rows : sequence of ChopRow

    Yields
    ------
    (ChopRow, float, ChopRow, float)
        The later of the lightest and the heaviest and its density, kg/m³; and the other's.
    """
    for own in _of_one_wood(rows):
        known = sorted((d, row.line, row) for row in own if (d := _own_density(row)) is not None)
        if known and known[-1][0] > DENSITIES_APART * known[0][0]:
            first, second = sorted((known[0], known[-1]), key=lambda one: one[1])
            yield second[2], second[0], first[2], first[0]


def _of_one_wood(rows):
    """The pieces of each board that is named, of one wood and water; none of green wood."""
    boards = defaultdict(list)
    for row in rows:
        if row.board and _own_state(row) != "green":  # its weight tells of its water
            boards[row.board, said_as(row.species), str(row.moisture_pct)].append(row)
    return boards.values()


def _own_state(row):
    """State of a piece's water; "" where it cannot be read, which is told as a fault."""
    try:
        return wood_state(row.moisture_pct)
    except UnusableInput:
        return ""


def _own_density(row):
    """Density of one piece as weighed; None where it was not, or a fault is told of it."""
    try:
        return _possible(weighed_density_kg_m3(row), row)
    except UnusableInput:
        return None


def _possible(density, row):
    """A density; one that no wood has is told of the weight that was typed, not of itself."""
    if density is None or row.density_kg_m3 is not None or wood_state(row.moisture_pct) == "green":
        return density
    if not LIGHTEST_KG_M3 <= density <= HEAVIEST_KG_M3:
        what = f"{row.mass_g:g} g on this size make {density:.3g} kg/m³, which no wood weighs"
        raise UnusableInput(what, "mass_g", "check mass_g in grams, and the sides and length in mm")
    return density


def wood_of_row(row, own, of_board=None):
    """The wood of a piece, or None where nothing is known of it.

    With `of_board` the density of its board, kg/m³, stands for its own. A species that is not known
    is written with its kind, "bamboo (hardwood)", and weighed.
    """
    if not row.species:
        return None
    density = _possible(weighed_density_kg_m3(row), row)
    density = density if of_board is None else of_board
    kind = KIND.search(row.species.lower())
    if kind is None:
        return wood_of_species(
            row.species, moisture_pct=row.moisture_pct, density_kg_m3=density, own=own
        )
    if wood_state(row.moisture_pct) == "green":
        what = f'"{row.species}" is known by its density alone, and green, which tells of its water'
        mend = (
            "weigh a dry stick of it once and write that under [[woods]] of study.toml, then green"
            " will do; or dry a slice of each board and give its percent here, and mass_g and"
            " length_mm; or name the species"
        )
        raise UnusableInput(what, "moisture_pct", mend)
    if density is None:
        what = f'"{row.species}" without its density'
        raise UnusableInput(what, "density_kg_m3", "give it, or mass_g and length_mm of the piece")
    name = bare_name(row.species, kind[0])
    return wood_by_weight(density, 1000.0, kind[0], moisture_pct=row.moisture_pct, name=name)


def bare_name(species, kind):
    """The name of a wood that is written with its kind: bamboo of "bamboo (hardwood)"."""
    bare = re.sub(r"[\s(]*\b(hardwood|softwood)\b[)\s]*", " ", species, flags=re.IGNORECASE)
    return bare.strip() or kind
