"""Which size of a chopped piece can hardly be meant: for its board, or for its strokes?"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import log2
from statistics import median

from edgetest.chop.notch import SQUARE
from edgetest.chop.species import said_as
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, ChopRow
from edgetest.store.plausible import USUAL_PIECE
from edgetest.store.table_faults import cell_fault
from edgetest.units import as_typed

# Pieces of one board or pole: a pole tapers and a board is sawn within a tenth or two (common
# practice, no source), so sides that differ by half of the smaller are asked about.
SIDES_APART = 1.5
# A stroke opens some cm² of wood: 1 to 4 in the sample studies, 15 to 20 where one stroke takes a
# green pole of 50 mm (common practice, no source). Beyond this a size or a count is a slip.
MOST_CM2_PER_STROKE = 40.0
USUAL_CM2_PER_STROKE = (1.0, 20.0)
# A stroke that opens so many times as much wood as those on the log's other boards is asked about.
# Chosen on 560 invented shops of another hand (tests.benchmarks.size_slips): 4 of them are asked in
# vain, and 53 of 69 sides typed ten times too large on a board of their own are found, 26 without.
# On 560 more, drawn to judge: 5 shops in vain; 40 of 65 found.
STROKE_TIMES = 6.0
FEWEST_OTHERS = 3  # pieces of other boards; fewer show no usual stroke (own choice)


def asked_of_sizes(
    name: str, rows: Sequence[ChopRow], line: int | None = None
) -> Iterator[UnusableInput]:
    """Questions about the sizes of severed pieces.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
        The whole log: a size is held against the others of its board.
    line : int, optional
        Ask about this row alone.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    pieces = _worked(rows)
    told: set[int] = set()
    for row, column, what in (*_of_boards(pieces), *_of_strokes(pieces)):
        if line in (None, row.line) and row.line not in told:
            told.add(row.line)  # one question about a size is enough
            yield cell_fault(name, row.line, column, what, _mend(column))
    for row, what in _swapped(pieces):
        if line in (None, row.line) and row.line not in told:
            mend = "swap the two; if it lay the other way up, mend orientation; one size either way"
            yield cell_fault(name, row.line, "width_mm", what, mend)


def size_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each piece whose size can hardly be meant: its figures rest on that size."""
    pieces = _worked(rows)
    told: set[int] = set()
    for row, column, what in (*_of_boards(pieces), *_outside(pieces), *_of_strokes(pieces)):
        if row.line not in told:
            told.add(row.line)
            words = f"{name}, row {row.line}, {column}: {what}"
            yield doubt("piece_size_asked", what=words, where=Where(name, row.line, row.blade))


def _worked(rows: Sequence[ChopRow]) -> list[ChopRow]:
    """Pieces to sever that do not wait and were not left out."""
    return [row for row in rows if row.kind in SEVERED and not row.waiting and not row.exclude]


def _mend(column: str) -> str:
    other = " and the strokes" if column == "chops" else ""
    return f"check the sizes with their unit (mm){other}; if they are right, leave them"


def _sides(row: ChopRow) -> dict[str, float]:
    """Measured sides by their column; of a flat piece the smaller one first."""
    if row.diameter_mm is not None:
        return {"diameter_mm": row.diameter_mm}
    if row.width_mm is None or row.thickness_mm is None:
        return {}
    both = {"width_mm": row.width_mm, "thickness_mm": row.thickness_mm}
    return dict(sorted(both.items(), key=lambda side: side[1]))


def _of_boards(pieces: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Pieces whose size is far from that of most of their board; if they tie, of the likelier."""
    boards: dict[tuple, list[ChopRow]] = defaultdict(list)
    for row in pieces:
        label = row.board_or_block
        if label and _sides(row):
            boards[label, row.kind, said_as(row.species), len(_sides(row))].append(row)
    for (label, *_), those in boards.items():
        usual = _usual_of(those, pieces)
        for row in those:
            if found := _far(row, usual):
                column, own, other = found
                yield row, column, (
                    f'{as_typed(own, "mm")} is far from {as_typed(other, "mm")} in row '
                    f'{usual.line}, and both are of "{label}"'
                )  # fmt: skip


def _swapped(pieces: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str]]:
    """Pieces whose width and thickness stand the other way round than those of their board."""
    sided = [row for row in pieces if row.orientation and _two_sided(row)]
    boards: dict[tuple, list[ChopRow]] = defaultdict(list)
    for row in sided:
        boards[row.board_or_block, row.kind, row.orientation].append(row)
    for (label, _, lies), those in boards.items():
        log = [row for row in sided if row.orientation == lies]
        usual = _usual_way(those, log)
        like = next(row for row in those if _wide(row) == usual)
        for row in those if label else ():
            if _wide(row) != usual:
                yield (
                    row,
                    (
                        f"{_typed(row)}, where row {like.line} is {_typed(like)}; both are of "
                        f'"{label}" and lay {lies}'
                    ),
                )


