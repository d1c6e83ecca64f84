"""What was chopped, as the log says it: a table by wood and size."""

from dataclasses import replace
from math import floor, inf, log

from edgetest.chop.as_chopped import SAME_SIZE
from edgetest.chop.species import said_as
from edgetest.chop.wood import wood_state
from edgetest.report.documents.blocks import table
from edgetest.report.documents.tools_beside import beside
from edgetest.report.wording import size_in_units, typed_in_units
from edgetest.study.words import counted, listed

LIKE = 1.3  # in area: sizes of poles of which the counts are told together; our choice
FEW = 2  # sizes of one figure that are both told
MOST_COUNTS = 12  # strokes of so many pieces are listed in one cell of the table
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
    told = water_as_typed(waters[0] if len(waters) == 1 else same.pop()) if len(same) == 1 else ""
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


def _side(rows, one, name, units):
    """One side of the pieces: as typed where all are typed alike, else their mean.

    Two thicknesses of round pieces that count as one size are both told, of more their ends.
    """
    sides = [side for row in rows if (side := getattr(row, name)) is not None]
    once = {float(side): side for side in reversed(sides)}  # "1.25in" and "1.25 in" are one size
    typed = [size_in_units(once[size], "mm", units) for size in dict.fromkeys(map(float, sides))]
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
            _each(result, one),
            _mean(one),
        ]
        if other:
            theirs = [two for two in _rows(result, other) if _nearest(result, two, mine) is one]
            like = _nearest(result, one, theirs)
            beside_it = like and f"{_mean(like)}{_not_plain(result, like)}"
            beside_it = like and f"{beside_it}{_of_size(result, one, like, units)}"
            row.append(f"{beside_it}{_on_its_boards(result, one, like)}" if like else "–")
        rows.append(row)
    return table(heads, rows, close=True)


def _rows(result, blade):
    return [one for one in result.as_chopped if one.blade == blade]


def alike_figures(one, two):
    """Whether two figures are of one wood, green or dry alike, and of one size."""
    wood = (one.wood, one.green) == (two.wood, two.green)
    return wood and one.section.like(two.section, SAME_SIZE)


def _nearest(result, one, others):
    """Of others of this wood and size one of its boards, else the nearest in size; else None."""
    board = {row.line: row.board for row in result.log.rows}

    def apart(two):
        shared = {board[row] for row in one.rows} & {board[row] for row in two.rows} - {""}
        return not shared, abs(log(two.section.area_cm2 / one.section.area_cm2))

    return min((other for other in others if alike_figures(one, other)), key=apart, default=None)


def _of_size(result, one, two, units):
    """The size of another tool's pieces, where it is not that of the row they stand in."""
    if _sides_noted(result, one) == _sides_noted(result, two):
        return ""  # though it may be typed otherwise
    mine, theirs = (cross_section_words(result, each, units) for each in (one, two))
    return f", of {theirs.removeprefix('round, ')}" if theirs != mine else ""


def _sides_noted(result, one):
    """The sizes of a figure's pieces as numbers, however they were typed, and how they lay."""
    return {(row.diameter_mm, row.width_mm, row.thickness_mm, row.nominal, row.orientation)
            for row in rows_of(result, one)}  # fmt: skip


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


def _each(result, one):
    """Strokes piece by piece, the first of many; knots in the cut and a count noted as a range."""
    rows = {row.line: row for row in rows_of(result, one)}
    told = [
        _one_count(rows[line], count) for line, count in zip(one.rows, one.strokes, strict=True)
    ]
    if len(told) > MOST_COUNTS:
        return f"{', '.join(told[:MOST_COUNTS])} and {len(told) - MOST_COUNTS} more"
    return ", ".join(told)


def _one_count(row, count):
    """Strokes of one piece as noted, with the knots that cost some of them."""
    knots = f" ({'knot' if row.knots == 1 else f'{row.knots} knots'})" if row.knots else ""
    return f"{_range(row) or count}{knots}"


def _range(row):
    """A count that was noted as a range; "" of others."""
    return f"{row.chops.lower:g} to {row.chops.upper:g}" if row.chops.kind == "between" else ""


def _not_plain(result, one):
    """Of a mean beside another: knots in the cut, and counts that were noted as a range."""
    rows = rows_of(result, one)
    knotty = sum(bool(row.knots) for row in rows)
    of = "" if len(rows) == 1 else f" in {knotty} of {len(rows)}"
    ranges = ", ".join(filter(None, map(_range, rows)))
    return (f", knots{of}" if knotty else "") + (f", noted as {ranges}" if ranges else "")


def water_as_typed(moisture):
    """Water of the wood as typed."""
    if moisture is None or moisture == "":
        return ""
    if isinstance(moisture, str):
        return WATER.get(moisture.replace("-", "_"), moisture)
    return f"{moisture:g} % water"


def of_like_sizes(result, blade, main, units):
    """What the round pieces of a wood took over all sizes like the headline's.

    Natural poles are of many sizes: each is a row of its own, and the headline may rest on one.

    Parameters
    ----------
    result : ChopResult
    blade : str
    main : AsChopped
        The figure of the headline.
    units : {"metric", "inch", "both"}

    Returns
    -------
    str
        A sentence; "" where no more boards stand beside the headline's, or one still stood.
    """
    own = [one for one in _rows(result, blade) if _of_like_size(result, one, main)]
    boards = {row.board for one in own for row in rows_of(result, one)}
    whole = main.section.diameter_mm is not None and not any(one.standing for one in own)
    if not whole or "" in boards or len(boards) <= main.boards:
        return ""
    lines = tuple(row for one in own for row in one.rows)
    counts = [count for one in own for count in one.strokes]
    least, most = min(counts), max(counts)
    took = f"{least} to {most}" if most > least else f"{most}"
    size = cross_section_words(result, replace(main, rows=lines), units)
    return (
        f"All {len(counts)} pieces of {wood_words(result, main)}, {size}, from {len(boards)}"
        f" boards: {took} strokes each{_of_other_sizes(result, blade, main, own, units)}."
    )


def _of_other_sizes(result, blade, main, told, units):
    """What pieces of the headline's wood took that are too thick or too thin for its sentence."""
    of_wood = wood_words(result, main)
    mine = (one for one in _rows(result, blade) if one.section.diameter_mm is not None)
    more = [one for one in mine if one not in told and wood_words(result, one) == of_wood]
    counts = [int(str(count).removeprefix(">")) for one in more for count in one.strokes]
    if not counts:
        return ""
    lines = tuple(row for one in more for row in one.rows)
    size = cross_section_words(result, replace(main, rows=lines), units).removeprefix("round, ")
    stood = any(one.standing for one in more)
    least, most = min(counts), max(counts)
    took = f"{least} to {most}" if most > least else f"{most}"
    took = f"{least} and more" if stood else took
    return f"; {counted(len(counts), 'more piece')}, {size}: {took}"


def _of_like_size(result, one, main):
    """Whether a figure is of the headline's wood, wet or dry alike, and of a size near it."""
    wood = wood_words(result, one) == wood_words(result, main)
    return one is main or (wood and one.section.like(main.section, LIKE))
