"""Where among the rows of its blade does a row stand that was just entered?"""

from edgetest.store.chop_log import SEVERED
from edgetest.store.days import calendar_day
from edgetest.store.row_places import LOOKS, TOUCHED_UP, WORK, after_work


def order_told(source, change):
    """Where a new row stands, where that decides something, a line each.

    Parameters
    ----------
    source : Source
    change : Change
        The row that was entered, of chopping or of a stage.

    Yields
    ------
    str
    """
    if change.table == "log":
        yield from _stage_told(source.log.rows, change)
    if change.table != "chops" or source.chops is None:
        return
    rows = source.chops.rows
    mine = next((row for row in rows if row.line == change.row), None)
    if mine is None or mine.kind not in (*WORK, *LOOKS):
        return
    own = [row for row in rows if row.blade == mine.blade]
    above = [row for row in own if row.line < mine.line]
    if change.before is not None:
        yield from _filled_early(mine, above)
        return
    yield from _new_told(source, mine, above, [row for row in own if row.line > mine.line])
    yield from _waits_as_other_kind(mine, own)


def _stage_told(rows, change):
    """Above which row a forgotten stage was put."""
    mine = next((row for row in rows if row.line == change.row), None)
    if mine is None or change.before is not None:
        return
    below = [
        row for row in rows
        if row.line > mine.line and (row.blade, row.block) == (mine.blade, mine.block)
        and row.cuts > mine.cuts
    ]  # fmt: skip
    if below:
        yield (
            f"placed: cuts rise down the rows, so it was put above row {below[0].line} "
            f"({below[0].blade} at {below[0].cuts} cuts); were the cuts others, take it back with "
            "`edgetest undo`"
        )


def _new_told(source, mine, above, below):
    """Where a row stands that was added."""
    told = ()
    if mine.kind in LOOKS and (mine.kind, mine.order) != ("inspection", 0):
        told = tuple(_look_told(mine, above, below))
    if told:
        yield from told
    elif below:
        open_ = [row for row in above if row.kind in WORK and row.waiting and not row.exclude]
        waits = f" and below {_row_words(open_[-1])}, which still waits" if open_ else ""
        yield (
            f"placed: rows are taken in the order of the work, so it was put above "
            f"{_row_words(below[0])}{waits}; was it done at another time, move row {mine.line} in "
            "the file"
        )
    else:
        yield from _below_closing(source, mine, above)


def _waits_as_other_kind(mine, own):
    """A row that waits for the same piece, planned as wood of another kind."""
    for row in own:
        if row.kind in SEVERED and row.kind != mine.kind and _same_piece(mine, row):
            board = f" of {row.board}" if row.board else ""
            yield (
                f"asked: {_row_words(row)}{board} still waits; if this is that piece, take row "
                f"{row.line} out of the file"
            )


def _same_piece(mine, row):
    """Whether a row that waits has the number of a severed piece, and no board but its own."""
    return (
        mine.kind in SEVERED and row.waiting and not row.exclude and row.order == mine.order
        and (mine.board in ("", row.board) or not row.board)
    )  # fmt: skip


def _filled_early(mine, above):
    """A look after all the work, filled in while pieces above it wait."""
    if mine.kind != "inspection" or not mine.order:
        return
    waiting = [row for row in above if row.kind in WORK and row.waiting and not row.exclude]
    if waiting:
        yield (
            f"order: row {mine.line} is the look below all pieces, and {_row_words(waiting[0])} "
            "still waits above it; was it a look between two pieces, take it back with `edgetest "
            "undo` and enter it without order="
        )


def _look_told(mine, above, below):
    """Below which piece a look or a touch-up stands; asked where its number leaves doubt."""
    own = [row for row in (*above, *below) if _counts_beside(mine, row)]
    piece, doubtful = after_work([(row.line, _cells(row)) for row in own], mine.kind, mine.order)
    if not piece or piece > mine.line:  # its date put it above that piece
        return
    if doubtful and _put_by_day(mine, own):
        return
    what = "touch-up" if mine.kind == TOUCHED_UP else "look"
    put = f"put below {_row_words(next(row for row in own if row.line == piece))}"
    ahead = f", and above {_row_words(below[0])}" if below else ""
    if doubtful:
        yield (
            f"asked: when was the {what} done? its order {mine.order} can be a piece or a count of "
            f"its own; it was {put}{ahead}; was it done after "
            f"{_row_words(_other_piece(own, mine.order, piece))}, move row {mine.line} there in "
            "the file"
        )
        return
    yield (
        f"placed: rows are taken in the order of the work, so the {what} was {put}, the last piece "
        f"that has strokes{ahead}; was it done at another time, move row {mine.line} in the file"
    )


def _other_piece(own, number, piece):
    """The piece that a look of this number can have come after as well."""
    chopped = [row for row in own if row.kind in WORK and not row.waiting]
    named = [row for row in chopped if row.order == number and row.line != piece]
    return (named or chopped)[-1]


def _cells(row):
    """What `after_work` takes of a row."""
    held = {"kind": row.kind, "order": "" if row.order is None else str(row.order)}
    outcome = {"chops": row.chops, "depth_mm": row.depth_mm}
    return held | {name: "told" for name, value in outcome.items() if value is not None}


def _below_closing(source, mine, above):
    """A piece that stands below a closing test of its blade."""
    last = max((row.line for row in above if row.kind in WORK and not row.waiting), default=0)
    closing = source.protocol.closing
    closed = [r for r in above if r.kind in closing and not r.waiting and r.line > last > 0]
    if closed and mine.kind in WORK and not _day_later(mine, closed[0]):
        yield (
            f"order: rows are taken in the order of the work, and it stands below "
            f"{_row_words(closed[0])}; was it chopped before that, move row {mine.line} up in "
            f"the file"
        )


def _counts_beside(mine, row):
    """Whether a row of the same blade counts, and is of the same block where both name one."""
    return not row.exclude and (mine.block in ("", row.block) or not row.block)


def _put_by_day(mine, own):
    """Whether a row's date alone puts it below all rows of its blade that stand above it."""
    return _day_later(mine, [row for row in own if row.line < mine.line][-1])


def _day_later(row, other):
    """Whether a row is dated after another: then nobody need ask which came first."""
    mine, before = calendar_day(row.date), calendar_day(other.date)
    return mine is not None and before is not None and mine > before


def _row_words(row):
    """A row of chopping as a person finds it."""
    number = "" if row.order is None else row.order
    return f"row {row.line} ({row.blade}, {row.kind} {number}".rstrip() + ")"
