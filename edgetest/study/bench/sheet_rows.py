"""Which boxes does the bench sheet have, so that all that is in them can go into the log?"""

from dataclasses import dataclass, replace
from itertools import groupby

from edgetest.store.log_templates import photo_columns
from edgetest.study.bench.chop_actions import FACTS, PIECE, SEVERED, TITLES, taken_of
from edgetest.study.words import counted
from edgetest.units import as_typed

PHOTO_WORDS = {"edge_width_um": "photograph", "w30_um": "photograph between lamps"}
# What holds for many rows is asked for once a page, where the log has a column for it.
OF_A_PAGE = {"operator": "Operator", "batch": "Roll or bundle", "day": "Day", "date": "Date"}
PIECE_WORDS = FACTS | {
    "diameter_mm": "or diameter (mm)",
    "nominal": "Size as sold",
    "orientation": "Flat or on edge",
    "density_kg_m3": "Density (kg/m³)",
    "length_mm": "Length (mm)",
    "mass_g": "Mass (g)",
    "notch_angle_deg": "Notch (°)",
}
MORE = {
    "blade": "Blade",
    "kind": "Touch-up, look, rope, knot …",
    "order": "After piece number",
    "result": "Pass or fail",
    "chips_count": "Chips now, in all",
    "rolls_count": "Rolls now, in all",
    "note": "Note",
}
MORE_TURNS = 2
MORE_HEADING = "What else was done"
# Of one piece alone and seldom taken: they share the box for words.
BESIDE_THE_NOTE = {
    "mishap": "mishap",
    "mass_g": "mass (g)",
    "knots": "knots",
    "notch_angle_deg": "notch (°)",
}
OF_PIECE_TITLES = {
    "chips_count": "Chips on the edge now, in all",
    "rolls_count": "Rolls on the edge now, in all",
}


@dataclass(frozen=True)
class Box:
    """One box: the column of the log that it goes into, and the words in its corner."""

    column: str
    words: str


@dataclass(frozen=True)
class SheetTurn:
    """One blade at one stage: what is written down before the next blade's turn.

    `head` is asked for once for all turns of the block: of a board, what holds for all its pieces.
    """

    block: str
    blade: str
    stage: str
    boxes: tuple[Box, ...]
    head: tuple[Box, ...] = ()


def sheet_turns(name, records, protocol):
    """The turns of a log to come, in its order.

    Parameters
    ----------
    name : {"log", "chops"}
    records : list of list of str
        Heading and rows, as of `edgetest.study.wear.saved_plan.log_to_come`.
    protocol : Protocol

    Returns
    -------
    tuple of SheetTurn
        Boxes for every reading that the rows take, for the number of each photograph, and one
        for what went wrong and one for a note. A piece of a board that is named takes one line:
        what holds for the board is asked for once.
    """
    heading, *rows = records
    cells = [dict(zip(heading, row, strict=True)) for row in rows]
    once = tuple(Box(column, words) for column, words in OF_A_PAGE.items() if column in heading)
    last = tuple(Box(column, column.capitalize()) for column in ("mishap", "note")
                 if column in heading)  # fmt: skip
    if name == "chops":
        if "date" not in heading:  # `enter` and a hand add that column where a day is noted
            once = tuple(replace(box, words="Operator, date") if box.column == "operator" else box
                         for box in once)  # fmt: skip
        return tuple(_chop_turns(cells, protocol, last, once))
    if "life" in heading:
        lasted = Box("life", f"Life, {protocol.life_unit}")
        return tuple(
            SheetTurn(row.get("block", ""), row["blade"], "", (lasted, *last), once)
            for row in cells
        )
    if {"mishap", "note"} <= set(heading):
        last = (Box("note", "Note, mishap"),)  # one box: a turn takes a line less
    return tuple(
        SheetTurn(
            block, blade, counted(int(cuts), protocol.life_unit.removesuffix("s")),
            (*_cut_boxes(list(group), heading, protocol), *last), once,
        )
        for (block, cuts, blade), group in groupby(
            cells, lambda row: (row.get("block", ""), row["cuts"], row["blade"])
        )
    )  # fmt: skip


def more_turns(name, records):
    """Blank turns for what no row waits for: a touch-up, a look between, a further test.

    Parameters
    ----------
    name : {"log", "chops"}
    records : list of list of str
        Heading and rows.

    Returns
    -------
    tuple of SheetTurn
        None beside a log of cuts.
    """
    if name != "chops":
        return ()
    held = [column for column in MORE if column in (*records[0], "blade", "kind")]
    boxes = tuple(Box(column, MORE[column]) for column in held)
    return (SheetTurn("", "", MORE_HEADING, boxes),) * MORE_TURNS


def _chop_turns(cells, protocol, last, once):
    """The turns of a chop log; a board's pieces have its wood in their head."""
    by_board: dict[str, list] = {}
    for row in cells:
        if row["kind"] in SEVERED and _board(row):
            by_board.setdefault(_board(row), []).append(row)
    heads = {board: (*_wood_boxes(rows), *once) for board, rows in by_board.items()}
    found: list[SheetTurn] = []
    ends: dict[str, int] = {}  # where a blade's inspection at the end stands among them
    for row in cells:
        turn = _chop_turn(row, protocol, heads, last, once)
        at = ends.get(row["blade"])
        if at is not None and _apart(found[at], turn):
            stage = f"{found[at].stage}, {turn.stage}"
            boxes = _with(found[at].boxes, turn.boxes)
            found[at] = replace(found[at], stage=stage, boxes=boxes)
            continue
        if row["kind"] == "inspection" and row["order"] != "0":
            ends[row["blade"]] = len(found)
        found.append(turn)
    return found


