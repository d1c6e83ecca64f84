"""Which notes of chopped pieces speak of a knot where the count of knots says otherwise?"""

import re
from collections.abc import Iterator, Sequence

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, ChopRow
from edgetest.store.table_faults import cell_fault

_KNOT = re.compile(r"\bknot(?:s|ty)?\b(?!-free| free)", re.IGNORECASE)
_NONE = re.compile(
    r"\b(?:no|not|without|never|clear of|free of|free from|avoid\w*|away from|far from|beside|near"
    r"|next to|off|clear (?:wood|of),? no)\s+(?:\w+\s+){0,2}knots?\b"
    r"|\bknots?\b[^.;]*\b(?:(?:not in|outside|beside|away from|off|clear of|below|above) the (?:cut"
    r"|kerf)|elsewhere)\b",
    re.IGNORECASE,
)


def knot_told(row: ChopRow) -> str:
    """The words that tell of a knot in the cut, or of none, against the count; "" where none do."""
    for words in (row.note, row.mishap):
        none, some = _NONE.search(words), _KNOT.search(words)
        if none and row.knots:
            return none[0]
        if some and not none and not row.knots:
            return some[0]
    return ""


def asked_of_knots(name: str, rows: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """Questions about pieces whose words and count of knots do not agree; told, not raised."""
    for row in _told(rows):
        mend = (
            "write under knots how many were in the cut, 0 for none; if the knot was not in the "
            "cut, note that too"
        )
        yield cell_fault(name, row.line, "knots", _words(row), mend)


def knot_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each such piece: whether a knot took strokes of it is open."""
    for row in _told(rows):
        what = f"{name}, row {row.line}, knots: {_words(row)}"
        yield doubt("knot_told", what=what, where=Where(name, row.line, row.blade))


def _told(rows: Sequence[ChopRow]) -> Iterator[ChopRow]:
    for row in rows:
        if row.kind in SEVERED and row.chops and not row.exclude and knot_told(row):
            yield row


def _words(row: ChopRow) -> str:
    count = "nothing is counted" if row.knots is None else f"{row.knots} is counted"
    return f'"{knot_told(row)}" is noted, and {count}'
