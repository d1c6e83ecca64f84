"""Numbers as the document says them: rounding, intervals, units."""

import re
from functools import partial
from math import floor, inf, isfinite

from edgetest.doubts import codes
from edgetest.estimate import ANYTHING, chance, estimate_parts, format_count, tells_nothing
from edgetest.study.words import listed
from edgetest.units import as_typed, fahrenheit_to_celsius
from edgetest.wear.curve.blade_life import cuts_words

NOT_NOTED = "not noted"  # what nobody filled in; never what the protocol asks for
SEALED = "sealed"  # what a blind test hides until its names are brought back
UNIT_CHOICES = ("metric", "inch", "both")
_NUMBER = (
    r"(?<![\d.,/])(?<!\d[eE])(?<!\d[eE][+-])"  # no part of 1/4 or 1e-3
    r"(?!\d{1,3}(?<!\b0),\d{3}(?!\d))"  # 1,250 may be a thousand: it stays as it is typed
    r"(?:\d+(?:[.,]\d+)?|[.,]\d+)"  # decimal point or comma
)
_PHYSICAL = re.compile(
    # What is to be typed, and what a number would be in another unit, stay as they are.
    rf"(?P<kept>\"{_NUMBER} (?:mm|°[CF])\"|{_NUMBER} (?:°F is {_NUMBER} °C|in is {_NUMBER} mm))|"
    r"(?P<step>steps? of (?:about )?)?"  # a difference of temperatures: 14 °C is 25 °F, not 57 °F
    rf"(?P<a>(?:(?<![\w–-])[-−])?{_NUMBER})(?:(?P<between>\s?(?:–|-|to|or|and)\s?)(?P<b>{_NUMBER}))?"
    r"\s?(?P<unit>[cm]m|°[CF]|g)(?![\w²³/])"
)
_AND = "and"
_OTHER = {"mm": "in", "cm": "in", "°C": "°F", "°F": "°C", "g": "oz"}


def interval_words(value, low, high, *, apart=None):
    """Value and interval apart, rounded to what the interval bears: ("252", "221 to 287")."""
    if value is None or not isfinite(value):
        return "", ""
    low = low if low is not None else -inf
    high = high if high is not None else inf
    if not isfinite(low) and not isfinite(high):
        return f"{value:.3g}", ""
    return estimate_parts(value, low, high, apart=apart)


def ratio_interval(estimate, low, high):
    """Ratio and interval apart; without a ratio the end that it has: ("at least 1.2", "").

    Of one whose interval tells nothing no number is told.
    """
    bounds = 0.0 if low is None else low, inf if high is None else high
    if estimate is not None and (low or high is not None) and tells_nothing(*bounds):
        return "cannot be told", ANYTHING
    value, interval = interval_words(estimate, low, high, apart=1.0)
    if value and (low or high is not None):
        return value, interval
    ends = (("at least", low), ("at most", high))
    told = [f"{word} {end:.3g}" for word, end in ends if end is not None and 0 < end < inf]
    return " and ".join(told) or "not known", ""


def life_interval(life):
    """A life {cuts, low, high} as value and interval; without a value, what it lies between."""
    if life is None:
        return "no life", ""
    if life.get("only_if_law_holds"):
        return f"over {floor(life['low'] + 1e-6)}", ""
    cuts, low, high = life["cuts"], life["low"], life["high"]
    if cuts is not None and isfinite(cuts):
        if not low:
            return f"{cuts:,.0f}", "" if high is None else f"{high:,.0f} or less"
        return format_count(cuts, low, inf if high is None else high)
    if low and high:
        return f"{low:g} to {high:g}", ""
    if high:
        return f"under {high:g}", ""
    return (f"over {floor(low + 1e-6)}", "") if low else ("not known", "")


def life_remarks(fit):
    """What is to be said beside a blade's life in a table, each in a few words.

    Parameters
    ----------
    fit : CurveFit

    Returns
    -------
    list of str
    """
    life = fit.to_dict()["life"] or {}
    told = []
    if life.get("extrapolated"):
        told.append(by_law_words(life) or "beyond the last stage")
    if "read_past_limit" in codes(fit.doubts):
        told.append("read past the limit: see its doubts")
    elif life.get("censored"):
        told.append("stopped before the limit")
    return told


