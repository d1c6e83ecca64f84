"""A number with its interval, and the doubts that go with it."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, inf, isfinite, log10
from numbers import Real
from typing import Any

from edgetest.doubts import Doubt, told
from edgetest.errors import UnusableInput


def checked_level(level: Any) -> float:
    """A coverage of intervals: a share above one half and below 1.

    Raises
    ------
    UnusableInput
    """
    return _share_above(0.5, level, "level", "give a share such as 0.95")


def checked_margin(margin: Any) -> float:
    """A difference in life worth knowing: a share above 0 and below 1.

    Raises
    ------
    UnusableInput
    """
    return _share_above(0, margin, "margin", "give a share such as 0.10")


def _share_above(least: float, given: Any, name: str, mend: str) -> float:
    """A number above `least` and below 1; nan is none."""
    if is_number(given) and least < given < 1:
        return float(given)
    raise UnusableInput(f"{shown(given)} is no {name}", name, mend)


def is_number(given: Any) -> bool:
    """Whether a value is one real number, of Python's kinds or an array library's."""
    return isinstance(given, Real)


def shown(given: Any) -> str:
    """A value that was met, as an error shows it: a number, a text in quotes, else its kind."""
    if is_number(given):
        return f"{float(given):g}"
    return f'"{given}"' if isinstance(given, str) else f"a value of the kind {type(given).__name__}"


def plain(number: Any) -> float | None:
    """A float for JSON: None where it is infinite or not a number."""
    return float(number) if number is not None and isfinite(number) else None


def for_json(value: Any) -> Any:
    """A value as JSON carries it: results by their `to_dict`, arrays as lists, no infinities."""
    if hasattr(value, "to_dict"):
        return value.to_dict()
    if isinstance(value, float):
        return plain(value)
    if isinstance(value, dict):
        return {key: for_json(each) for key, each in value.items()}
    if isinstance(value, tuple | list):
        return [for_json(each) for each in value]
    return value.tolist() if hasattr(value, "tolist") else value


def json_fields(result: Any, *, without: Iterable[str] = ()) -> dict[str, Any]:
    """The fields of a result for JSON, by name; its doubts as `told` tells them."""
    held = {name: part for name, part in vars(result).items() if name not in ("doubts", *without)}
    return for_json(held) | (told(result.doubts) if hasattr(result, "doubts") else {})


@dataclass(frozen=True)
class Estimate:
    """A number with its interval and its doubts."""

    value: float
    low: float
    high: float
    unit: str
    level: float = 0.95
    method: str = ""
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON; an open end of the interval is None, never Infinity."""
        values = {name: part for name, part in vars(self).items() if name != "doubts"}
        for key in ("value", "low", "high"):
            values[key] = plain(values[key])
        return values | told(self.doubts)

    def summary(self) -> str:
        """The estimate as a maker reads it, rounded to what the interval can bear."""
        return f"{format_estimate(self.value, self.low, self.high)} {self.unit}".rstrip()


def chance(probability: float) -> str:
    """A probability in words that claim no more digits than it has."""
    if probability > 0.99:
        return "over 99 %"
    if probability < 0.01:
        return "under 1 %"
    return f"{100 * probability:.0f} %"


# The last place told is a tenth of the half-width or a little less, never a hundredth of it: a
# half-width of 5 to 50 is told in ones. Two digits of the half-width at most, as JCGM 100:2008,
# 7.2.6, asks; that its first digit decides is our choice, so that 0.0099 is told as 0.0105 is.
_LEAST_STEPS = 5.0


def _power_told(spread: float) -> int:
    """Power of ten of the last place that a half-width bears."""
    return floor(log10(spread / _LEAST_STEPS) + 1e-9)


def decimals(low: float, high: float, value: float = 1.0, *, apart: float | None = None) -> int:
    """Decimal places that an interval can bear, by its half-width.

    Parameters
    ----------
    low, high, value : float
        An end may be infinite.
    apart : float, optional
        A number that no end is rounded onto unless it is that number, or within half of the
        fourth decimal of it: 1 of a ratio, so that an interval that leaves it out is seen to.

    Returns
    -------
    int
    """
    spread = (high - low) / 2
    if isfinite(low) != isfinite(high):  # one end is open: as far as the other one is away
        spread = abs((low if isfinite(low) else high) - value)
    if not 0 < spread < inf:
        spread = abs(value) / 20 or 1.0
    places = max(0, -_power_told(spread))
    if apart is None or not _meets(apart, places, low, high):
        return places
    more = range(places + 1, max(_MOST_PLACES, places) + 1)
    return next((each for each in more if not _meets(apart, each, low, high)), places)