def _chop_turn(row, protocol, heads, last, once):
    """The turn of one row; `heads` are what is asked of each board."""
    board, kind = _board(row), row["kind"]
    if kind in SEVERED and board:
        boxes = (*_read_boxes(row, protocol, OF_PIECE_TITLES), _words_box(row))
        return SheetTurn(board, row["blade"], _piece(row), boxes, heads[board])
    facts = [Box(name, PIECE_WORDS[name]) for name in PIECE.get(kind, ()) if row.get(name) == ""]
    read = tuple(_read_boxes(row, protocol, {}))
    if facts:
        return SheetTurn(board, row["blade"], _piece(row), (*facts, *read, *last), once)
    return SheetTurn(board, row["blade"], _piece(row), (*read, *once, _words_box(row)))


def _apart(look, turn):
    """Whether what is tried at the end stands in the line of the blade's last inspection."""
    own = [box.column for box in _read(turn.boxes)]
    return bool(own) and not {box.column for box in look.boxes} & set(own)


def _read(boxes):
    return tuple(box for box in boxes if box.column not in (*OF_A_PAGE, "note"))


def _board(row):
    return row.get("block") or row.get("board", "")


def _with(own, more):
    """Boxes with what is read of `more` behind what is read."""
    place = len(_read(own))
    return (*own[:place], *_read(more), *own[place:])


def _wood_boxes(rows):
    """What is asked of a board for all its pieces, where any of them lacks it."""
    kind = rows[0]["kind"]
    for column in PIECE[kind]:
        if column not in BESIDE_THE_NOTE and any(row.get(column) == "" for row in rows):
            yield Box(column, PIECE_WORDS[column])


def _words_box(row):
    """The one box for words of a piece, and for what is seldom taken of it."""
    held = ("mishap", *PIECE.get(row["kind"], ()))
    beside = {column: words for column, words in BESIDE_THE_NOTE.items()
              if column in held and row.get(column) == ""}  # fmt: skip
    return Box("note", f"Note: {', '.join(beside.values())}" if beside else "Note")


def _cut_boxes(rows, heading, protocol):
    """Boxes of one blade at one stage, reading by reading as the bench asks for them."""
    photographed = photo_columns(list(heading)) and "photo" in heading
    for rule in protocol.readings:
        if rule.name not in heading and not (rule.name in PHOTO_WORDS and "photo" in heading):
            continue
        places = [row for row in rows if _holds(row, rule)]
        unit = f", {rule.unit}" if rule.unit else ""
        title = f"{rule.title[:1].upper()}{rule.title[1:]}{unit}"
        for row in places:
            yield Box(rule.name, f"{title} {_place(row, rule)}".strip())
        if photographed and rule.name in PHOTO_WORDS:
            for row in places:
                words = f"Number of {PHOTO_WORDS[rule.name]} {_place(row, rule)}"
                yield Box("photo", words.strip())


def _holds(row, rule):
    """Whether a row of the log takes a reading: at its place, as often as it is read."""
    at_station = row.get("station_mm", "") != ""
    return at_station == rule.at_stations and int(row.get("check_no") or 1) <= rule.repeats


def _place(row, rule):
    """Station and number of the reading, as short as can be."""
    station = row.get("station_mm", "")
    at = f"at {as_typed(float(station), 'mm')}" if station else ""
    return f"{at} {'#' + row['check_no'] if rule.repeats > 1 and row.get('check_no') else ''}"


def _piece(row):
    if row["kind"] == "inspection":
        return "inspection before" if row["order"] == "0" else "inspection at the end"
    if row["kind"] in (*SEVERED, "single"):
        return f"{'chop' if row['kind'] == 'single' else row['kind']} {row['order']}"
    return row["kind"]


def _read_boxes(row, protocol, titles):
    """Boxes of one row of a chop log: what is read, and the photograph."""
    rules = {rule.name: rule for rule in protocol.readings}
    for column in _read_of(row, protocol):
        if column in titles:
            yield Box(column, titles[column])
            continue
        title, unit = TITLES.get(column, ("", ""))
        if not title:
            rule = rules.get(column)
            title, unit = (rule.title, rule.unit) if rule else (column.replace("_", " "), "")
        yield Box(column, f"{title[:1].upper()}{title[1:]}{', ' + unit if unit else ''}")
    if "photo" in row and row["kind"] in (*SEVERED, "inspection", "single"):
        yield Box("photo", "Number of photograph")


def _read_of(row, protocol):
    """Columns that are read of a row and that it has."""
    taken = list(taken_of(row["kind"], protocol))
    if row["kind"] in SEVERED:
        taken.insert(1, "near_misses")
        if "chips_count" in taken:
            taken.append("rolls_count")
    if "chips_count" in taken:
        taken.append("largest_chip_mm")
    return [column for column in taken if column in row]
