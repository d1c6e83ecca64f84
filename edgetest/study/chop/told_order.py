"""Which rows do not stand in the order that their own numbers, dates or days say?"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, TOUCH_UP, ChopRow
from edgetest.store.days import calendar_day
from edgetest.store.table_faults import cell_fault

STRUCK = (*SEVERED, "single")
MOST_WITHOUT = 3  # rows of a tool from which on a single one without a number is asked about
_NUMBERED = re.compile(r"(.*?)(\d{1,4})")  # "day 2": the days of one series by their number


@dataclass(frozen=True)
class _Fall:
    """A row, the one above it that was done later, and the column that says so."""

    row: ChopRow
    before: ChopRow
    column: str

    @property
    def words(self) -> str:
        row, before = self.row, self.before
        if self.column == "order":
            return (
                f"{row.kind} {row.order} of {row.blade} stands below {row.kind} {before.order} "
                f"of row {before.line}"
            )
        whose = f" ({before.blade})" if before.blade != row.blade else ""
        return (
            f"a row of {row.blade} of {_said(self.column, row)} stands below row "
            f"{before.line}{whose} of {_said(self.column, before)}"
        )


def asked_of_order(
    name: str, rows: Sequence[ChopRow], line: int | None = None
) -> Iterator[UnusableInput]:
    """A question about each tool whose rows fall back in time down the log; told, not raised.

    `line` is the row that was just entered: nothing is asked about others.
    """
    for fall in _falls(rows):
        if line not in (None, fall.row.line, fall.before.line):
            continue
        thing = "number" if fall.column == "order" else fall.column
        mend = f"rows are read as the order of the work: sort them so, or mend the {thing}"
        yield cell_fault(name, fall.row.line, fall.column, fall.words, mend)
    for row, what, mend in _numbers_open(rows):
        if line in (None, row.line):
            yield cell_fault(name, row.line, "order", what, mend)


def order_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each such tool: what hangs on the order of its strokes."""
    for fall in _falls(rows):
        what = f"{name}, row {fall.row.line}: {fall.words}"
        yield doubt(
            "chops_out_of_order", what=what, where=Where(name, fall.row.line, fall.row.blade)
        )


def _numbers_open(rows: Sequence[ChopRow]) -> Iterator[tuple[ChopRow, str, str]]:
    """Rows of work of number 0, and of each tool the first of none where all others have one."""
    done = [row for row in rows if not row.waiting and row.kind not in ("inspection", TOUCH_UP)]
    of: dict[str, list[ChopRow]] = {}
    for row in done:
        of.setdefault(row.blade, []).append(row)
        if row.order == 0:
            what = f"{row.kind} 0 of {row.blade}; numbers begin at 1, and 0 is the look before"
            yield row, what, "write the number that it has; if it is meant so, leave it"
    for blade, own in of.items():
        bare = [row for row in own if row.order is None]
        if len(bare) == 1 and len(own) > MOST_WITHOUT:
            what = f"a {bare[0].kind} of {blade} without a number, where its other rows have one"
            yield bare[0], what, "write its number; if it is left out on purpose, leave it"


def _falls(rows: Sequence[ChopRow]) -> Iterator[_Fall]:
    """Of each tool the first row that its number, date or day puts above an earlier one."""
    found: dict[str, _Fall] = {}
    for fall in sorted((*_by_number(rows), *_by_day(rows)), key=lambda each: each.row.line):
        found.setdefault(fall.row.blade, fall)
    yield from found.values() or list(_by_day(rows, of_all=True))[:1]


def _by_number(rows: Sequence[ChopRow]) -> Iterator[_Fall]:
    """Rows whose number is below that of a row above them, of one tool, kind and board."""
    last: dict[tuple[str, str, str], ChopRow] = {}
    for row in rows:
        if row.order is None or row.kind not in STRUCK:
            continue
        place = row.blade, row.kind, row.board_or_block
        before = last.get(place)
        if before is not None and before.order is not None and row.order < before.order:
            yield _Fall(row, before, "order")
        last[place] = row


def _by_day(rows: Sequence[ChopRow], *, of_all: bool = False) -> Iterator[_Fall]:
    """Rows dated before a row above them, of their own tool or of any."""
    latest: dict[tuple[str, ...], tuple[int, ChopRow]] = {}
    for row in rows:
        if row.waiting and not row.photo:
            continue
        for column, series, number in _days(row):
            place = ("" if of_all else row.blade, column, series)
            most, before = latest.get(place, (number, row))
            if number < most:
                yield _Fall(row, before, column)
            else:
                latest[place] = number, row


def _days(row: ChopRow) -> Iterator[tuple[str, str, int]]:
    """Column, series and number of each day that a row tells; a word alone has no order."""
    for column in ("date", "day"):
        typed = getattr(row, column)
        if (day := calendar_day(typed)) is not None:
            yield column, "", day.toordinal()
        elif column == "day" and (met := _NUMBERED.fullmatch(typed.strip().casefold())):
            series = met[1].strip()
            yield column, f"numbered {series if series != 'day' else ''}", int(met[2])


def _said(column: str, row: ChopRow) -> str:
    """A date as typed; a day too, said to be one."""
    typed = str(getattr(row, column))
    return typed if column == "date" or typed.casefold().startswith("day") else f"day {typed}"
