"""A result's sentences with their lengths and masses in the units asked for, intervals too."""

import re

from edgetest.report.wording import in_units

_N = r"-?\d+(?:\.\d+)?"
_SPREAD = re.compile(rf"({_N}) \(({_N}) to ({_N})\) (mm|g)(?![\w²³/])")
_OF_ONE = {"mm": (1 / 25.4, "in"), "g": (1 / 28.3495, "oz")}
_RATE = re.compile(r"(per 100 mm)")  # told as it is: 4 in are no 100 mm


def text_in_units(text, units):
    """Text of a result in the units asked for.

    Parameters
    ----------
    text : str
        Its numbers in mm and g, as `summary()` tells them.
    units : {"metric", "inch", "both"}
        "both" puts the other unit in brackets behind a number that has no interval.

    Returns
    -------
    str
    """
    if units == "inch":
        text = _SPREAD.sub(_spread, text)
    return "".join(part if _RATE.match(part) else in_units(part, units)
                   for part in _RATE.split(text))  # fmt: skip


def _spread(met):
    """Value and interval in inches or ounces, no finer than they stood there."""
    factor, unit = _OF_ONE[met[4]]
    places = len(met[1].partition(".")[2]) + 1  # a tenth of either is more than one mm or g
    value, low, high = (f"{factor * float(met[n]):.{places}f}" for n in (1, 2, 3))
    return f"{value} ({low} to {high}) {unit}"
