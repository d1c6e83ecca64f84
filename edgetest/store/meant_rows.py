"""Which row of a log is meant by cells that were typed, where they leave its keys open?"""

from collections.abc import Iterable, Mapping, Sequence

from edgetest.errors import UnusableInput
from edgetest.store.chop_log import TOUCH_UP
from edgetest.store.log_sheet import KEYS, REMARKS, Sheet, same_cell
from edgetest.store.row_places import LOOKS, WORK, done, number_of, own_rows, runs_on

AGAIN = {
    "log": "if that row is wrong, enter it with --replace; number a reading taken again with "
    "check_no=2",
    "chops": "if that row is wrong, enter it with --replace; a further piece or look has an order "
    "of its own (order=…)",
}
PLACES = ("block", "board")
NAMED = {"log": ("blade", "cuts"), "chops": ("blade", "kind")}

Numbered = tuple[int, dict[str, str]]


def meant_cells(sheet: Sheet, cells: Mapping[str, str], table: str) -> dict[str, str]:
    """The cells with the key of the row that they mean, as far as only one can be meant.

    A reading of cuts gets the only block that it can be of, and the only place along the edge at
    which the log holds such a reading; a piece that names no board, that of
    the row with its number; a look without a number, that of the look that waits before the
    blade's work or after it.

    Parameters
    ----------
    sheet : Sheet
    cells : mapping
        As typed, with the decimal mark of the file.
    table : {"log", "chops"}

    Raises
    ------
    UnusableInput
        Where several rows of the piece's number wait, or the one that waits is of a board of
        another name; where a reading that names no place stands at some of this stage already.
    """
    told = dict(cells)
    if table == "log":
        block = sheet.only_block(told)
        return _at_its_place(sheet, {**told, "block": block} if block else told)
    bare = not sheet.answers(told, KEYS["chops"])
    if "exclude" in told and (bare or any(name in told for name in PLACES)):
        return told  # a remark, or a piece of whichever board was named
    kind = told.get("kind")
    if kind == "inspection" and "order" not in told:
        number = _look_that_waits(sheet, told)
        return told if number is None else {**told, "order": number}
    if kind in WORK and number_of(told) is not None:
        return _piece_meant(sheet, told)
    return told


def _at_its_place(sheet: Sheet, cells: dict[str, str]) -> dict[str, str]:
    """The cells of a reading that names no place, with the one of all such readings of the log.

    Raises
    ------
    UnusableInput
        Where such readings stand at several places, and this stage has them at places alone.
    """
    names = {*sheet.answers(cells, KEYS["log"])}
    if "station_mm" in cells or not all(cells.get(key) for key in NAMED["log"]):
        return cells
    held = [met for _, met in sheet.rows() if names & met.keys()]
    places = _places_of(held)
    if len(places) == 1:
        return {**cells, "station_mm": places[0]} if places[0] else cells
    keys = [key for key in (*NAMED["log"], "block") if key in cells]
    here = _places_of(met for met in held if _agrees(met, cells, keys))
    if not here or "" in here:
        return cells
    raise UnusableInput(
        f"{', '.join(sorted(names))} of this stage stands at {', '.join(here)} mm along the edge; "
        "of which place this one is, nobody said", "log.csv, station_mm",
        f"say the place, as in station_mm={here[0]}",
    )  # fmt: skip


def _places_of(rows: Iterable[Mapping[str, str]]) -> list[str]:
    """Places along the edge that rows name, each once; "" where one names none."""
    return list(dict.fromkeys(met.get("station_mm", "") for met in rows))


def _agrees(met: Mapping[str, str], cells: Mapping[str, str], keys: Sequence[str]) -> bool:
    return all(same_cell(met.get(key, ""), cells[key]) for key in keys)


