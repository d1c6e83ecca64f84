"""What stands in one cell of a log: a number, a bound, a grade, or nothing."""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from edgetest.no_numbers import DIGITS
from edgetest.store.plausible import MOST
from edgetest.units import SHOWN, Unreadable, normal, parse_quantity, split_range

Kind = Literal["number", "below", "above", "between", "grade", "missing"]


@dataclass(frozen=True)
class Reading:
    """One reading: a number, or the bounds that are known of it.

    `value` is None unless a number was read; `lower` and `upper` are the known bounds of a
    `<x`, `>x` or `a-b`; `text` and `rank` (0 the sharpest) belong to a grade.
    """

    value: float | None
    lower: float | None
    upper: float | None
    kind: Kind
    text: str = ""
    rank: int | None = None


MISSING = Reading(None, None, None, "missing")
_NOT_WORDS = {
    "no", "n", "none", "0", "false", "-", "keep", "nein", "yes", "y", "x", "1", "true", "ja", "ok",
}  # fmt: skip
_RANGE_MEND = "write it as a-b with the smaller number first"
LIFE_MEND = (
    "write 340, >150 (not dull yet), <20 (dull at the first check) or 320-340 (last pass to "
    "first fail); a cell that a spreadsheet turns into a date is formatted as text"
)
STROKES_MEND = (
    "write whole strokes such as 12, or >30 (or 30+) for a piece that still stood after 30 strokes"
)
GIVEN_UP = re.compile(
    r"\b(?:(?:gave|given) (?:it )?up|still st(?:ood|ands?)|not (?:severed|through)"
    r"|did not (?:fall|sever))\b",
    re.IGNORECASE,
)  # what makers note of a piece that did not fall
_BLANK_MEND = "leave the cell blank where nothing was read"
_SEEN_MEND = "; write <1 where you looked and saw less than you can read"


@lru_cache(maxsize=8192)
def parse_reading(
    text: str, unit: str, marks: str = "", *, above: float | None = None, least: float | None = None
) -> Reading:
    """A cell of a reading's column.

    Parameters
    ----------
    text : str
        The cell: "12.5", "12,5", "<8", ">40", "8-10", "1/4 in" or nothing.
    unit : str
        Unit of the column (see `edgetest.units.UNITS`).
    marks : str
        Decimal marks that the file uses elsewhere.
    above, least : float, optional
        The reading must be above, or at the least, this.

    Returns
    -------
    Reading
        Its kind is "missing" for a blank cell, never zero.

    Raises
    ------
    Unreadable
        Saying what is wrong with the cell and how to mend it.
    """
    clean = normal(text)
    if not clean:
        return MISSING
    if clean[0] in "<≤>≥":
        bound = _number(clean[1:].lstrip(" ="), unit, marks, above, least, text)
        if clean[0] in "<≤":
            return Reading(None, None, bound, "below")
        return Reading(None, bound, None, "above")
    if ends := split_range(clean):
        low_text, high_text = _share_unit(*ends)
        low = _number(low_text, unit, marks, above, least, text)
        high = _number(high_text, unit, marks, above, least, text)
        if low >= high:
            raise Unreadable(f'"{text}" does not run upwards', _RANGE_MEND)
        return Reading(None, low, high, "between")
    value = _number(clean, unit, marks, above, least, text)
    return Reading(value, None, None, "number")


def parse_life(text: str, marks: str = "") -> Reading:
    """A life in cuts as it was noted: "340", ">150" or "150+", "<20", "320-340", or nothing.

    Raises
    ------
    Unreadable
        Where it is none of these, or "1.500" that may be a thousand.
    """
    clean = re.sub(r"\s*cuts?$", "", normal(text))
    for number in re.findall(r"(?<![\d.,])[1-9]\d{0,2}[.,]\d{3}(?![\d.,])", clean):
        _refuse_thousand(text, number)
    if clean.endswith("+"):
        clean = f">{clean[:-1].rstrip()}"
    try:
        return parse_reading(clean, "cuts", marks, above=0)
    except Unreadable as fault:
        if fault.mend == _RANGE_MEND:
            raise
        what = fault.what if "date" in fault.what else f'"{text}" is not a life in cuts'
        raise Unreadable(what, LIFE_MEND) from None


