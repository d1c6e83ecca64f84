"""What a maker writes for a size, a force or a temperature, read as one plain number.

Every function raises ``ValueError`` subclasses of its own (`Unreadable`) whose two parts,
what is wrong and how to mend it, are put behind a file, row and column by the caller.
"""

import re
from functools import lru_cache
from math import isfinite

from edgetest.no_numbers import DIGITS, LONGEST_SHOWN, no_number, shortened

LARGEST = 1e300  # a whole number of a file may have more digits than a float can hold
MM_PER_INCH = 25.4  # exact, by definition
NEWTON_PER_GF = 9.80665e-3  # exact, standard gravity

# What one of the written unit is worth in the unit that the column is kept in.
UNITS: dict[str, dict[str, float]] = {
    "mm": {
        "mm": 1.0, "cm": 10.0, "m": 1000.0, "µm": 1e-3, "um": 1e-3,
        "in": MM_PER_INCH, "inch": MM_PER_INCH, "inches": MM_PER_INCH, '"': MM_PER_INCH,
        "ft": 12 * MM_PER_INCH, "foot": 12 * MM_PER_INCH, "feet": 12 * MM_PER_INCH,
        "'": 12 * MM_PER_INCH,
        "thou": MM_PER_INCH / 1000,
    },
    "um": {
        "µm": 1.0, "um": 1.0, "micron": 1.0, "microns": 1.0, "mm": 1000.0, "nm": 1e-3,
        "in": MM_PER_INCH * 1000, '"': MM_PER_INCH * 1000, "thou": MM_PER_INCH,
    },
    "gf": {
        "gf": 1.0, "g": 1.0, "kgf": 1000.0, "kg": 1000.0,
        "n": 1 / NEWTON_PER_GF, "mn": 1e-3 / NEWTON_PER_GF,
        "lb": 453.59237, "lbf": 453.59237, "oz": 28.349523125, "ozf": 28.349523125,
    },
    "n": {
        "n": 1.0, "gf": NEWTON_PER_GF, "g": NEWTON_PER_GF, "kgf": 9.80665, "kg": 9.80665,
        "lb": 4.4482216152605, "lbf": 4.4482216152605,
    },
    "g": {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237},
    "min": {
        "min": 1.0, "minute": 1.0, "minutes": 1.0, "h": 60.0, "hr": 60.0, "hour": 60.0,
        "hours": 60.0, "s": 1 / 60, "sec": 1 / 60,
    },
    "h": {"h": 1.0, "hr": 1.0, "hour": 1.0, "hours": 1.0, "min": 1 / 60, "minutes": 1 / 60},
    "c_apart": {"°c": 1.0, "c": 1.0, "k": 1.0, "°f": 5 / 9, "f": 5 / 9},
    "s": {"s": 1.0, "sec": 1.0, "min": 60.0, "h": 3600.0},
    "deg": {"deg": 1.0, "°": 1.0, "degrees": 1.0},
    "hrc": {"hrc": 1.0},
    "pct": {"%": 1.0, "pct": 1.0, "percent": 1.0},
    "kg_m3": {"kg/m3": 1.0, "kg/m³": 1.0, "g/cm3": 1000.0, "g/cm³": 1000.0},
}  # fmt: skip
SHOWN = {
    "um": "µm", "n": "N", "deg": "°", "hrc": "HRC", "pct": "%", "c": "°C", "c_apart": "°C",
    "cuts": "cuts",
}  # fmt: skip

_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip
_FRACTION_SIGN = re.compile(f"\\s*[{''.join(_FRACTIONS)}]")
_PLAIN = str.maketrans(
    {
        "−": "-", "–": "-", "—": "-", "‑": "-", "″": '"', "”": '"', "“": '"', "′": "'", "’": "'",
        "μ": "µ", "⁄": "/", "∕": "/", "\u00a0": " ", "\u202f": " ", "\u2009": " ",
    }
)  # fmt: skip
_NUMBER = re.compile(r"[+-]?(\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?")
_MIXED = re.compile(r"(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)")
_QUANTITY = re.compile(
    r"(?P<size>[+-]?(?:\d+[\s-]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|[\d.,]+(?:[eE][+-]?\d+)?))\s*"
    r"(?P<unit>[^\d\s.,+-].*)?"
)
_MONTH = r"(?:jan|feb|m[aä]r|apr|ma[iy]|jun|jul|aug|sep|o[ck]t|nov|de[cz])[a-zä]{0,6}\.?"
_DATE = re.compile(
    rf"\d{{4}}-\d\d-\d\d([ T].*)?|\d{{1,2}}[-. /]+{_MONTH}([-. /]+\d{{2,4}})?"
    rf"|{_MONTH}[-. /]+\d{{2,4}}|(?:0?[1-9]|[12]\d|3[01])\.(?:0?[1-9]|1[0-2])\.(?:\d\d|\d{{4}})?",
    re.IGNORECASE,
)