def row_that_stands(sheet: Sheet, cells: Mapping[str, str], table: str) -> int | None:
    """The one row, noted already, whose blank cells these fill; None: a new row.

    Of a remark alone, the row of the reading that it speaks of. In a chop log also a piece, a look
    or a trial of the same number; of a trial without one, the only of its kind that does not hold
    these readings yet.

    Raises
    ------
    UnusableInput
        Where that row says something else in one of them, or several readings may be left out.
    """
    remark = not sheet.answers(cells, KEYS[table]) and _speaks_of(cells, table)
    if remark:
        alike = [(line, sheet.cells(line)) for line in _remarked(sheet, cells, table)]
    else:
        alike = [] if table == "log" or "exclude" in cells else _noted_alike(sheet, cells)
    if len(alike) != 1:
        return None
    line, there = alike[0]
    told = {name: cell for name, cell in cells.items() if name not in KEYS[table]}
    both = [(name, there[name], cell) for name, cell in told.items()
            if not same_cell(there.get(name, cell), cell)]  # fmt: skip
    if both:
        raise UnusableInput(_both_told(both), f"{table}.csv, row {line}", AGAIN[table])
    if remark and not told.keys() - there.keys():
        raise UnusableInput(_both_told([]), f"{table}.csv, row {line}", AGAIN[table])
    return line if told.keys() - there.keys() else None


def _speaks_of(cells: Mapping[str, str], table: str) -> bool:
    """Whether remarks speak of a row that is named: any of a wear log, what leaves out a chop."""
    remarks = REMARKS if table == "log" else {"exclude"}
    return bool(cells.keys() & remarks) and all(cells.get(key) for key in NAMED[table])


def _remarked(sheet: Sheet, cells: Mapping[str, str], table: str) -> list[int]:
    """Rows of the readings that a remark speaks of; a key that was not typed is any.

    Raises
    ------
    UnusableInput
        Where it leaves out a reading and there are several.
    """
    keys = [key for key in KEYS[table] if cells.get(key) or key == "check_no"]
    lines = list(sheet.answered_rows(cells, keys, any_reading=True))
    lines = lines or list(sheet.answered_rows(cells, keys, any_reading=True, left_out=True))
    if len(lines) > 1 and "exclude" in cells:
        bare = ", ".join(key for key in KEYS[table] if key not in keys and key in sheet.heading)
        raise UnusableInput(
            f"rows {', '.join(map(str, lines))} hold readings of it, and nothing was left out",
            f"{table}.csv, exclude",
            f"say which is meant ({bare})" if bare else "fill in exclude in the file",
        )
    return lines


def _noted_alike(sheet: Sheet, cells: Mapping[str, str]) -> list[Numbered]:
    """Rows of the same number; of a trial without one, those that lack what was typed."""
    kind, order = cells.get("kind"), number_of(cells)
    if kind is None or (order is None and kind in (*LOOKS, *WORK)):
        return []
    alike = [(line, met) for line, met in own_rows(sheet, cells)
             if met.get("kind") == kind and _same_places(met, cells)]  # fmt: skip
    if order is not None:
        return [(line, met) for line, met in alike if number_of(met) == order]
    named = {*(sheet.answers(cells, KEYS["chops"]) or REMARKS)}
    return [(line, met) for line, met in alike if not met.keys() & named]


def _both_told(both: Sequence[tuple[str, str, str]]) -> str:
    """Cells that say something else; those that say what was typed are no fault beside them."""
    unlike = [each for each in both if not same_cell(*each[1:])]
    if not unlike:
        return "all of this stands there already, and nothing was written"
    return "; ".join(
        f'{name} says "{old}" already, "{new}" was not written' for name, old, new in unlike
    )


def piece_before_look(sheet: Sheet, cells: Mapping[str, str], table: str) -> int:
    """Row of the last piece before a look without a number, which is of no row above it; else 0.

    Such a look is done now: what stands above that piece was seen before it was chopped.
    """
    if table != "chops" or cells.get("kind") not in LOOKS or "order" in cells:
        return 0
    work = [line for line, met in own_rows(sheet, cells) if met.get("kind") in WORK and done(met)]
    return max(work, default=0)