def parse_strokes(text: str, marks: str = "", *, above: float | None = 0) -> Reading:
    """Strokes for a piece as they were noted: "12", ">30" or "30+" where it still stood, a range.

    Raises
    ------
    Unreadable
        Where it is none of these; a piece given up is told how it is written.
    """
    clean = normal(text)
    if re.fullmatch(r"\d+\s*\+", clean):
        clean = f">{clean[:-1].rstrip()}"
    if "/" in clean and any(letter.isdigit() for letter in clean):
        raise Unreadable(f'"{text}" is no count of strokes', STROKES_MEND)
    try:
        return parse_reading(clean, "cuts", marks, above=above)
    except Unreadable as fault:
        made = re.findall(r"\d+", clean)
        if GIVEN_UP.search(clean) and len(made) == 1:
            told = f"write >{made[0]} for a piece that still stood after {made[0]} strokes"
            raise Unreadable(f'"{text}" is not a number', told) from None
        if fault.mend == DIGITS:
            raise Unreadable(fault.what, STROKES_MEND) from None
        raise


def parse_grade(text: str, ladder: tuple[str, ...]) -> Reading:
    """A grade of the protocol's ladder; any text where there is no ladder to hold it against."""
    clean = normal(text)
    if not clean:
        return MISSING
    if not ladder:
        return Reading(None, None, None, "grade", clean, None)
    for rank, grade in enumerate(ladder):
        if normal(grade).casefold() == clean.casefold():
            return Reading(None, None, None, "grade", grade, rank)
    raise Unreadable(
        f'"{text}" is not a grade of the ladder', f"best to worst: {', '.join(ladder)}"
    )


def parse_whole(text: str, marks: str = "", *, least: int = 0) -> int:
    """A whole number such as cuts; "100.0" is one, "100.5" is not."""
    clean = normal(text)
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", clean):
        _refuse_thousand(text, clean)
    number = parse_quantity(clean, "cuts", marks=marks)
    if number > MOST["cuts"]:
        raise Unreadable(f'"{text}" is more than can be counted', "write the number met")
    if number != int(number):
        raise Unreadable(f'"{text}" is not a whole number', "write one, such as 12")
    if number < least:
        raise Unreadable(f'"{text}" is below {least}', f"count from {least} upwards")
    return int(number)


def _refuse_thousand(text: str, number: str) -> None:
    """Refuse "1.500", which is one and a half or a thousand and five hundred."""
    small, large = number[:-4], re.sub("[.,]", "", number)
    raise Unreadable(f'"{text}" can be read as {small} or as {large}', "write digits only")


YES_OR_NO = ("yes", "no", "y", "n")


def parse_choice(text: str, choices: tuple[str, ...]) -> str:
    """One of a few words, in either case."""
    clean = normal(text).casefold()
    if clean in choices:
        return clean
    if clean in YES_OR_NO and "pass" in choices:
        mend = f"write pass if it stood the test, fail if not: {clean} can be meant either way"
        raise Unreadable(f'"{text}" is not known here', mend)
    raise Unreadable(f'"{text}" is not known here', f"write one of {', '.join(choices)}")


def parse_reason(text: str) -> str:
    """Words that say why; "no" or "x" alone says nothing and is refused."""
    clean = normal(text)
    if clean.casefold() in _NOT_WORDS:
        raise Unreadable(
            f'"{text}" does not say what happened',
            "write it in words, or leave the cell blank where nothing did",
        )
    return clean


def plain_number(number: Any) -> str:
    """A number with all its digits, a decimal point, and no exponent that a "-" could hide in."""
    if number is None:
        return ""
    text = repr(float(number))
    if "e" in text:
        text = f"{float(number):.25f}".rstrip("0")
    text = text.removesuffix(".0").removesuffix(".")
    # three decimals exactly look like a thousand in a file with decimal commas
    return f"{text}0" if re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", text) else text


def _number(
    text: str, unit: str, marks: str, above: float | None, least: float | None, whole: str
) -> float:
    value = parse_quantity(text, unit, marks=marks)
    if above is not None and value <= above:
        what = "is a reading of zero or below" if above == 0 else f"is not above {above:g}"
        raise Unreadable(
            f'"{whole}" {what}',
            _BLANK_MEND + (_SEEN_MEND if value == 0 and unit != "cuts" else ""),
        )
    if least is not None and value < least:
        raise Unreadable(f'"{whole}" is below {least:g}', _BLANK_MEND)
    if value > MOST.get(unit, value):
        name = SHOWN.get(unit, unit)
        raise Unreadable(
            f'"{whole}" is {value:g} {name}, more than can be', f"write the value met, in {name}"
        )
    return value


def _share_unit(low: str, high: str) -> tuple[str, str]:
    """In "8-10 µm" the unit stands once and holds for both."""
    tail = re.search(r"\s*[^\d.,\s/+-][^\d]*$", high)
    if tail and not re.search(r"[^\d.,\s/+-]", low):
        return f"{low} {tail[0]}", high
    return low, high
