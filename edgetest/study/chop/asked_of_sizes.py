"""Which size of a chopped piece can hardly be meant: for its board, or for its strokes?"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

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
    pieces = [row for row in rows if row.kind in SEVERED and not row.waiting and not row.exclude]
    for row, column, what in (*_of_boards(pieces), *_of_strokes(pieces)):
        if line in (None, row.line):
            yield cell_fault(name, row.line, column, what, _mend(column))


def size_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each piece whose size can hardly be meant: its figures rest on that size."""
    pieces = [row for row in rows if row.kind in SEVERED and not row.waiting and not row.exclude]
    told: set[int] = set()
    for row, column, what in (*_of_boards(pieces), *_outside(pieces), *_of_strokes(pieces)):
        if row.line not in told:
            told.add(row.line)
            words = f"{name}, row {row.line}, {column}: {what}"
            yield doubt("piece_size_asked", what=words, where=Where(name, row.line, row.blade))


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
    """Pieces whose size is far from that of most of their board; from the first's, if they tie."""
    boards: dict[tuple, list[ChopRow]] = defaultdict(list)
    for row in pieces:
        label = row.board or row.block
        if label and _sides(row):
            boards[label, row.kind, row.species, len(_sides(row))].append(row)
    for (label, *_), those in boards.items():
        usual = max(those, key=lambda row: sum(not _far(row, other) for other in those))
        for row in those:
            if found := _far(row, usual):
                column, own, other = found
                yield row, column, (
                    f'{as_typed(own, "mm")} is far from {as_typed(other, "mm")} in row '
                    f'{usual.line}, and both are of "{label}"'
                )  # fmt: skip


def _far(row: ChopRow, other: ChopRow) -> tuple[str, float, float] | None:
    """The side, with both sizes, by which two pieces of one shape differ too much; else None."""
    for (column, own), size in zip(_sides(row).items(), _sides(other).values(), strict=True):
        if max(own, size) >= SIDES_APART * min(own, size):
            return column, own, size
    return None


def _of_strokes(pieces: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Pieces of a usual size that so few strokes do not sever."""
    for row in pieces:
        strokes, sides = row.chops.value if row.chops else None, _sides(row)
        if not strokes or not sides or any(_unusual(*side) for side in sides.items()):
            continue  # a size that no piece has is asked about by itself
        area_cm2 = (row.section_mm2 or 0.0) / 100
        if area_cm2 > MOST_CM2_PER_STROKE * strokes:
            words = " × ".join(as_typed(size, "mm") for size in sides.values())
            words = words if len(sides) > 1 else f"{words} thick"
            yield (
                row,
                "chops",
                (
                    f"{strokes:g} strokes for a piece of {words}: {area_cm2 / strokes:.0f} cm² a "
                    f"stroke, and {MOST_CM2_PER_STROKE:g} cm² is more than is met"
                ),
            )


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
