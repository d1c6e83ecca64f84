"""From what was written down on an unknown steel to what the numerical room takes."""

from dataclasses import dataclass
from math import hypot, inf, nan

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import CONVERSION_SD_HRC, to_hrc
from edgetest.steel.hardness import HardnessResult, fit_hardness
from edgetest.steel.hardness_readings import HardnessErrors
from edgetest.steel.quench import MEDIA, QuenchResponse, quench_response
from edgetest.steel.temper import combined_temper
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.blade_heats import reference_blades
from edgetest.study.steel.evidence_records import (
    AS_IT_IS,
    CARBURISED,
    CLEAR_COATINGS,
    SPOILT,
    Evidence,
)
from edgetest.study.steel.row_kinds import hardness_cell

USUAL_SOAK_MIN = 60.0  # where no time is written; common practice, no source
READING_U_HRC = HardnessErrors().reading_sd_hrc
SAME_TEMPER = 0.1  # of the tempering parameter (K/1000): about a quarter in time
SPARK_ORDER = ("like_low", "between", "like_high")
GRAIN_ORDER = ("fine", "medium", "coarse")


@dataclass(frozen=True)
class Origin:
    """The piece a blade came from, and how its steel was worked."""

    piece: str
    route: str


def places(study, evidence: Evidence):
    """Where each blade of the unknown steel belongs: blade id -> `Origin`.

    A blade that does not say its piece belongs to the only one; where there are several it
    is left out (see `unplaced`).
    """
    found = {}
    for blade in _unknown_steel(study):
        if not blade.piece and len(evidence.piece_names) > 1:
            continue
        treatment = blade.heat_treatment
        steps = study.heat_treatment(treatment).steps if treatment else ()
        route = CARBURISED if any(step.kind == "carburise" for step in steps) else AS_IT_IS
        found[blade.id] = Origin(blade.piece or evidence.piece_names[0], route)
    return found


def unplaced(study, where):
    """Blades of the unknown steel that do not say from which of several pieces they come."""
    return [blade.id for blade in _unknown_steel(study) if blade.id not in where]


def _unknown_steel(study):
    """All blades but those of known steel and a control that is of no piece."""
    known = set(reference_blades(study))
    return [
        blade
        for blade in study.blades
        if blade.id not in known and (blade.id != study.control or blade.piece)
    ]


def where_of(row, where, evidence):
    """Piece and route of a reading: its blade's, else as written."""
    if row.blade is not None:
        if row.blade not in where:
            raise UnusableInput(
                f"blade {row.blade} is not of the unknown steel, or does not say of which piece",
                f"{STUDY_FILE}, evidence",
                "write piece = with the blade, or take the reading out",
            )
        return where[row.blade]
    return Origin(row.piece or evidence.piece_names[0], row.route or AS_IT_IS)


def on_route(rows, where, evidence, route):
    """The readings made on one route, each with its origin."""
    placed = [(row, where_of(row, where, evidence)) for row in rows]
    return [(row, at) for row, at in placed if at.route == route]


# ---- hardness ------------------------------------------------------------------------------


def cells_of(row, piece, files_hrc):
    """A row's readings as (piece, value, lower, upper, standard uncertainty)."""
    found = []
    for cell in row.hardness:
        if row.scale != "HRC":
            hrc = to_hrc(float(cell), row.scale)
            found.append((piece, hrc, nan, nan, hypot(READING_U_HRC, CONVERSION_SD_HRC)))
            continue
        read = hardness_cell(cell, files_hrc)
        ends = (nan if end is None else end for end in (read.value, read.lower, read.upper))
        found.append((piece, *ends, READING_U_HRC))
    return found


def blade_cells(blade, at):
    """A blade's own hardness as readings of its piece."""
    piece = at.piece
    cells = [(piece, value, nan, nan, READING_U_HRC) for value in blade.hardness_hrc]
    files = blade.hardness_files
    if files is not None:
        ends = (nan if end is None else end for end in (files.skates, files.bites))
        cells.append((piece, nan, *ends, READING_U_HRC))
    return cells


def hardness_of(cells) -> HardnessResult:
    """Hardness from one or more readings."""
    piece, value, lower, upper, u = zip(*cells, strict=True)
    errors = HardnessErrors(reading_sd_hrc=max(u))  # the widest that occurs serves all
    return fit_hardness(value=value, lower=lower, upper=upper, piece=piece, errors=errors)


def _cells(rows, evidence):
    """Readings of rows with their origins."""
    return [cell for row, at in rows for cell in cells_of(row, at.piece, evidence.files_hrc)]


def quench_fits(evidence, where, route):
    """As-quenched hardness by medium, on one route."""
    rows = on_route(evidence.quenched, where, evidence, route)
    fits = {}
    for medium in MEDIA:
        if cells := _cells([each for each in rows if each[0].medium == medium], evidence):
            fits[medium] = hardness_of(cells)
    return fits