def refuse_doubled(sheet: Sheet, cells: Mapping[str, str], table: str) -> None:
    """Refuse a reading that stands already, with both versions."""
    above = piece_before_look(sheet, cells, table)
    answered = sheet.answered_rows(cells, KEYS[table])
    number = next((line for line in answered if line > above), None)
    if number is None:
        return
    there = sheet.cells(number)
    both = [(name, there[name], cells[name]) for name in sheet.answers(cells, KEYS[table])
            if name in there]  # fmt: skip
    told = {name for name, _, _ in both}
    both += [(name, there[name], cell) for name, cell in cells.items()
             if name not in told and there.get(name, cell) != cell]  # fmt: skip
    raise UnusableInput(_both_told(both), f"{table}.csv, row {number}", AGAIN[table])


def row_to_correct(sheet: Sheet, cells: Mapping[str, str], table: str) -> int:
    """The one row of the same keys that holds what is to be replaced, if none counts one left out.

    Cells that hold no reading, such as a wood or a note, are those of the one row that holds any;
    where none does, those of the one row of its keys that holds such a cell. A reading that no row
    holds goes where a cell typed beside it is to be replaced.

    Raises
    ------
    UnusableInput
        If no row holds it, or several do.
    """
    keys = [key for key in KEYS[table] if key not in PLACES or cells.get(key)]
    where, named = f"{table}.csv, --replace", sheet.answers(cells, keys)
    bare = not named
    numbers = list(sheet.answered_rows(cells, keys, any_reading=bare))
    numbers = numbers or list(sheet.answered_rows(cells, keys, left_out=True, any_reading=bare))
    others = _remarked_alone if bare else _holding_another
    numbers = numbers or others(sheet, cells, table)
    named = named or ["a reading"]
    if len(numbers) == 1:
        return numbers[0]
    of = ", ".join(f"{key} {cells[key]}" for key in keys if cells.get(key))
    if numbers:
        what = f"rows {', '.join(map(str, numbers))} of {of} hold {', '.join(named)}"
        mend = "name its block or board too, or correct the wrong one in the file"
        raise UnusableInput(what, where, mend)
    raise UnusableInput(
        f"no row of {of} holds {', '.join(named)} yet", where,
        _looked_after(sheet, cells, [key for key in keys if cells.get(key)])
        or "leave --replace out to enter it; to correct a row that stands, say whose it is: "
        + ", ".join(KEYS[table]) + " (mend one of these itself in the file or on the page Log)",
    )  # fmt: skip


def _looked_after(sheet: Sheet, cells: Mapping[str, str], keys: Sequence[str]) -> str:
    """Where counts after a touch-up that stands go; "" of other rows: entered, it is another."""
    stands = [number for number, met in sheet.rows() if _agrees(met, cells, keys)]
    if cells.get("kind") != TOUCH_UP or not stands:
        return ""
    of = f"row{'s' * (len(stands) > 1)} {', '.join(map(str, stands))}"
    return (
        f"what was seen after the touch-up of {of} is a look of its own: write a row of the kind"
        " inspection with the counts right below it in the file; without --replace you enter one"
        " more touch-up"
    )


def _remarked_alone(sheet: Sheet, cells: Mapping[str, str], table: str) -> list[int]:
    """Rows without a reading that hold one of these cells, of the keys that were typed."""
    keys = [key for key in KEYS[table] if cells.get(key)]
    told = cells.keys() - {*KEYS[table]}
    return [
        number for number, met in sheet.rows() if told & met.keys() and _agrees(met, cells, keys)
    ]


