"""Where in a chop log does a row go that is entered late? Its rows are the order of the work."""

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from edgetest.store.days import calendar_day
from edgetest.store.log_sheet import KEYS, Sheet
from edgetest.store.other_days import past_earlier, past_others
from edgetest.store.records import load_study
from edgetest.store.stage_places import place_of_stage

WORK = ("billet", "lumber", "single")  # kinds whose order is the number of the piece or chop
TOUCHED_UP = "touch-up"
LOOKS = ("inspection", TOUCHED_UP)


def place_of(
    folder: Path, sheet: Sheet, cells: Mapping[str, str], table: str, *, placed: bool
) -> int | None:
    """Number of the row that a new one belongs above; None: at the end, as where not placed."""
    if not placed:
        return None
    if table == "chops":
        return place_in_work(folder, sheet, cells)
    return place_of_stage(sheet, cells)


def turn_of_done(sheet: Sheet, number: int) -> int | None:
    """Number of the row that a piece which was just done belongs above; None where it stands.

    It was done before all that still waits, whatever row it was planned in: it goes above the
    first piece of any blade and the first look or test of its own that wait, yet below what of
    its own blade was done before.
    """
    mine = sheet.cells(number)
    if mine.get("kind") not in WORK or not done(mine):
        return None
    above = [(line, met) for line, met in sheet.rows() if line < number and not met.get("exclude")]
    own = _own(above, mine)
    last = max((line for line, met in own if met.get("kind") in WORK and done(met)), default=0)
    waiting = [
        line for line, met in above
        if line > last and _open(sheet, met) and (met.get("kind") in WORK or (line, met) in own)
    ]  # fmt: skip
    return min(waiting, default=None)


def place_in_work(folder: Path, sheet: Sheet, cells: Mapping[str, str]) -> int | None:
    """Number of the row that a new row of work belongs above; None: at the end.

    A piece goes above the blade's pieces of a higher number, above the tests that close the
    protocol where the other blades had the same number before these, and above closing tests
    that were not made yet. One that was chopped goes above pieces that wait and above those of a
    later date, where its number leaves that open. A look before the work (number 0) goes above
    the blade's work; any other look and a touch-up go where that stands, see `after_work`, and
    below the blade's rows of an earlier date, above those of a later one. All go below rows of
    other blades of an earlier date, and a piece that was just done below every piece done.

    Parameters
    ----------
    folder : Path
        The study.
    sheet : Sheet
        Its chop log.
    cells : mapping
        Of the new row.
    """
    kind, number = cells.get("kind", ""), number_of(cells)
    if kind not in (*WORK, *LOOKS):
        return None
    every = [(line, met) for line, met in sheet.rows() if not met.get("exclude")]
    if (kind, number) == ("inspection", 0):
        return next((line for line, met in _own(every, cells) if _looks_back(met, cells)), None)
    if kind in LOOKS:
        own = own_rows(sheet, cells)
        place = _above_later(own, cells, _below_earlier(own, cells, _place_of_look(sheet, cells)))
        return past_earlier(every, cells, past_others(every, cells, place))
    run_on = runs_on([*(met for _, met in every), cells])
    rows = [(line, met) for line, met in every if run_on or _one_place(met, cells)]
    closing = load_study(folder).rules.closing
    own = _own(rows, cells)
    place = _place_of_piece(sheet, rows, own, (kind, number), closing)
    place = _ahead(place, every, cells, _numbered(rows, own, kind, number)[1])
    place = _below_done(sheet, place, every, cells)
    return past_earlier(every, cells, place)


def _ahead(
    place: int | None,
    every: Sequence[tuple[int, dict[str, str]]],
    cells: Mapping[str, str],
    earlier: int,
) -> int | None:
    """The place of a piece, or above the first that waits or came later, below an earlier number's.

    Only a piece that is done goes above those that wait.
    """
    work = [(line, met) for line, met in every if met.get("kind") in WORK]
    after = [*_waiting(work), *_dated_later(work, cells)] if done(cells) else []
    first = min(after, default=0)
    return place if first <= earlier else min(first, place or first)


def _waiting(work: Sequence[tuple[int, dict[str, str]]]) -> list[int]:
    """Pieces that wait below all that were chopped."""
    last = max((line for line, met in work if done(met)), default=0)
    return [line for line, _ in work if line > last]


