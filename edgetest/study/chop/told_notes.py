"""What do the notes of a piece tell against its figures: frozen wood, a knot not counted?"""

import re
from collections.abc import Iterator, Sequence

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ChopRow, struck_pieces
from edgetest.store.table_faults import cell_fault

_FROZEN = re.compile(
    r"\b(?:frozen|frost(?:ed|y)?|iced?|icy)\b(?!-free| free| crack)", re.IGNORECASE
)
_THAWED = re.compile(
    r"\b(?:not|no|never|nor|without|free (?:of|from)|before|after|un)\W+(?:\w+\W+){0,2}"
    r"(?:frozen|frost\w*|ice\w*|icy)\b|\bthawed\b|\b(?:frozen|frost|ice)\b[^.;]*\bgone\b",
    re.IGNORECASE,
)
_KNOT = re.compile(r"\bknot(?:s|ty)?\b(?!-free| free)", re.IGNORECASE)
_NO_KNOT = re.compile(
    r"\b(?:no|not|without|never|clear of|free of|free from|avoid\w*|away from|far from|beside|near"
    r"|next to|off|clear (?:wood|of),? no)\s+(?:\w+\s+){0,2}knots?\b"
    r"|\bknots?\b[^.;]*\b(?:(?:not in|outside|beside|away from|off|clear of|below|above) the (?:cut"
    r"|kerf)|elsewhere)\b",
    re.IGNORECASE,
)
# A mishap that is a knot and nothing else: the piece counts, with its knots (chop_test_a_hatchet).
_KNOT_ALONE = re.compile(
    r"(?:(?:a|an|one|two|hit|met|small|big|large|hard|live|dead|tight|through|the|with)\s+)*"
    r"knot(?:s|ty)?(?:\s+in\s+(?:it|the\s+(?:cut|kerf|piece)))?\W*",
    re.IGNORECASE,
)
MEND_FROST = "write frozen under exclude if it shall not count; if it shall, leave it"
MEND_KNOT = (
    "write under knots how many were in the cut, 0 for none; if the knot was not in the cut, note "
    "that too"
)


def frost_told(row: ChopRow) -> str:
    """The word in which a row tells of frozen wood; "" where none does."""
    for words in (row.note, row.mishap, row.exclude, row.board, row.block, row.grain):
        if (some := _FROZEN.search(words)) and not _THAWED.search(words):
            return some[0]
    return ""


def knot_told(row: ChopRow) -> str:
    """The words that tell of a knot in the cut, or of none, against the count; "" where none do."""
    for words in (row.note, row.mishap):
        none, some = _NO_KNOT.search(words), _KNOT.search(words)
        if none and row.knots:
            return none[0]
        if some and not none and not row.knots:
            return some[0]
    return ""


def only_a_knot(row: ChopRow) -> bool:
    """Whether the mishap of a row is a knot in the cut, which is no reason to leave it out."""
    return _KNOT_ALONE.fullmatch(row.mishap.strip()) is not None


def asked_of_notes(name: str, rows: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """Questions about pieces whose words and figures do not agree; told, not raised.

    Frost is asked about once, for it is one wood and one day; each knot by itself.
    """
    frozen = _frozen(rows)
    if frozen:
        also = f", also in {len(frozen) - 1} more" if len(frozen) > 1 else ""
        what = f'"{frost_told(frozen[0])}" is noted{also}; frozen wood counts as if it were thawed'
        yield cell_fault(name, frozen[0].line, "exclude", what, MEND_FROST)
    for row in _knotty(rows):
        yield cell_fault(name, row.line, "knots", _knot_words(row), MEND_KNOT)


def note_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each blade that chopped frozen wood, and about each piece of open knots."""
    lines: dict[str, list[int]] = {}
    for row in _frozen(rows):
        lines.setdefault(row.blade, []).append(row.line)
    for blade, those in lines.items():
        rows_said = f"row{'s' * (len(those) > 1)} {', '.join(map(str, those))}"
        where = Where(name, those[0], blade)
        yield doubt("frost_told", blade=blade, rows=rows_said, where=where)
    for row in _knotty(rows):
        what = f"{name}, row {row.line}, knots: {_knot_words(row)}"
        yield doubt("knot_told", what=what, where=Where(name, row.line, row.blade))


def _frozen(rows: Sequence[ChopRow]) -> list[ChopRow]:
    return [row for row in struck_pieces(rows) if frost_told(row)]


def _knotty(rows: Sequence[ChopRow]) -> list[ChopRow]:
    return [row for row in struck_pieces(rows) if knot_told(row)]


def _knot_words(row: ChopRow) -> str:
    count = "nothing is counted" if row.knots is None else f"{row.knots} is counted"
    return f'"{knot_told(row)}" is noted, and {count}'