class Unreadable(ValueError):  # noqa: N818 - it is said of a cell
    """A text that is not the number wanted: `what` is wrong with it and its `mend`."""

    def __init__(self, what, mend):
        super().__init__(what, mend)
        self.what, self.mend = what, mend

    def __str__(self):
        return f"{self.what}; {self.mend}"


class Typed(float):
    """A number in the unit that its key names, and how it was typed: "1500 °F", "1/4 in", 15.

    Arithmetic sees the number alone and gives plain floats; files and documents show `typed`.
    It is equal to, and hashes as, its number: a cache must be keyed by what was typed (`typed`,
    or a record's JSON, which writes it), else "1/4 in" is answered as "6.35 mm".
    """

    __slots__ = ("typed",)
    typed: str | float

    def __new__(cls, number, typed):
        """A number and what was typed for it."""
        self = super().__new__(cls, number)
        object.__setattr__(self, "typed", typed)
        return self

    def __setattr__(self, name, value):
        raise AttributeError("a typed number is never changed")

    def __reduce__(self):
        return Typed, (float(self), self.typed)


def as_typed(number, unit):
    """A size as a document says it: as it was typed, else with the unit of its key.

    Parameters
    ----------
    number : Typed or float
        In `unit`, a key of `UNITS` or "c".
    unit : str

    Returns
    -------
    str
        "1500 °F" where that or "1500 F" was typed, "815 °C" where a bare 815 stands under °C.
    """
    typed = getattr(number, "typed", number)
    if not isinstance(typed, str):
        words = f"{typed:g}"
    else:
        words = " ".join(typed.split())
        try:
            parse_number(words)
        except Unreadable:
            if unit != "c":
                return words  # its unit stands in it
            degrees = r"(?i)(?<=\d) ?(?:°|º|degrees?|deg)? ?(f|c)(?:ahrenheit|elsius)?$"
            return re.sub(degrees, lambda found: f" °{found[1].upper()}", words)
    return f"{words}{'' if unit == 'deg' else ' '}{SHOWN.get(unit, unit)}"


def normal(text):
    """The text with one kind of dash, quote, micro sign and blank."""
    return " ".join(str(text).translate(_PLAIN).split())


def decimal_marks(texts):
    """The decimal marks that a file's own numbers show beyond doubt: "", ",", "." or both.

    "12,5" can only be a decimal comma; "1,234" might be a thousand and shows nothing, as "1.234".
    """
    marks = set()
    for text in texts:
        for number in re.findall(r"\d+[.,]\d+|[.,]\d+", normal(text)):
            whole, mark, rest = re.split(r"([.,])", number, maxsplit=1)
            if len(rest) != 3 or len(whole) > 3 or whole.startswith("0") or not whole:
                marks.add(mark)
    return "".join(sorted(marks))


@lru_cache(maxsize=8192)
def parse_number(text, marks=""):
    """A number written with a decimal comma or a decimal point.

    Parameters
    ----------
    text : str
        The cell, such as "12.5", "12,5" or "1e3".
    marks : str
        Decimal marks that the rest of the file uses (see `decimal_marks`); they settle what
        "1,234" means. Without them it is refused, for it may be a thousand.

    Returns
    -------
    float

    Raises
    ------
    Unreadable
        If the text is not a number, or could be two numbers.
    """
    clean = normal(text)
    if _DATE.fullmatch(clean):
        raise Unreadable(
            f'"{text}" is a date, not a number',
            "a spreadsheet may have turned 3-4, 1/4 or 8.2 into it: format the column as text "
            "and type the value again",
        )
    if not _NUMBER.fullmatch(clean):
        if re.fullmatch(r"[+-]?\d{1,3}([.,' ]\d{3})+([.,]\d+)?|[\d.,]+[.,][\d.,]*", clean):
            raise Unreadable(
                f'"{text}" has more than one separator',
                "write it with one decimal mark and none for the thousands, such as 1234.5",
            )
        raise Unreadable(*no_number(text, clean, number=_NUMBER))
    thousand = re.fullmatch(r"[+-]?[1-9]\d{0,2}([.,])\d{3}", clean)
    if thousand and (
        (thousand[1] == "," and marks != ",") or (thousand[1] == "." and "," in marks)
    ):
        small, large = clean.replace(",", "."), re.sub("[.,]", "", clean)
        raise Unreadable(
            f'"{text}" can be read as {small} or as {large}',
            f"write {small}0 with a decimal point, or {large} without a separator"
            if thousand[1] == ","
            else f"the file also has decimal commas: write {clean.replace('.', ',')}0 or {large}",
        )
    number = float(clean.replace(",", "."))
    if not isfinite(number):
        raise Unreadable(f'"{shortened(text)}" is too large to be a number', "write the value met")
    return number


