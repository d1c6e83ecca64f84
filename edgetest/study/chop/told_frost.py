"""Which pieces are noted as frozen, though the figures take all wood as thawed?"""

import re
from collections.abc import Iterator, Sequence

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED, ChopRow
from edgetest.store.table_faults import cell_fault

_FROZEN = re.compile(
    r"\b(?:frozen|frost(?:ed|y)?|iced?|icy)\b(?!-free| free| crack)", re.IGNORECASE
)
_NOT = re.compile(
    r"\b(?:not|no|never|nor|without|free (?:of|from)|before|after|un)\W+(?:\w+\W+){0,2}"
    r"(?:frozen|frost\w*|ice\w*|icy)\b|\bthawed\b|\b(?:frozen|frost|ice)\b[^.;]*\bgone\b",
    re.IGNORECASE,
)


def frost_told(row: ChopRow) -> str:
    """The word in which a row tells of frozen wood; "" where none does."""
    for words in (row.note, row.mishap, row.exclude, row.board, row.block, row.grain):
        if (some := _FROZEN.search(words)) and not _NOT.search(words):
            return some[0]
    return ""


def asked_of_frost(name: str, rows: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """A question about pieces told frozen that count as thawed wood; told, not raised."""
    frozen = _counted(rows)
    if frozen:
        also = f", also in {len(frozen) - 1} more" if len(frozen) > 1 else ""
        what = f'"{frost_told(frozen[0])}" is noted{also}; frozen wood counts as if it were thawed'
        mend = "write frozen under exclude if it shall not count; if it shall, leave it"
        yield cell_fault(name, frozen[0].line, "exclude", what, mend)


def frost_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each blade with pieces that are told frozen and count as thawed."""
    lines: dict[str, list[int]] = {}
    for row in _counted(rows):
        lines.setdefault(row.blade, []).append(row.line)
    for blade, those in lines.items():
        rows_said = f"row{'s' * (len(those) > 1)} {', '.join(map(str, those))}"
        where = Where(name, those[0], blade)
        yield doubt("frost_told", blade=blade, rows=rows_said, where=where)


def _counted(rows: Sequence[ChopRow]) -> list[ChopRow]:
    return [
        row for row in rows
        if row.kind in SEVERED and row.chops and not row.exclude and frost_told(row)
    ]  # fmt: skip