def _dated_later(work: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str]) -> list[int]:
    """Chopped pieces of a later date than a new one.

    None where a piece that was chopped has no date, or their dates fall down the rows.
    """
    days = {line: calendar_day(met.get("date", "")) for line, met in work if done(met)}
    told = {line: day for line, day in days.items() if day is not None}
    mine = calendar_day(cells.get("date", ""))
    if mine is None or len(told) < len(days) or list(told.values()) != sorted(told.values()):
        return []
    return [line for line, day in told.items() if day > mine]


def _above_later(
    own: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str], place: int | None
) -> int | None:
    """The place of a look, or above the first piece of a later date and what led to that."""
    work = [(line, met) for line, met in own if met.get("kind") in WORK]
    later, mine = _dated_later(work, cells), calendar_day(cells.get("date", ""))
    if not later or mine is None:
        return place
    before = max((line for line, _ in work if line < later[0]), default=0)
    days = ((line, calendar_day(met.get("date", ""))) for line, met in own if line > before)
    first = next(line for line, day in days if day is not None and day > mine)
    return min(first, place or first)


def _below_earlier(
    own: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str], place: int | None
) -> int | None:
    """The place of a look, or below the last row of an earlier date; as it is if dates fall."""
    days = [(line, calendar_day(met.get("date", ""))) for line, met in own]
    told = [day for _, day in days if day is not None]
    mine = calendar_day(cells.get("date", ""))
    if place is None or mine is None or told != sorted(told):
        return place
    last = max((line for line, day in days if day is not None and day < mine), default=0)
    if last < place:
        return place
    return last + 1 if any(line > last for line, _ in own) else None


def _below_done(
    sheet: Sheet,
    place: int | None,
    every: Sequence[tuple[int, dict[str, str]]],
    cells: Mapping[str, str],
) -> int | None:
    """The place of a piece that is done, moved down below every piece that was done before it.

    As it is above rows of its own blade that hold something: it was forgotten until now.
    """
    if place is None or not done(cells):
        return place
    own = [(line, met) for line, met in _own(every, cells) if line >= place]
    if not all(_open(sheet, met) for _, met in own):
        return place
    later = _dated_later([one for one in every if one[1].get("kind") in WORK], cells)
    last = max(
        (n for n, met in every if met.get("kind") in WORK and done(met) and n not in later),
        default=0,
    )
    below = min([max(place, last + 1), *(line for line, _ in own)])
    return below if sheet.has(below) else None


def own_rows(sheet: Sheet, cells: Mapping[str, str]) -> list[tuple[int, dict[str, str]]]:
    """Number and cells of the rows of a blade that count, of one block where one is named."""
    block = cells.get("block", "")
    return [
        (line, met)
        for line, met in sheet.rows()
        if met.get("blade") == cells.get("blade")
        and not met.get("exclude")
        and (not block or met.get("block", block) == block)
    ]


def done(met: Mapping[str, str]) -> bool:
    """Whether a row of work holds what came of it."""
    return "chops" in met or "depth_mm" in met


def after_work(
    rows: Sequence[tuple[int, Mapping[str, str]]], kind: str, number: int | None
) -> tuple[int, bool]:
    """Row of the piece that a look or touch-up came after, and whether its number leaves doubt.

    It came after the last piece that was chopped. Only where its number is that of an earlier
    piece, and not the next of its own kind, did it come after that one: then there is doubt.

    Parameters
    ----------
    rows : sequence of (int, mapping)
        Number and cells of the blade's rows that count, without the one in question.
    kind : {"inspection", "touch-up"}
    number : int, optional
        Its `order`.

    Returns
    -------
    (int, bool)
        0 where nothing was chopped yet.
    """
    worked = [(line, number_of(met)) for line, met in rows if met.get("kind") in WORK and done(met)]
    if not worked:
        return 0, False
    last, its_number = worked[-1]
    if number is None or number == its_number:
        return last, False
    looks = [number_of(met) or 0 for _, met in rows if met.get("kind") == kind]
    named = [line for line, met in worked if met == number]
    running = number == max(looks, default=0) + 1
    if len(named) == 1 and not running:
        return named[0], True
    return last, bool(named)


