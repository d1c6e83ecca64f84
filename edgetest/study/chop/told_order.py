"""Which tool's rows do not stand in the order that their own numbers say?"""

from collections.abc import Iterator, Sequence

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, ChopRow
from edgetest.store.table_faults import cell_fault

STRUCK = (*SEVERED, "single")


def asked_of_order(name: str, rows: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """A question about each tool whose numbers of one kind fall down the log; told, not raised."""
    for row, before in _fallen(rows):
        mend = "rows are read as the order of the work: sort them so, or mend the number"
        yield cell_fault(name, row.line, "order", _words(row, before), mend)


def order_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each such tool: what hangs on the order of its strokes."""
    for row, before in _fallen(rows):
        what = f"{name}, row {row.line}: {_words(row, before)}"
        yield doubt("chops_out_of_order", what=what, where=Where(name, row.line, row.blade))


def _fallen(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, ChopRow]]:
    """Of each tool the first row whose number is below that of a row above it on its board."""
    last: dict[tuple[str, str, str], ChopRow] = {}
    told: set[str] = set()
    for row in rows:
        if row.order is None or row.kind not in STRUCK or row.blade in told:
            continue
        place = row.blade, row.kind, row.board or row.block
        before = last.get(place)
        if before is not None and before.order is not None and row.order < before.order:
            told.add(row.blade)
            yield row, before
        last[place] = row


def _words(row: ChopRow, before: ChopRow) -> str:
    return (
        f"{row.kind} {row.order} of {row.blade} stands below {row.kind} {before.order} "
        f"of row {before.line}"
    )