def _usual_way(those: Sequence[ChopRow], log: Sequence[ChopRow]) -> bool:
    """Whether most pieces of a board have the wide side as width; of a tie as in the log."""
    wide = [_wide(row) for row in those]
    if 2 * sum(wide) == len(wide):
        wide = [*(_wide(row) for row in log), wide[0]]
    return 2 * sum(wide) > len(wide)


def _two_sided(row: ChopRow) -> bool:
    """Whether a piece has a wide and a narrow side, so that it matters how it lay."""
    sides = list(_sides(row).values())
    return len(sides) > 1 and sides[1] / sides[0] >= SQUARE


def _wide(row: ChopRow) -> bool:
    return (row.width_mm or 0.0) > (row.thickness_mm or 0.0)


def _typed(row: ChopRow) -> str:
    return f"{as_typed(row.width_mm, 'mm')} wide and {as_typed(row.thickness_mm, 'mm')} thick"


def _usual_of(those: Sequence[ChopRow], pieces: Sequence[ChopRow]) -> ChopRow:
    """The piece that most of a board are like; if they tie the first whose strokes fit its size."""
    alike = [sum(not _far(row, other) for other in those) for row in those]
    most = [row for row, n in zip(those, alike, strict=True) if n == max(alike)]
    strange = [_strange(row, pieces) for row in most]
    return next(row for row, far in zip(most, strange, strict=True) if far <= min(strange) + 1)


def _far(row: ChopRow, other: ChopRow) -> tuple[str, float, float] | None:
    """The side, with both sizes, by which two pieces of one shape differ too much; else None."""
    for (column, own), size in zip(_sides(row).items(), _sides(other).values(), strict=True):
        if max(own, size) >= SIDES_APART * min(own, size):
            return column, own, size
    return None


def _of_strokes(pieces: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Pieces of a usual size that so few strokes do not sever."""
    for row in pieces:
        opened, usual = _opened_cm2(row), _usual_cm2(row, pieces)
        if opened is None:
            continue  # a size that no piece has is asked about by itself
        if opened > MOST_CM2_PER_STROKE:
            beside = f"{MOST_CM2_PER_STROKE:g} cm² is more than is met"
        elif usual is not None and opened >= STROKE_TIMES * usual:
            beside = f"those of the other boards are usually {usual:.2g} cm²"
        else:
            continue
        words = " × ".join(as_typed(size, "mm") for size in _sides(row).values())
        words = words if len(_sides(row)) > 1 else f"{words} thick"
        strokes = row.chops.value if row.chops else None
        yield (
            row,
            "chops",
            f"{strokes:g} strokes for a piece of {words}: {opened:.0f} cm² a stroke, and {beside}",
        )


def _opened_cm2(row: ChopRow) -> float | None:
    """Wood that each stroke opened; None where it is not known, or the size is no piece's."""
    strokes, sides = row.chops.value if row.chops else None, _sides(row)
    if not strokes or not sides or any(_unusual(*side) for side in sides.items()):
        return None
    return (row.section_mm2 or 0.0) / 100 / strokes


def _usual_cm2(row: ChopRow, pieces: Sequence[ChopRow]) -> float | None:
    """What a stroke opens on other boards; None where these gave too few pieces."""
    label = row.board_or_block
    others = [each for each in pieces if each is not row and each.board_or_block != label]
    if not label:
        others = [each for each in pieces if each is not row]
    found = [opened for each in others if (opened := _opened_cm2(each)) is not None]
    return median(found) if len(found) >= FEWEST_OTHERS else None


def _strange(row: ChopRow, pieces: Sequence[ChopRow]) -> float:
    """How many doublings its strokes open from what others open, or from what is met."""
    strokes, area_mm2 = row.chops.value if row.chops else None, row.section_mm2
    if not strokes or not area_mm2:
        return 0.0
    usual = _usual_cm2(row, pieces)
    low, high = USUAL_CM2_PER_STROKE if usual is None else (usual, usual)
    opened = area_mm2 / 100 / strokes
    return max(0.0, log2(opened / high), log2(low / opened))


def _outside(pieces: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Sides that no piece has that is chopped by hand."""
    for row in pieces:
        for column, size in _sides(row).items():
            if _unusual(column, size):
                low, high = USUAL_PIECE[column]
                yield (
                    row,
                    column,
                    f"{as_typed(size, 'mm')}, and {low:g} to {high:g} mm is what is met",
                )


def _unusual(column: str, size: float) -> bool:
    low, high = USUAL_PIECE[column]
    return not low <= size <= high
