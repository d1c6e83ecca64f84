"""What of a chopped piece can hardly be meant beside the blade's other pieces?"""

from collections import Counter
from collections.abc import Iterator, Sequence
from statistics import median

from edgetest.chop.species import said_as
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, ChopRow, struck_pieces
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import listed

# Strokes of like pieces are asked about from this many times their median on. Pieces of one board
# differ by a few tenths, an edge that dulls doubles them; a slip makes ten of one, or 61 of 16.
# Own choice on worlds of another hand, even seeds: of swapped digits that double the strokes 3
# finds 324 of 563 (4: 161) and asks in 37 of 840 shops in vain (16); odd ones 292 of 569, in 35.
# A number that with its two digits swapped is like the others is asked about from twice them on:
# of 611 swaps that change a number 1.7 times it finds 399 (without: 255), and asks in 45 of 840
# shops in vain (37); odd seeds 394 of 618 (237), in 42 (35).
# Beside the other tool's piece of one board it finds 414 of 420 slips of a nought and asks in 19 of
# 420 shops in vain.
STROKES_APART = 3.0
SWAP_APART, SWAP_LIKE = 2.0, 1.3
FEWEST_STROKES = 8  # of the larger: below, chance alone makes such ratios (own choice)
LIKE_AREA = 1.25  # cross-sections that differ by less are alike (own choice)


def asked_of_likes(
    name: str, rows: Sequence[ChopRow], line: int | None = None
) -> Iterator[UnusableInput]:
    """Questions about strokes far from those of like pieces, numbers that stand twice, and
    pieces left out where another tool's of the same board counts.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
        The whole log.
    line : int, optional
        Ask about this row alone.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for row, what in _odd_strokes(rows):
        if line in (None, row.line):
            mend = "check the number for a digit too many or too few; if it is right, leave it"
            yield cell_fault(name, row.line, "chops", what, mend)
    for row, what in _twice(rows):
        if line in (None, row.line):
            mend = "if it is one piece, give the wrong row a reason in exclude; if not, number on"
            yield cell_fault(name, row.line, "order", what, mend)
    for row, what in _left_alone(rows):
        if line in (None, row.line):
            mend = "chop another piece of that board, if you can; leave out both if the board is "
            mend += "to go; if this cut alone was spoilt, leave it"
            yield cell_fault(name, row.line, "exclude", what, mend)


def stroke_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about strokes far from those of like pieces, or told twice: figures rest on them."""
    for column, found in (("chops", _odd_strokes(rows)), ("order", _twice(rows))):
        for row, what in found:
            words = f"{name}, row {row.line}, {column}: {what}"
            yield doubt("strokes_asked", what=words, where=Where(name, row.line, row.blade))


def _odd_strokes(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str]]:
    """Pieces whose strokes are some times those of the blade's like pieces; of two the later."""
    pieces = struck_pieces(rows)
    for row in pieces:
        others = [each for each in pieces if each is not row and _alike(each, row)]
        first_of_two = len(others) == 1 and others[0].line > row.line
        found = (row, _odd_beside(row, others)) if others else _odd_on_board(row, pieces)
        if found[1] and not first_of_two:
            yield found


def _odd_beside(row: ChopRow, others: Sequence[ChopRow]) -> str:
    """What is odd about a piece's strokes beside those of like pieces; "" where nothing is."""
    own, usual = _least(row), median(_least(each) for each in others)
    if len(others) == 2 and not all(_apart(own, _least(each)) for each in others):
        return ""  # of three the one that is unlike both others is odd, and it alone
    swapped = _swapped(own, usual)
    if not (_far(own, usual) or swapped) or (own < usual and _stood(row)):
        return ""
    many = f"{len(others)} like pieces" if len(others) > 1 else "a like piece"
    times = max(own, usual) / min(own, usual)
    how = "many" if own > usual else "few"
    told = f"{own:g} strokes are {times:.2g} times as {how} as the {usual:g} of {many}"
    asked = f"; were it {swapped}, its digits swapped, it would be like them" if swapped else ""
    return f"{told} of {row.blade}{asked}"


def _odd_on_board(row: ChopRow, pieces: Sequence[ChopRow]) -> tuple[ChopRow, str]:
    """What is odd beside an earlier piece that another tool severed of the same board and size.

    Measured by how the two tools compare on the other boards, and where only one tells, as they
    are, too: that one may be the odd one. Of the two pieces that one is named that lies further
    from the tool's others; "" where nothing is odd.
    """
    pairs = [(one, other) for one in pieces for other in pieces if _paired(one, other, row.blade)]
    other = next((b for a, b in pairs if a is row and b.line < row.line), None)
    if other is None or not _odd_pair(row, other, pairs):
        return row, ""
    off_own, off_theirs = (_off_its_tool(one, pieces) for one in (row, other))
    odd, held = (other, row) if off_theirs > off_own else (row, other)
    either = "" if off_own != off_theirs else "; one of the two may be a slip"
    return odd, f"{_times_words(odd, held)} on the same board (row {held.line}){either}"


def _odd_pair(row: ChopRow, other: ChopRow, pairs: Sequence[tuple[ChopRow, ChopRow]]) -> bool:
    """Whether two tools' pieces of one board are unlike by how the two compare elsewhere."""
    same = [(a, b) for a, b in pairs if a is not row and b.blade == other.blade]
    own, theirs = _least(row), _least(other)
    usual = theirs * _usual_ratio(same)
    apart = _apart(own, usual) and (len(same) != 1 or _apart(own, theirs))
    return apart and not _stood(row if own < usual else other)


