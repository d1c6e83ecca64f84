"""A result's sentences with their lengths and masses in the units asked for, intervals too."""

import re

from edgetest.report.wording import in_units

_N = r"-?\d+(?:\.\d+)?"
_SPREAD = re.compile(rf"({_N}) \(({_N}) to ({_N})\) (mm|g|kg cm²|J|m/s)(?![\w²³/])")
_PLAIN = re.compile(rf"(?<![\w.])({_N}) (kg c?m²|J)(?![\w²³/])")
_LB_KG, _J_PER_FT_LBF = 0.45359237, 1.3558179  # NIST Special Publication 811 (2008), appendix B
# Factor, unit, and how many more places a number bears in that unit, which is the larger one.
_OF_ONE = {
    "mm": (1 / 25.4, "in", 1),
    "g": (1 / 28.3495, "oz", 1),
    "kg cm²": (1 / (_LB_KG * 2.54**2), "lb in²", 0),
    "kg m²": (1 / (_LB_KG * 0.3048**2), "lb ft²", 0),
    "J": (1 / _J_PER_FT_LBF, "ft lbf", 0),
    "m/s": (1 / 0.3048, "ft/s", 0),
}
_RATE = re.compile(r"(per 100 mm)")  # told as it is where inches stand beside
# What a rate is for, told exactly: rates rounded once are not rounded again.
_RATES_IN = (("per 100 mm", "per 3.94 in"), ("per 100 cm²", "per 15.5 in²"))


def text_in_units(text, units):
    """Text of a result in the units asked for.

    Parameters
    ----------
    text : str
        Its numbers in mm, g, kg cm², J and m/s, as `summary()` tells them.
    units : {"metric", "inch", "both"}
        "both" puts the other unit in brackets behind a number that has no interval.

    Returns
    -------
    str
    """
    if units == "inch":
        text = _PLAIN.sub(_plain, _SPREAD.sub(_spread, text))
        for metric, inches in _RATES_IN:
            text = text.replace(metric, inches)
    return "".join(part if _RATE.match(part) else in_units(part, units)
                   for part in _RATE.split(text))  # fmt: skip


def _spread(met):
    """Value and interval in the units of the inch, no finer than they stood there."""
    factor, unit, more = _OF_ONE[met[4]]
    places = len(met[1].partition(".")[2]) + more
    value, low, high = (f"{factor * float(met[n]):.{places}f}" for n in (1, 2, 3))
    return f"{value} ({low} to {high}) {unit}"


def _plain(met):
    """A number without an interval, to three figures."""
    factor, unit, _ = _OF_ONE[met[2]]
    return f"{factor * float(met[1]):.3g} {unit}"