def _holding_another(sheet: Sheet, cells: Mapping[str, str], table: str) -> list[int]:
    """Rows with a reading, none of those typed, that hold another of the cells to be replaced."""
    keys = [key for key in KEYS[table] if key not in PLACES or cells.get(key)]
    told = cells.keys() - {*KEYS[table]}
    rows = [*sheet.answered_rows(cells, keys, any_reading=True),
            *sheet.answered_rows(cells, keys, left_out=True, any_reading=True)]  # fmt: skip
    return sorted({number for number in rows if told & sheet.cells(number).keys()})


def _look_that_waits(sheet: Sheet, cells: Mapping[str, str]) -> str | None:
    """Number of the look that waits before the blade's work, or after all of it."""
    own = own_rows(sheet, cells)
    work = [met for _, met in own if met.get("kind") in WORK]
    if any(map(done, work)) and not all(map(done, work)):
        return None
    before = not any(map(done, work))
    looks = [met for _, met in own if met.get("kind") == "inspection" and _waits(sheet, met)]
    fit = [met for met in looks if (number_of(met) == 0) == before and "order" in met]
    return fit[0]["order"] if len(fit) == 1 else None


def _piece_meant(sheet: Sheet, cells: dict[str, str]) -> dict[str, str]:
    """The cells of a piece with the board of the row that has its number."""
    alike = [
        (line, met)
        for line, met in own_rows(sheet, cells)
        if met.get("kind") == cells["kind"] and number_of(met) == number_of(cells)
    ]
    waiting = [(line, met) for line, met in alike if not done(met)]
    if any(name in cells for name in PLACES):
        _refuse_other_board(sheet, cells, alike, waiting)
        return cells
    if len(alike) > 1 and len(waiting) > 1:
        raise UnusableInput(
            f"{_piece(cells)} waits in rows {', '.join(str(line) for line, _ in waiting)}, each "
            "of another board", "chops.csv, new row, board", "say of which board it was, board=…",
        )  # fmt: skip
    met = alike if len(alike) == 1 else waiting
    return (
        {**cells, **{name: met[0][1][name] for name in PLACES if name in met[0][1]}}
        if (met)
        else cells
    )


def _refuse_other_board(
    sheet: Sheet,
    cells: Mapping[str, str],
    alike: Sequence[Numbered],
    waiting: Sequence[Numbered],
) -> None:
    """Refuse a piece whose number waits under another board, where each number stands once."""
    if not waiting or any(_same_places(met, cells) for _, met in alike):
        return
    if not runs_on([met for _, met in sheet.rows() if not met.get("exclude")]):
        return
    line, met = waiting[0]
    column = next(name for name in PLACES if name in cells)
    there = met.get(column) or met.get("board") or met.get("block") or ""
    raise UnusableInput(
        f'{_piece(cells)} waits in row {line} and is of "{there}"; "{cells[column]}" was not '
        "written",
        f"chops.csv, new row, {column}",
        f"leave {column} out, or write {column}={there!r}, to fill that row in; of another board, "
        "mend the board of that row in the file first; a further piece has an order of its "
        f"own, order={_next_number(sheet, cells)}",
    )


def _next_number(sheet: Sheet, cells: Mapping[str, str]) -> int:
    """The first number that no row of the blade's pieces of this kind has, past all of theirs."""
    own = [met for _, met in own_rows(sheet, cells) if met.get("kind") == cells["kind"]]
    return max((number_of(met) or 0 for met in own), default=0) + 1


def _same_places(met: Mapping[str, str], cells: Mapping[str, str]) -> bool:
    """Whether a row is of the block and board that were typed, or leaves them open."""
    return all(
        name not in met or met[name].casefold() == cells.get(name, met[name]).casefold()
        for name in PLACES
    )


def _waits(sheet: Sheet, met: Mapping[str, str]) -> bool:
    return not sheet.answers(met, KEYS["chops"])


def _piece(cells: Mapping[str, str]) -> str:
    return f"{cells['kind']} {cells['order']} of {cells.get('blade', '')}"