def response_of(evidence, fits, tempered, route) -> QuenchResponse | None:
    """What the quench says; None where nothing was quenched and read."""
    if not fits:
        return None
    analysis = evidence.analysis if route == AS_IT_IS else None
    thickness = [row.coupon_mm for row in evidence.quenched if row.coupon_mm is not None]
    return quench_response(
        fits,
        tempered=tempered,
        carbon_pct=analysis.carbon_pct if analysis else None,
        carbon_u_pct=analysis.carbon_u_pct if analysis else 0.02,
        coupon_mm=min(thickness) if thickness else None,
        section_mm=evidence.section_mm,
        martensite=evidence.martensite,
    )


def tempered_of(study, evidence, where, route, wanted_hrc):
    """Hardness after the temper meant for use, and the code that says how it was chosen.

    A blade's own hardness and rows marked `for_use` come first; else the temper of the
    ladder whose hardness most likely lies in the wanted range.

    Returns
    -------
    (HardnessResult or None, str or None)
    """
    blades = [(blade, where[blade.id]) for blade in study.blades if blade.id in where]
    cells = [cell for blade, at in blades if at.route == route for cell in blade_cells(blade, at)]
    rows = on_route([r for r in evidence.tempered if r.hardness], where, evidence, route)
    cells += _cells([each for each in rows if each[0].for_use or each[0].blade], evidence)
    if cells:
        return hardness_of(cells), None
    if not rows:
        return None, None
    fits = [hardness_of(_cells(step, evidence)) for step in _steps(rows)]
    chosen = max(fits, key=lambda fit: fit.probability_in_range(*wanted_hrc))
    return chosen, "temper_chosen" if len(fits) > 1 else None


def _steps(rows):
    """Rows of a ladder grouped by equal temper; a row without its heat stands alone."""
    groups: list[tuple[float, list]] = []
    for row, at in sorted(rows, key=lambda each: _parameter(each[0])):
        parameter = _parameter(row)
        if groups and abs(parameter - groups[-1][0]) < SAME_TEMPER:
            groups[-1][1].append((row, at))
        else:
            groups.append((parameter, [(row, at)]))
    return [members for _, members in groups]


def _parameter(row):
    """Tempering parameter of a row, an hour where no time is written; infinite without a heat."""
    if row.temperature_c is None:
        return inf
    return combined_temper(
        [(row.temperature_c, (row.time_min or USUAL_SOAK_MIN) / 60)] * row.repeats
    )


# ---- what the sequence asks ----------------------------------------------------------------


def stock_of(evidence):
    """Blades in stock, and the coating that stands in the way or says that none does.

    A piece whose coating is not stated counts as not yet looked at.
    """
    made = [piece.makes_blades for piece in evidence.pieces if piece.makes_blades is not None]
    blades = float(sum(made)) if made else None
    coatings = [piece.coating for piece in evidence.pieces]
    for coating in coatings:
        if coating and coating not in CLEAR_COATINGS:
            return blades, coating
    if not coatings or "" in coatings:
        return None, None
    return blades, max(coatings, key=CLEAR_COATINGS.index)


def magnetic_of(evidence):
    """False where any piece is not magnetic, None where not all tried are known to be."""
    tried = [piece.magnetic for piece in evidence.pieces]
    if False in tried:
        return False
    return True if True in tried and None not in tried else None


def sparks_of(evidence):
    """The poorest of the pieces' sparks, and whether they differ."""
    seen = {piece.sparks for piece in evidence.pieces if piece.sparks}
    if not seen or any(piece.sparks is None for piece in evidence.pieces):
        return None, len(seen) > 1
    return min(seen, key=SPARK_ORDER.index), len(seen) > 1


def grain_of(evidence, where):
    """The coarsest of the pieces' last breaks, as the steel is."""
    rows = on_route(evidence.quenched, where, evidence, AS_IT_IS)
    last = {at.piece: row.grain for row, at in rows if row.grain is not None}
    return max(last.values(), key=GRAIN_ORDER.index) if last else None


def survival(evidence, where, route, *, medium=None):
    """(cracked, quenched) of a route; past straightening counts as cracked. None where not said."""
    rows = [
        row
        for row, _ in on_route(evidence.quenched, where, evidence, route)
        if row.outcome is not None and medium in (None, row.medium)
    ]
    if not rows:
        return None
    return sum(row.count for row in rows if row.outcome in SPOILT), sum(row.count for row in rows)


def last_medium(evidence, where):
    """The medium that was tried last on the steel as it is."""
    rows = on_route(evidence.quenched, where, evidence, AS_IT_IS)
    return rows[-1][0].medium if rows else None
