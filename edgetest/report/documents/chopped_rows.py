"""Every row of a tool's log, and of those beside it, as its sheet tells them one by one."""

from itertools import groupby

from edgetest.chop.species import said_as
from edgetest.report.documents.blocks import section, table, text
from edgetest.report.documents.chopped_pieces import water_as_typed
from edgetest.report.documents.tools_beside import beside, tool_title
from edgetest.report.wording import NOT_NOTED, size_in_units, typed_in_units
from edgetest.store.chop_log import SEVERED, TOUCH_UP
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.wear.left_out_rows import mishap_told
from edgetest.study.words import counted, listed

WORK = (*SEVERED, "single")
KINDS = {"billet": "piece", "lumber": "stud", "single": "single chop", TOUCH_UP: "touched up",
         "inspection": "looked at"}  # fmt: skip
TAKEN = {"species": "wood", "moisture_pct": "water"}


def log_section(result, blade, units):
    """Every row of a tool's log in the order of the work: what, strokes, the edge afterwards."""
    rows = _log_rows(result, blade, units)
    if not rows:
        return []
    lead = "Each row of its log. “After” counts this tool's strokes up to then."
    lead += _days_words(result, blade)
    return [section("Piece by piece", text(lead, lead=True), table(LOG_HEADS, rows, close=True))]


def beside_sections(result, blade, units):
    """Rows of the shop's own blades beside a tool: the comparison rests on them, too.

    What was noted of them, what went amiss and what was left out can make a difference of its own.
    """
    found = []
    for other in beside(result, blade)[1:]:
        rows = _log_rows(result, other, units)
        if rows:
            steel = result.study.blade(other).steel or NOT_NOTED
            lead = f"Each row of {tool_title(result, other)}, tried beside this tool."
            lead += f" Steel: {steel}."
            lead += _days_words(result, other)
            rows_ = table(LOG_HEADS, rows, close=True)
            found.append(section("Beside it, piece by piece", text(lead, lead=True), rows_))
    return found


def _days_words(result, blade):
    """On which days a tool chopped, as typed, with its rows of each where there are several."""
    own = [row for row in result.log.rows if row.blade == blade and row.kind in WORK
           and not row.waiting]  # fmt: skip
    runs = [(day, [row.line for row in rows]) for day, rows in groupby(own, key=_day)]
    days = {day for day, _ in runs}
    if days <= {""}:
        return ""
    if len(days) == 1:
        return f" Chopped on {runs[0][0]}."
    told = [f"{day or 'a day that was not noted'} ({_rows_words(rows)})" for day, rows in runs]
    return f" Chopped on {listed(told)}."


def _day(row):
    """Date of a row as typed, else its day; "" where neither was noted."""
    if row.date or not row.day:
        return row.date
    return row.day if any(map(str.isalpha, row.day)) else f"day {row.day}"


def _rows_words(lines):
    """Rows of one day: row 4; rows 4 to 9."""
    return f"row {lines[0]}" if len(lines) == 1 else f"rows {lines[0]} to {lines[-1]}"


LOG_HEADS = [("Row", "right", "auto"), ("After", "right", "auto"), ("What", "left", 1.0),
             ("Piece", "left", 1.6), ("Board", "left", 0.7), ("Outcome", "left", 1.2),
             ("Edge afterwards", "left", 1.2), ("Note", "left", 1.2)]  # fmt: skip


def _log_rows(result, blade, units):
    """What the table says of each row of one blade that is filled in, if by a photograph alone."""
    made = strokes(result.log.rows)
    misses = any(row.near_misses is not None for row in result.log.rows)
    return [
        [row.line, made[row.line][1], _kind(row), _piece(row, units),
         row.board_or_block, _outcome(row, units, misses), _edge(row, units), _remark(row)]
        for row in result.log.rows
        if row.blade == blade and (row.photo or not row.waiting)
    ]  # fmt: skip


def _kind(row):
    """What was done in a row, in a word; no round piece is a stud."""
    return KINDS.get("billet" if row.kind == "lumber" and row.diameter_mm else row.kind, row.kind)


def _piece(row, units):
    """What was under the blade in one row: the wood by its one name, all else as typed."""
    sides = (side for side in (row.width_mm, row.thickness_mm) if side is not None)
    size = "\u00a0×\u00a0".join(size_in_units(side, "mm", units) for side in sides) or row.nominal
    if row.diameter_mm is not None:
        size = f"round, {size_in_units(row.diameter_mm, 'mm', units)}"
    parts = [said_as(row.species), water_as_typed(row.moisture_pct), _of_board(row), size,
             row.orientation, row.grain, _weighed(row, units)]  # fmt: skip
    knots = counted(row.knots, "knot") if row.knots else ""
    return ", ".join(part for part in (*parts, knots) if part)


def _of_board(row):
    """That wood or water of a piece is what is noted of its board."""
    taken = " and ".join(TAKEN[column] for column in row.from_board)
    return f"{taken} as its board" if taken else ""


def _weighed(row, units):
    """How the density of a piece is known, where it was weighed or given."""
    if row.density_kg_m3 is not None:
        return f"{row.density_kg_m3:g} kg/m³"
    if row.mass_g is None:
        return ""
    weight = f"weighed {size_in_units(row.mass_g, 'g', units)}"
    return weight + f" at {size_in_units(row.length_mm, 'mm', units)} long" * bool(row.length_mm)


def _outcome(row, units, misses):
    """Strokes, depth or how a trial ended; where `misses` were noted, also that none was."""
    parts = []
    if row.kind in SEVERED and row.chops is not None:
        count = row.chops
        told = f"over {count.lower:g}, still stood" if count.kind == "above" else _number(count)
        strokes_made = "stroke" if told == "1" else "strokes"
        parts.append(f"{told} {strokes_made}" if count.kind != "above" else told)
        open_misses = "near misses not noted" if misses and row.near_misses is None else ""
        parts.append(
            counted(row.near_misses, "near miss", "near misses") if row.near_misses else open_misses
        )
    if row.depth_mm is not None:
        parts.append(typed_in_units(f"{_number(row.depth_mm)} mm deep", units))
    parts.append({"pass": "passed", "fail": "failed"}.get(row.result, row.result))
    parts.append(f"bent to {row.bend_deg:g}°" if row.bend_deg is not None else "")
    parts.append(f"by {row.operator}" if row.operator and any(parts) else "")
    return ", ".join(part for part in parts if part)


def _number(reading):
    """A reading as it was written."""
    if reading.kind == "between":
        return f"{reading.lower:g} to {reading.upper:g}"
    if reading.kind == "above":
        return f"over {reading.lower:g}"
    return f"{reading.value if reading.value is not None else reading.upper:g}"


def _edge(row, units):
    """Damage that was counted at one row, in all since the edge was made."""
    parts = [
        counted(count or "no", word)
        for count, word in ((row.chips_count, "chip"), (row.rolls_count, "roll"))
        if count is not None
    ]
    if row.largest_chip_mm:
        largest = size_in_units(row.largest_chip_mm, "mm", units)
        parts.append(f"the largest chip {largest}")
    parts += [f"at: {row.damage_at}"] * bool(row.damage_at)
    return ", ".join(parts) or "photographed" * bool(row.photo)


def _remark(row):
    """Why a row is left out, what went amiss, and what was noted."""
    left = f"left out: {row.exclude}" if row.exclude else ""
    told = mishap_told(row.mishap)
    mishap = f"mishap: {told}" if told else ""
    return "; ".join(part for part in (left, mishap, mishap_told(row.note)) if part)