def _place_of_look(sheet: Sheet, cells: Mapping[str, str]) -> int | None:
    """As `place_in_work`, of a look or a touch-up: below its piece and what came of that."""
    own = own_rows(sheet, cells)
    piece, _ = after_work(own, cells["kind"], number_of(cells))
    waiting = [line for line, met in own if _open(sheet, met) and line > piece]
    if not piece:
        return waiting[0] if waiting else None
    work = [line for line, met in own if met.get("kind") in WORK and line > piece]
    end = min([*waiting, *work], default=None)
    here = max(line for line, _ in own if line >= piece and (end is None or line < end))
    return here + 1 if sheet.has(here + 1) else None


def _open(sheet: Sheet, met: Mapping[str, str]) -> bool:
    """Whether a row still waits for its piece or test; a look before the work may."""
    if met.get("kind") in WORK:
        return not done(met)
    return (
        met.get("kind") != TOUCHED_UP
        and (met.get("kind"), number_of(met)) != ("inspection", 0)
        and not sheet.answers(met, KEYS["chops"])
    )


def _own(
    rows: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str]
) -> list[tuple[int, dict[str, str]]]:
    """Rows of the new one's blade."""
    return [(line, met) for line, met in rows if met.get("blade") == cells.get("blade")]


def _looks_back(met: Mapping[str, str], cells: Mapping[str, str]) -> bool:
    """Whether a row is work of the place that a look before the work speaks of."""
    return met.get("kind") != "inspection" and _one_place(met, cells)


def _place_of_piece(
    sheet: Sheet,
    rows: Sequence[tuple[int, dict[str, str]]],
    own: Sequence[tuple[int, dict[str, str]]],
    piece: tuple[str, int | None],
    closing: tuple[str, ...],
) -> int | None:
    """As `place_in_work`, of a piece or chop, by its kind and number."""
    turn, earlier, later = _numbered(rows, own, *piece)
    ends = [(line, met) for line, met in own if line > earlier and _closes(met, closing)]
    touched = [n for n, met in own if met.get("kind") == TOUCHED_UP and n > max(earlier, turn)]
    # On which edge it was when that was touched up since, only the maker knows.
    past = [line for line, _ in ends if 0 < turn < line and not touched]
    late = min([*later, *past], default=None)
    if late is not None and earlier < turn < late:
        return turn + 1
    open_tests = [line for line, met in ends if not sheet.answers(met, KEYS["chops"])]
    first = min([*later, *past, *open_tests], default=None)
    return None if first is None else _above_closing(sheet, first, closing, earlier)


def _numbered(
    rows: Sequence[tuple[int, dict[str, str]]],
    own: Sequence[tuple[int, dict[str, str]]],
    kind: str,
    number: int | None,
) -> tuple[int, int, list[int]]:
    """Last row of this number by another blade, last own row of a lower one, own of higher."""
    turn = earlier = 0
    later = []
    for line, met in rows:
        n = number_of(met)
        if met.get("kind") != kind or n is None:
            continue
        if (line, met) not in own:
            turn = line if n == number else turn
        elif number is None or n < number:
            earlier = line
        elif n > number:
            later.append(line)
    return turn, earlier, [line for line in later if line > earlier]


def _one_place(met: Mapping[str, str], cells: Mapping[str, str]) -> bool:
    """Whether a row is of the block and board of the new one, or leaves them open."""
    return all(
        not met.get(name) or met.get(name) == cells.get(name, "") for name in ("block", "board")
    )


def runs_on(rows: Sequence[Mapping[str, str]]) -> bool:
    """Whether no blade has one number twice: pieces are numbered through all boards."""
    met = Counter(
        (row.get("blade"), row.get("kind"), row.get("order"))
        for row in rows
        if row.get("kind") in WORK
    )
    return max(met.values(), default=1) == 1


def _closes(met: Mapping[str, str], closing: tuple[str, ...]) -> bool:
    return met.get("kind") in closing and not (met["kind"] == "inspection" and number_of(met) == 0)


def _above_closing(sheet: Sheet, line: int, closing: tuple[str, ...], after: int) -> int:
    """Above the closing tests of the other blades too, which stand together."""
    while line - 1 > after and sheet.has(line - 1) and _closes(sheet.cells(line - 1), closing):
        line -= 1
    return line


def number_of(met: Mapping[str, str]) -> int | None:
    """The order of a row, if it says one."""
    try:
        return int(float(met.get("order", "").replace(",", ".")))
    except (ValueError, OverflowError):
        return None