def begun_words(curves):
    """Which curves begin with their first number, from pairs of blade and its first cuts."""
    late = [f"{blade} at {cuts:g} cuts" for blade, cuts in curves if cuts > 0]
    if not late:
        return ""
    why = "Where the readings do not show the fresh edge, a curve begins with its first number"
    return f" {why}: {listed(late)}."


def by_law_words(life):
    """What the law alone makes of a life that the readings do not reach; "" where they do."""
    law = (life or {}).get("only_if_law_holds")
    if not law or law["cuts"] is None:
        return ""
    low = 0.0 if law["low"] is None else law["low"]
    high = inf if law["high"] is None else law["high"]
    return f"only if the law holds {cuts_words(law['cuts'], low, high)}"


def chance_words(probability):
    """A probability in per cent with no more digits than it has."""
    return "not known" if probability is None else chance(probability)


def in_units(text, units):
    """Lengths, temperatures and masses of a text in the units asked for.

    "metric" leaves it as it was typed, "inch" replaces, "both" adds in brackets.
    """
    if units == "metric":
        return text
    return _PHYSICAL.sub(partial(_converted, units=units), text)


def typed_in_units(text, units):
    """What was typed, as it was typed; the other unit in brackets where another is asked for."""
    if units == "metric":
        return text
    return _PHYSICAL.sub(partial(_bracketed, units=units), text)


_INCHES = re.compile(r"(?:in|inch|inches|\"|ft|foot|feet|'|thou|oz|lb)$", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"(\d*),(\d+) ?")


def size_in_units(number, unit, units):
    """A length or a mass of the log as a document says it, in the units asked for.

    Parameters
    ----------
    number : Typed or float
        In `unit`.
    unit : {"mm", "g"}
    units : {"metric", "inch", "both"}

    Returns
    -------
    str
        As it was typed, "9 1/2 in" or "41.5 mm", a decimal comma as the point that it was read
        as: "1.5 in" of "1,5in"; the other unit behind it in brackets where that is asked for.
    """
    typed, plain = as_typed(number, unit), f"{float(number):g} {unit}"
    if _INCHES.search(typed) is None:
        return typed_in_units(plain if "," in typed else typed, units)
    typed = _DECIMAL_COMMA.sub(lambda met: f"{met[1] or 0}.{met[2]} ", typed)
    return f"{typed} ({float(number):.3g} {unit})" if units == "both" else typed


def _bracketed(found, units):
    """A size as typed, with the unit that is asked for behind it."""
    return found[0] if found["unit"] == "°F" and units == "inch" else _converted(found, "both")


def _converted(found, units):
    unit = found["unit"]
    if found["kept"] or (unit == "°F" and units == "inch"):
        return found[0]
    if _AND in (found["between"] or "") and found.string[: found.start("a")].endswith(" in "):
        count = found.string[found.start() : found.start("b")]  # "in 1 and 54 mm": of pieces
        return count + in_units(found.string[found.start("b") : found.end()], units)
    step = found["step"] or ""
    numbers = [_other(number, unit, step) for number in (found["a"], found["b"]) if number]
    between = found["between"] or ""
    other = f"{between.join(numbers)} {_OTHER[unit]}"
    return f"{step}{other}" if units == "inch" else f"{found[0]} ({other})"


def _other(number, unit, step=""):
    """One number in the other unit, with the digits that the first one had."""
    number = number.replace(",", ".").replace("−", "-")
    if step and unit in ("°C", "°F"):
        return f"{float(number) * (9 / 5 if unit == '°C' else 5 / 9):.0f}"
    if unit in ("°C", "°F"):
        met = float(number)
        return f"{met * 9 / 5 + 32 if unit == '°C' else fahrenheit_to_celsius(met):.0f}"
    value = float(number) / {"mm": 25.4, "cm": 2.54, "g": 28.3495}[unit]
    digits = max(2, len(number.strip("-").replace(".", "").lstrip("0")))
    text = f"{value:.{digits}g}"
    return f"{float(text):g}"
