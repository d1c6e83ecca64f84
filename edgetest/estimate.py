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


def decimals(low: float, high: float, value: float = 1.0) -> int:
    """Decimal places that an interval can bear: two digits of its half-width."""
    spread = (high - low) / 2
    if isfinite(low) != isfinite(high):  # one end is open: as far as the other one is away
        spread = abs((low if isfinite(low) else high) - value)
    if not 0 < spread < inf:
        spread = abs(value) / 20 or 1.0
    return max(0, 1 - floor(log10(spread)))


def format_estimate(value: float, low: float, high: float) -> str:
    """Value and interval as "12.3 (11.9 to 12.8)"; an open end is said in words."""
    if not isfinite(value):
        return f"{low:.2g} or more"
    places = decimals(low, high, value)
    if not isfinite(high):
        return f"{value:z.{places}f} ({low:z.{places}f} or more)"
    if not isfinite(low):
        return f"{value:z.{places}f} ({high:z.{places}f} or less)"
    return f"{value:z.{places}f} ({low:z.{places}f} to {high:z.{places}f})"


def format_count(count: float, low: float, high: float) -> tuple[str, str]:
    """A count and its interval apart, "170" and "161 to 178": whole, as what is counted is.

    Rounded to the two digits that the half-width bears and never finer than to one, so that all
    lives of a study are told alike, in its text, its tables and its documents.

    Parameters
    ----------
    count, low, high : float
        Such as cuts; `high` may be infinite.

    Returns
    -------
    (str, str)
    """
    spread = (min(high, 3 * count) - low) / 2
    step = 10 ** max(floor(log10(spread)) - 1, 0) if spread > 0 else 1
    shown, at_least, at_most = (
        f"{step * round(x / step):,.0f}" if isfinite(x) else "" for x in (count, low, high)
    )
    return shown, f"{at_least} to {at_most}" if isfinite(high) else f"{at_least} or more"
