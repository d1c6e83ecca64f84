"""What was chopped, as the log says it: a table by wood and size, and the rows one by one."""

from itertools import groupby
from math import floor, inf, log

from edgetest.chop.as_chopped import SAME_SIZE
from edgetest.chop.species import said_as
from edgetest.chop.wood import wood_state
from edgetest.report.documents.blocks import section, table, text
from edgetest.report.documents.tools_beside import beside, tool_title
from edgetest.report.wording import NOT_NOTED, size_in_units, typed_in_units
from edgetest.store.chop_log import SEVERED, TOUCH_UP
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.wear.left_out_rows import mishap_told
from edgetest.study.words import counted, listed

WORK = (*SEVERED, "single")
FEW = 2  # sizes of one figure that are both told
MOST_COUNTS = 12  # strokes of so many pieces are listed in one cell of the table
KINDS = {"billet": "piece", "lumber": "stud", "single": "single chop", TOUCH_UP: "touched up",
         "inspection": "looked at"}  # fmt: skip
TAKEN = {"species": "wood", "moisture_pct": "water"}
WATER = {"green": "green", "air_dry": "air-dry", "oven_dry": "oven-dry"}


def wood_words(result, one):
    """Wood and water of what was chopped."""
    rows = rows_of(result, one)
    names = dict.fromkeys(said_as(row.species) for row in rows if row.species)
    name = one.wood or " or ".join(names) or "wood not noted"
    waters = list(dict.fromkeys(row.moisture_pct for row in rows))
    if len(waters) > 1 and all(isinstance(water, float | int) for water in waters):
        return f"{name}, {min(waters):g} to {max(waters):g} % water"
    same = {wood_state(water) if isinstance(water, str) else water for water in waters}
    told = _water(waters[0] if len(waters) == 1 else same.pop()) if len(same) == 1 else ""
    return f"{name}, {told}" if told else name


def cross_section_words(result, one, units):
    """Cross-section of what was chopped, as typed where all pieces are typed alike."""
    rows = rows_of(result, one)
    lies = {"": "", "not noted": ", which way up not noted"}
    way = lies.get(one.section.lies, f", {one.section.lies}")
    nominal = {row.nominal for row in rows}
    if len(nominal) == 1 and "" not in nominal:
        return f"{nominal.pop()}{way}"
    if one.section.diameter_mm is not None:
        return f"round, {_side(rows, one, 'diameter_mm', units)}"
    wide, thick = (_side(rows, one, name, units) for name in SIDES)
    number, _, unit = wide.rpartition(" ")
    alike = units == "metric" and thick.endswith(f" {unit}")
    return f"{number if alike else wide} × {thick}{way}"


def people_words(result, one):
    """That several hands, or several days, widen a mean: each is one of many, see `as_chopped`."""
    rows = rows_of(result, one)
    hands = {row.operator for row in rows}
    days = {row.day or row.date for row in rows}
    named = sorted(hands - {""})
    if len(hands) == 1:
        many = len(days) > 1
        wider = f" Chopped on {len(days)} days: days differ, so the interval is wider for it."
        return wider if many else ""
    who = f"were chopped by {listed(named)}"
    who += ", and of some it is not noted by whom" if "" in hands else ""
    on = f", on {counted(len(days), 'day')}" if len(days) > 1 else ""
    return f" These pieces {who}{on}: hands differ, so the interval is wider for it."


def _side(rows, one, name, units):
    """One side of the pieces: as typed where all are typed alike, else their mean.

    Two thicknesses of round pieces that count as one size are both told, of more their ends.
    """
    sides = [side for row in rows if (side := getattr(row, name)) is not None]
    typed = [size_in_units(side, "mm", units) for side in sides]
    typed = list(dict.fromkeys(typed))
    few = len(typed) == 1 or (name == "diameter_mm" and len(typed) == FEW)
    if not few and name == "diameter_mm":
        least, most = (f"{float(side):.3g} mm" for side in (min(sides), max(sides)))
        least = least.removesuffix(" mm") if units == "metric" else least
        return typed_in_units(f"{least} to {most}", units)
    return listed(typed) if few else typed_in_units(f"{getattr(one.section, name):.3g} mm", units)


SIDES = ("width_mm", "thickness_mm")


