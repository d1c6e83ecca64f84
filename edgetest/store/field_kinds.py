"""What may stand in a key of a record: names, numbers, sizes with their unit, days."""

import datetime
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from edgetest.store.checking import Quantity, bracket, refuse
from edgetest.store.days import parse_date
from edgetest.store.unseen import MEND, first_unseen, name_fault, shown_whole
from edgetest.units import Unreadable, parse_number


def _what_it_seems(name: str) -> str:
    if fault := name_fault(name):
        raise refuse(f'"{shown_whole(name)}": {fault}', MEND)
    return name


def _one_day(day: str) -> str:
    try:
        return parse_date(day)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None


def _a_share(value: Any) -> Any:
    """A share below 1; who writes percents is told how they are written."""
    text = str(value).strip().removesuffix("%").strip()
    try:
        percents = parse_number(text)
    except Unreadable:
        return value
    if percents >= 1 or text != str(value).strip():
        raise refuse(f"{value} is no share of 1", f"for {text} % write {percents / 100:g}")
    return value


def _seen(title: str) -> str:
    if number := first_unseen(title):
        raise refuse(f'"{shown_whole(title)}" holds a letter that is not seen ({number})', MEND)
    return title


def _rockwell(written: Any) -> Any:
    """A hardness with "HRC" behind it, as in "58 HRC" of "HRC58"; one of another scale is told."""
    if not isinstance(written, str) or not any(letter.isalpha() for letter in written):
        return written
    from edgetest.steel.scaled_hardness import in_hrc, own_scale

    scale, rest = own_scale(written)
    if scale is None:
        return written
    if scale == "HRC":
        return f"{rest} HRC"
    try:
        hrc = in_hrc(rest, scale)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None
    raise refuse(f"{rest} {scale} is not in HRC", f"write {hrc:.0f}, what ASTM E140 turns it into")


def _on_the_c_scale(hrc: float) -> float:
    """A hardness that was measured, where a C scale reads it."""
    from edgetest.steel.hardness_readings import off_the_c_scale

    if told := off_the_c_scale(hrc):
        raise refuse(told[0], "read it again; a bound goes to hardness_files, a wish to its target")
    return hrc


def _wished_on_the_c_scale(ends: tuple[float, ...]) -> tuple[float, ...]:
    """Ends of a wish or of a bracket by files, where a C scale has them."""
    from edgetest.steel.hardness_readings import off_the_c_scale

    for hrc in ends:
        if told := off_the_c_scale(hrc):
            raise refuse(told[0], "write a number of that scale")
    return ends


MOST_COUNTED = 100_000  # of anything that somebody counts; our choice
Count = Annotated[int, Field(strict=True, ge=1, le=MOST_COUNTED)]
CountFromZero = Annotated[int, Field(strict=True, ge=0, le=MOST_COUNTED)]
Name = Annotated[
    str,
    Field(min_length=1, max_length=60, pattern=r"^[^\n,;\t]+$"),
    AfterValidator(_what_it_seems),
]
LONGEST_TITLE = 300  # letters: it stands in a line of documents and figures; our choice
Title = Annotated[str, Field(min_length=1, max_length=LONGEST_TITLE), AfterValidator(_seen)]
TitleOrNone = Annotated[str, Field(max_length=LONGEST_TITLE)]
Number = Annotated[float, Field(strict=True)]  # true and "12" are no numbers
Share = Annotated[Number, Field(gt=0, lt=1), BeforeValidator(_a_share)]
Positive = Annotated[Number, Field(gt=0)]
Millimetres = Annotated[float, Quantity("mm", above=0)]
Micrometres = Annotated[float, Quantity("um", above=0)]
Degrees = Annotated[float, Quantity("deg", above=0)]
MillimetresFromZero = Annotated[float, Quantity("mm", least=0)]
DegreesFromZero = Annotated[float, Quantity("deg", least=0)]
Grams = Annotated[float, Quantity("g", above=0)]
Celsius = Annotated[float, Quantity("c", above=-273.15)]
Minutes = Annotated[float, Quantity("min", least=0)]
Hardness = Annotated[
    float,
    Quantity("hrc", above=0),
    BeforeValidator(_rockwell),
    AfterValidator(lambda hrc: _wished_on_the_c_scale((hrc,))[0]),
]
HardnessRange = Annotated[
    tuple[float, float],
    bracket("hrc"),
    BeforeValidator(_rockwell),
    AfterValidator(_wished_on_the_c_scale),
]
MeasuredHardness = Annotated[Number, AfterValidator(_on_the_c_scale)]
Day = Annotated[
    str,
    BeforeValidator(lambda day: day.isoformat() if isinstance(day, datetime.date) else day),
    AfterValidator(_one_day),
]


def in_celsius(data: Any) -> Any:
    """A table whose temperature stands under temperature_f, with it under temperature_c."""
    if not isinstance(data, dict) or "temperature_f" not in data:
        return data
    data = dict(data)
    written = data.pop("temperature_f")
    if "temperature_c" in data:
        raise refuse("both temperature_c and temperature_f are given", "keep one of them")
    named = isinstance(written, str) and any(letter.isalpha() for letter in written)
    data["temperature_c"] = written if named else f"{written} °F"
    return data