_MOST_PLACES = 4  # an end nearer than that to a number is that number, to any reader. Our choice


def _meets(apart: float, places: int, *ends: float) -> bool:
    """Whether an end that is not a number is rounded onto it."""
    return any(isfinite(end) and end != apart and round(end, places) == apart for end in ends)


def estimate_parts(
    value: float, low: float, high: float, *, apart: float | None = None
) -> tuple[str, str]:
    """A value and its interval apart, as "12.3" and "11.9 to 12.8": the one rule of rounding.

    Parameters
    ----------
    value, low, high : float
        An end may be infinite.
    apart : float, optional
        As in `decimals`. What has one is a ratio: no end above 0 is rounded to 0.

    Returns
    -------
    (str, str)
    """
    places = decimals(low, high, value, apart=apart)
    shown, at_least, at_most = (f"{x:z.{places}f}" for x in (value, low, high))
    if apart is not None and _too_coarse(10.0**-places, low):
        shown, at_least, at_most = _each_by_its_size(value, low, high, apart=apart)
    if not isfinite(high):
        return shown, f"{at_least} or more"
    return shown, f"{at_least} to {at_most}" if isfinite(low) else f"{at_most} or less"


_DIGITS = 2  # of each number of an interval whose ends lie powers of ten apart; a choice
_COARSEST = 0.1  # of the lower end, by which a step may be: rounding moves none by more than 5 %


def _too_coarse(step: float, low: float) -> bool:
    """Whether steps that the half-width bears would leave little or nothing of the lower end."""
    return 0 < low < inf and step > _COARSEST * low


def _each_by_its_size(
    *numbers: float, apart: float | None = None, places: int | None = None
) -> list[str]:
    """Numbers to two digits each, where the half-width of an interval would leave none of one.

    Such an interval is one of a logarithm: its ends lie as many times below the value as above.
    """
    enough = (
        digits
        for digits in range(_DIGITS, _MOST_PLACES + 2)
        if not any(isfinite(x) and x != apart and _to_digits(x, digits) == apart for x in numbers)
    )
    digits = _DIGITS if apart is None else next(enough, _DIGITS)
    told = []
    for x in numbers:
        after = max(digits - 1 - floor(log10(x)), 0) if 0 < x < inf else 0
        after = after if places is None else min(after, places)
        told.append(f"{_to_digits(x, digits):,.{after}f}" if isfinite(x) else "")
    return told


def _to_digits(x: float, digits: int) -> float:
    """A number above 0 rounded to so many digits."""
    return round(x, digits - 1 - floor(log10(x))) if 0 < x < inf else x


def format_estimate(value: float, low: float, high: float, *, apart: float | None = None) -> str:
    """Value and interval as "12.3 (11.9 to 12.8)"; an open end is said in words."""
    if not isfinite(value):
        return f"{low:.2g} or more"
    shown, interval = estimate_parts(value, low, high, apart=apart)
    return f"{shown} ({interval})"


# An interval of a ratio that reaches so many times down and up tells of no difference whatever:
# its ends are the law's, not the data's. Own choice.
_TIMES = 10.0
ANYTHING = "under 0.1 to over 10"


def tells_nothing(low: float, high: float) -> bool:
    """Whether a ratio's interval holds a tenth, ten times, and all between."""
    return low < 1 / _TIMES and high > _TIMES


def format_ratio(value: float, low: float, high: float) -> str:
    """A ratio and its interval as `format_estimate` tells them; in words where it tells nothing."""
    if tells_nothing(low, high):
        return f"anything from {ANYTHING}"
    return format_estimate(value, low, high, apart=1.0)


def format_count(count: float, low: float, high: float) -> tuple[str, str]:
    """A count and its interval apart, "170" and "161 to 178": whole, as what is counted is.

    Rounded as every estimate is and never finer than to one, so that all lives of a study are
    told alike, in its text, its tables and its documents.

    Parameters
    ----------
    count, low, high : float
        Such as cuts; `high` may be infinite.

    Returns
    -------
    (str, str)
    """
    spread = (high - low) / 2 if isfinite(high) else (3 * count - low) / 4
    step = 10 ** max(_power_told(spread), 0) if spread > 0 else 1
    shown, at_least, at_most = (
        f"{step * round(x / step):,.0f}" if isfinite(x) else "" for x in (count, low, high)
    )
    if _too_coarse(step, low):
        shown, at_least, at_most = _each_by_its_size(count, low, high, places=0)
    return shown, f"{at_least} to {at_most}" if isfinite(high) else f"{at_least} or more"