def rows_of(result, one):
    """Rows of the log behind one figure."""
    wanted = set(one.rows)
    return [row for row in result.log.rows if row.line in wanted]


def strokes_words(one):
    """Mean strokes for a piece and its interval; a bound where nothing was severed."""
    mean = one.strokes_per_piece
    if mean.high == inf:
        return f"over {floor(mean.low)}", ""
    return one.mean_words()


def pieces_table(result, blade, units):
    """Wood, size, pieces, strokes and their mean, a row for each that a tool severed."""
    other = next((name for name in beside(result, blade)[1:2] if _rows(result, name)), None)
    heads = [("Wood", "left", 1.3), ("Piece", "left", 1.25), ("Strokes for each", "left", 1.2),
             ("Mean (interval)", "right", "auto")]  # fmt: skip
    heads += [(f"{other} took", "right", "auto")] if other else []
    rows, mine = [], _rows(result, blade)
    for one in mine:
        row = [
            wood_words(result, one),
            cross_section_words(result, one, units),
            _each(one),
            _mean(one),
        ]
        if other:
            theirs = [two for two in _rows(result, other) if _nearest(result, two, mine) is one]
            like = _nearest(result, one, theirs)
            row.append(f"{_mean(like)}{_on_its_boards(result, one, like)}" if like else "–")
        rows.append(row)
    return table(heads, rows, close=True)


def _rows(result, blade):
    return [one for one in result.as_chopped if one.blade == blade]


def _alike(one, two):
    """Whether two figures are of one wood and size."""
    return one.wood == two.wood and one.section.like(two.section, SAME_SIZE)


def _nearest(result, one, others):
    """Of others of this wood and size one of its boards, else the nearest in size; else None."""
    board = {row.line: row.board for row in result.log.rows}

    def apart(two):
        shared = {board[row] for row in one.rows} & {board[row] for row in two.rows} - {""}
        return not shared, abs(log(two.section.area_cm2 / one.section.area_cm2))

    return min((other for other in others if _alike(one, other)), key=apart, default=None)


def _on_its_boards(result, one, two):
    """Where another tool's pieces are not of the same boards: of how many, and what stands beside.

    Boards differ, so that a mean of one board says nothing beside the mean of two.
    """
    board = {row.line: row.board for row in result.log.rows}
    mine, theirs = ({board[row] for row in each.rows} for each in (one, two))
    if mine == theirs or "" in mine | theirs:
        return ""
    if not mine & theirs:
        return ", on other boards"
    strokes_there = [str(n) for row, n in zip(one.rows, one.strokes, strict=True)
                     if board[row] in theirs]  # fmt: skip
    also = f" and {counted(len(theirs - mine), 'other board')}" if theirs - mine else ""
    if mine <= theirs:
        return f", also on {counted(len(theirs - mine), 'other board')}"
    took = ", ".join(strokes_there[:MOST_COUNTS])
    return f", on {listed(sorted(mine & theirs))}{also}, where {one.blade} took {took}"


def _mean(one):
    value, interval = strokes_words(one)
    words = f"{value} ({interval})" if interval else value
    if one.strokes_per_piece.high == inf:
        made = f" in {listed(str(count).removeprefix('>') for count in one.strokes[:MOST_COUNTS])}"
        none = "not severed" if one.pieces == 1 else f"none of {one.pieces} severed"
        none += made if one.pieces <= MOST_COUNTS else ""
        return f"{none} (mean of pieces like it: {words})"
    fell = f"{one.standing} of {one.pieces} not severed" if one.standing else ""
    return f"{words}, {fell}" if fell else words


def _each(one):
    """Strokes piece by piece, the first of many."""
    told = [str(count) for count in one.strokes]
    if len(told) > MOST_COUNTS:
        return f"{', '.join(told[:MOST_COUNTS])} and {len(told) - MOST_COUNTS} more"
    return ", ".join(told)


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
    parts = [said_as(row.species), _water(row.moisture_pct), _of_board(row), size,
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


def _water(moisture):
    """Water of the wood as typed."""
    if moisture is None or moisture == "":
        return ""
    if isinstance(moisture, str):
        return WATER.get(moisture.replace("-", "_"), moisture)
    return f"{moisture:g} % water"


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