def parse_quantity(text, unit, *, marks=""):
    """A number with or without its unit, in the unit asked for.

    A bare number is taken in `unit`, since the column or the key says it; a bare fraction is
    refused, for nobody measures millimetres in quarters.

    Parameters
    ----------
    text : str or float
        Such as "6.35 mm", "1/4 in", '1 1/2"', "½ in", "6,35" or 6.35.
    unit : str
        Unit of the answer: a key of `UNITS`, or "c" for degrees Celsius.
    marks : str
        As in `parse_number`.

    Returns
    -------
    float
        The value in `unit`.

    Raises
    ------
    Unreadable
        If it is not a number, or its unit is unknown here.
    """
    if isinstance(text, bool):
        raise Unreadable(f"{str(text).lower()} is not a number", "write digits only, such as 12.5")
    if isinstance(text, int | float):
        if not abs(text) < LARGEST:
            shown = text if isinstance(text, float) else "this"
            raise Unreadable(f"{shown} is not a finite number", "write the value met")
        return float(text)
    clean = normal(text)
    if _FRACTION_SIGN.search(clean):
        clean = _FRACTION_SIGN.sub(lambda found: f" {_FRACTIONS[found[0].strip()]}", clean).strip()
    feet = re.fullmatch(r"(\d+)\s*(?:'|ft)\s*(.+?)\s*(?:\"|in)", clean)
    if feet and unit == "mm" and len(clean) <= LONGEST_SHOWN:
        return (int(feet[1]) * 12 + _size(feet[2], text, marks)) * MM_PER_INCH
    found = _QUANTITY.fullmatch(clean)
    if not found or _DATE.fullmatch(clean):
        return parse_number(str(text), marks)  # says what is wrong with it
    size, written = found["size"], (found["unit"] or "").strip()
    number = _size(size, text, marks)
    if "/" in size and not written:
        raise Unreadable(f'"{text}" is a fraction without a unit', f"write {size} in")
    return _in_unit(number, written, unit, text) if written else number


def _size(text, whole, marks):
    """The number in front of a unit: a mixed fraction or a decimal."""
    if mixed := _MIXED.fullmatch(text.strip()):
        if len(text) > LONGEST_SHOWN:
            raise Unreadable(f'"{shortened(text)}" is too long', "write the value met")
        if int(mixed[3]) == 0:
            raise Unreadable(f'"{whole}" divides by zero: it cannot be read', "write it again")
        return int(mixed[1] or 0) + int(mixed[2]) / int(mixed[3])
    return parse_number(text, marks)


def _in_unit(number, written, unit, text):
    """The number turned from the written unit into the one that is kept."""
    name = written.rstrip(".").lower()
    if unit == "c":
        return _celsius(number, name, text)
    known = UNITS.get(unit, {})
    if not known and name.rstrip("s") == unit.rstrip("s"):
        return number
    if not known:
        raise Unreadable(f'"{text}" is not a number alone', "write the number, and no word")
    if name not in known:
        told = no_number(text, normal(text), number=_NUMBER)
        if told[1] != DIGITS:
            raise Unreadable(*told)
        names = ", ".join(dict.fromkeys(SHOWN.get(k, k) for k in known)) or "no unit"
        raise Unreadable(f'"{text}" has the unknown unit "{written}"', f"known here: {names}")
    return number * known[name]


def _celsius(number, name, text):
    name = re.sub("°|º|degrees?|deg", "", name).strip()
    if name in ("c", "celsius"):
        return number
    if name in ("f", "fahrenheit"):
        return fahrenheit_to_celsius(number)
    if name == "k":
        return number - 273.15
    raise Unreadable(f'"{text}" has the unknown unit "{name}"', "known here: °C, °F, K")


def fahrenheit_to_celsius(temperature_f):
    """Degrees Celsius of degrees Fahrenheit."""
    return (temperature_f - 32) / 1.8


def parse_bracket(text, unit="hrc", *, marks=""):
    """Two ends of a range such as "58-60", "58 to 60" or a single number.

    Returns
    -------
    tuple of float
        Lower and upper end; equal for a single number.

    Raises
    ------
    Unreadable
        If an end is not a number or the ends stand the wrong way round.
    """
    if isinstance(text, int | float):
        number = parse_quantity(text, unit, marks=marks)
        return number, number
    clean = normal(text)
    ends = split_range(clean)
    if ends is None:
        number = parse_quantity(clean, unit, marks=marks)
        return number, number
    low, high = ends
    tail = re.search(r"[^\d.,\s/]+.*$", high)
    if tail and not re.search(r"[^\d.,\s/]", low):
        low = f"{low} {tail[0]}"  # "1/4-1/2 in": the unit stands once and holds for both
    low, high = parse_quantity(low, unit, marks=marks), parse_quantity(high, unit, marks=marks)
    if low > high:
        raise Unreadable(f'"{text}" runs downwards', f"write {high:g}-{low:g}")
    return low, high


def split_range(text):
    """The two texts of "a-b" or "a to b"; None where the text is not a range."""
    found = re.fullmatch(r"(\S.*?)\s*(?:(?<=[\d\s\w\"'°%.])-|\bto\b|\.\.)\s*(\d.*|[.,]\d.*)", text)
    if not found or re.fullmatch(r"\d+[\s-]+\d+\s*/\s*\d+.*", text):
        return None
    if _DATE.fullmatch(text) or re.search(r"\d[eE]$", found[1]):  # the minus of 1e-3, or of a date
        return None
    return found[1].strip(), found[2].strip()
