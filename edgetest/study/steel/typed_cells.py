"""What does a cell that is typed at the prompt say in study.toml?"""

import re
from shlex import quote

from edgetest.errors import UnusableInput
from edgetest.study.steel.row_kinds import several_in
from edgetest.study.steel.steel_rows import IN_EVIDENCE

TRUTHS = {"yes": True, "no": False, "true": True, "false": False}
WORDED = {"coating", "lead", "magnet"}  # there "no" is one of the words
# Text, also where it looks like a number.
NAMES = (
    "id", "piece", "coupon", "blade", "lot", "note", "known_low", "known_high", "source", "form",
    "beside", "day", "hit", "poor_edge", "exclude",
)  # fmt: skip
HARDNESSES = ("hardness", "hardness_skin", "hardness_below")
FILES = "files_hrc"
LISTS = (*HARDNESSES, FILES)


def bare_cell(cell: str) -> str:
    """A cell without quotes about all of it: a prompt takes text with them and without."""
    mark = cell[:1]
    quoted = len(cell) > 1 and mark in ('"', "'") and cell.endswith(mark) and cell.count(mark) == 2
    return cell[1:-1] if quoted else cell


def typed_cell(key, text):
    """A value as study.toml holds it: yes or no, a number, several, else the text as typed."""
    if key in NAMES:
        return text
    if text.casefold() in TRUTHS and key not in WORDED:
        truth = TRUTHS[text.casefold()]
        return int(truth) if key == "cracked" else truth  # a number of coupons
    if key == FILES:
        return _files(text)
    if key in LISTS:
        parts = (part.strip() for part in text.split(";"))
        return [part if several_in(part) else _number(part) for part in parts if part]
    return _number(text)


def _files(text: str) -> list:
    """The ratings of a set of files, with blanks, commas or semicolons between them.

    Raises
    ------
    UnusableInput
        Of what is no rating, such as a range.
    """
    plain = re.sub(r"(?i)hrc", " ", text)
    # A comma behind two digits and before two more parts files; in "62,5" it is a decimal one.
    plain = re.sub(r"(?<=\d\d),(?=\s*\d\d)", " ", plain)
    found = [_number(part.strip(",")) for part in re.split(r"[;\s]+", plain) if part.strip(",")]
    if not found or any(isinstance(each, str) for each in found):
        raise UnusableInput(
            f'"{text}" is not a set of files', f"{IN_EVIDENCE}, {FILES}",
            f"name each file: {FILES}={quote('40 45 50 55 60 65')}",
        )  # fmt: skip
    return found


def _number(text):
    """A number, whole where it is written so; else the text."""
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text