def _times_words(odd: ChopRow, held: ChopRow) -> str:
    """How many times as many, or as few, strokes one piece took as another tool's."""
    least, most = _least(odd), _least(held)
    how = "many" if least > most else "few"
    times = max(least, most) / min(least, most)
    return f"{least:g} strokes are {times:.2g} times as {how} as the {most:g} of {held.blade}"


def _off_its_tool(row: ChopRow, pieces: Sequence[ChopRow]) -> float:
    """How many times off a piece's strokes are from the middle of the tool's others of its size.

    Whatever their wood; 1 where there are none.
    """
    rest = [_least(each) for each in pieces
            if each is not row and _least(each) and _sized_alike(each, row)]  # fmt: skip
    if not rest or not _least(row):
        return 1.0
    own, usual = _least(row), median(rest)
    return max(own, usual) / min(own, usual)


def _usual_ratio(pairs: Sequence[tuple[ChopRow, ChopRow]]) -> float:
    """Middle ratio of the strokes of two tools over pieces side by side; 1 where there are none."""
    ratios = [_least(one) / _least(other) for one, other in pairs if _least(one) and _least(other)]
    return median(ratios) if ratios else 1.0


def _paired(one: ChopRow, other: ChopRow, blade: str) -> bool:
    """Whether the first is of that blade and the second of another, of one board and size."""
    if one.blade != blade or other.blade == blade or not one.board_or_block:
        return False
    return one.board_or_block == other.board_or_block and _alike(one, other, of="pieces")


def _far(own: float, usual: float) -> bool:
    """Whether two numbers of strokes lie so far apart that chance and wood hardly explain it."""
    low, high = sorted((own, usual))
    return low > 0 and high >= FEWEST_STROKES and high >= STROKES_APART * low


def _apart(one: float, other: float) -> bool:
    """Whether two numbers are far apart, or alike once the digits of one are swapped."""
    return _far(one, other) or bool(_swapped(one, other))


def _swapped(own: float, usual: float) -> int:
    """The number with its two digits swapped, where it is like the usual one then; else 0."""
    tens, ones = divmod(int(own), 10)
    turned = 10 * ones + tens
    if not 10 <= own < 100 or usual <= 0 or turned < 10:
        return 0
    apart, like = (max(one, usual) / min(one, usual) for one in (own, turned))
    return turned if apart >= SWAP_APART and like <= SWAP_LIKE else 0


def _stood(row: ChopRow) -> bool:
    """Whether a piece still stood when it was given up."""
    return row.chops is not None and row.chops.kind == "above"


def _least(row: ChopRow) -> float:
    """Strokes of a piece; of one that still stood those that it took at least; 0: not known."""
    reading = row.chops
    if reading is None:
        return 0.0
    return (reading.value if reading.value is not None else reading.lower) or 0.0


def _alike(one: ChopRow, other: ChopRow, *, of: str = "blade") -> bool:
    """Whether two pieces are of one blade, kind, wood, lie and size, as far as noted."""
    if said_as(one.species) != said_as(other.species):
        return False
    if str(one.moisture_pct) != str(other.moisture_pct):
        return False
    return _sized_alike(one, other, of=of)


def _sized_alike(one: ChopRow, other: ChopRow, *, of: str = "blade") -> bool:
    """Whether two pieces are of one blade, kind, lie and size, as far as noted."""
    names = ("kind", "orientation", "nominal") + (("blade",) if of == "blade" else ())
    if any(getattr(one, name) != getattr(other, name) for name in names):
        return False
    area, also = one.section_mm2, other.section_mm2
    if area is None or also is None:
        return area == also
    return max(area, also) < LIKE_AREA * min(area, also)


def _twice(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str]]:
    """Pieces whose number a blade has twice, though it numbers its others through all boards."""
    for row, before in _same_numbers(rows):
        what = (
            f"{row.kind} {row.order} of {row.blade} stands in row {before.line} too, there of "
            f'"{before.board_or_block}"; each counts as a piece'
        )
        yield row, what


def _same_numbers(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, ChopRow]]:
    """Both rows of such a piece, the later one first."""
    own: dict[tuple[str, str], list[ChopRow]] = {}
    for row in rows:
        if row.kind in SEVERED and row.order is not None and not row.exclude:
            own.setdefault((row.blade, row.kind), []).append(row)
    for those in own.values():
        times = Counter(row.order for row in those)
        doubled = [row for row in those if times[row.order] > 1]
        if len(doubled) == 2 and len(times) > 1 and len({row.board_or_block for row in those}) > 2:
            first, second = doubled
            if first.board_or_block != second.board_or_block:  # of one board it is a fault
                yield second, first


def _left_alone(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str]]:
    """Pieces left out of a board on which another blade's counts, and none of their own."""
    done = [row for row in rows if row.kind in SEVERED and row.chops and row.board_or_block]
    for row in done:
        same = [each for each in done
                if each.board_or_block == row.board_or_block and not each.exclude]  # fmt: skip
        if row.exclude and same and all(each.blade != row.blade for each in same):
            others = listed(f"{each.blade} (row {each.line})" for each in same)
            yield row, f'{row.blade} is left out on "{row.board_or_block}", where {others} counts'
