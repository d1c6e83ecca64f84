"""What a maker writes for a number, a length, a force or a temperature."""

import pickle
from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.units import (
    UNITS,
    Typed,
    Unreadable,
    as_typed,
    decimal_marks,
    parse_bracket,
    parse_number,
    parse_quantity,
    split_range,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1/4 in", 6.35),
        ("6.35 mm", 6.35),
        ("6,35 mm", 6.35),
        ("6,35", 6.35),
        ("½ in", 12.7),
        ("1½ in", 38.1),
        ("1 ½in", 38.1),
        ('1 1/2"', 38.1),
        ("1-1/2 in", 38.1),
        ("1 1/2 inches", 38.1),
        ("3/16″", 4.7625),
        ("0.25 in.", 6.35),
        ("2 cm", 20.0),
        ("0.3 m", 300.0),
        ("1 ft", 304.8),
        ("1' 2\"", 355.6),
        ("1 ft 2 1/2 in", 368.3),
        ("350 µm", 0.35),
        ("350 μm", 0.35),  # the Greek letter
        ("30 thou", 0.762),
        ("  12.5  ", 12.5),
        (12.5, 12.5),
        (12, 12.0),
    ],
)
def test_lengths_in_millimetres(text, mm):
    assert parse_quantity(text, "mm") == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1 N", "gf", 101.9716213),  # 1 / 9.80665e-3
        ("150 g", "gf", 150.0),
        ("0.5 lb", "gf", 226.796185),
        ("2 kgf", "n", 19.6133),
        ("1.2 kg", "g", 1200.0),
        ("90 s", "min", 1.5),
        ("2 h", "min", 120.0),
        ("15°", "deg", 15.0),
        ("60 HRC", "hrc", 60.0),
        ("12 %", "pct", 12.0),
        ("400 °F", "c", 204.4444444),
        ("200 C", "c", 200.0),
        ("473.15 K", "c", 200.0),
        ("-80 °C", "c", -80.0),
        ("−80", "c", -80.0),  # a typographic minus
    ],
)
def test_other_quantities(text, unit, value):
    assert parse_quantity(text, unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "what", "mend"),
    [
        ("12 furlong", "mm", 'unknown unit "furlong"', "mm, cm, m"),
        ("12 mm", "gf", 'unknown unit "mm"', "gf, g"),
        ("1/4", "mm", "fraction without a unit", "1/4 in"),
        ("1/0 in", "mm", "divides by zero", "again"),
        ("3/0", "mm", '"3/0" divides by zero: it cannot be read', "again"),
        ("about 3", "mm", "is not a number", "digits"),
        ("", "mm", "is not a number", "digits"),
        ("3-Apr", "mm", "is a date", "column as text"),
        ("2026-04-03", "mm", "is a date", "column as text"),
        ("08.02.2026", "um", "is a date", "column as text"),
        ("8.2.26", "um", "is a date", "column as text"),
        ("08.02.", "um", "is a date", "column as text"),
        ("1.234.567", "um", "more than one separator", "1234.5"),
        ("1,234.5", "mm", "more than one separator", "1234.5"),
        ("1.234,5", "mm", "more than one separator", "1234.5"),
        ("1 234", "mm", "more than one separator", "1234.5"),
        ("nan", "mm", "is not a number", "blank"),
        ("inf", "mm", "is not a number", ">40"),
        ("1e999", "mm", "too large", "write"),
        (float("nan"), "mm", "not a finite number", "write"),
        (True, "mm", "true is not a number", "digits"),
    ],
)
def test_what_cannot_be_read_says_what_and_mend(text, unit, what, mend):
    with pytest.raises(Unreadable) as fault:
        parse_quantity(text, unit)
    assert what in fault.value.what
    assert mend in fault.value.mend


def test_a_comma_before_three_digits_is_refused_without_evidence():
    with pytest.raises(Unreadable, match=r"can be read as 1\.234 or as 1234; write 1\.2340 "):
        parse_number("1,234")


def test_a_comma_before_three_digits_is_a_decimal_where_the_file_shows_commas():
    assert parse_number("1,234", ",") == 1.234


@pytest.mark.parametrize("marks", [".", ",."])
def test_a_comma_before_three_digits_is_refused_where_the_file_shows_points(marks):
    with pytest.raises(Unreadable, match="can be read as"):
        parse_number("1,234", marks)


def test_a_point_before_three_digits_is_refused_where_the_file_shows_commas():
    with pytest.raises(Unreadable, match="the file also has decimal commas"):
        parse_number("1.234", ",")
    assert parse_number("1.234") == 1.234


def test_leading_zero_or_four_digits_are_no_thousand():
    assert parse_number("0,125") == 0.125
    assert parse_number("1234,5") == 1234.5
    assert parse_number("1,2345") == 1.2345


@pytest.mark.parametrize(
    ("cells", "marks"),
    [
        (["12,5", "3"], ","),
        (["12.5"], "."),
        (["12,5", "0.125"], ",."),
        (["1,234", "1.234"], ""),
        (["<12,5", "8,5-9"], ","),
        ([], ""),
    ],
)
def test_decimal_marks_only_where_beyond_doubt(cells, marks):
    assert decimal_marks(cells) == marks


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("58-60", (58, 60)),
        ("58–60", (58, 60)),
        ("58 to 60 HRC", (58, 60)),
        ("58 HRC - 60 HRC", (58, 60)),
        ("59,5-60,5", (59.5, 60.5)),
        ("60", (60, 60)),
        (60, (60, 60)),
        (60.5, (60.5, 60.5)),
    ],
)
def test_brackets(text, ends):
    assert parse_bracket(text) == ends


def test_a_bracket_of_inch_fractions_shares_its_unit():
    assert parse_bracket("1/4-1/2 in", "mm") == (6.35, 12.7)
    # a mixed fraction, not a range
    assert parse_bracket("1-1/2 in", "mm") == pytest.approx((38.1, 38.1), rel=1e-12)


def test_a_falling_bracket_is_refused():
    with pytest.raises(Unreadable, match="runs downwards; write 58-60"):
        parse_bracket("60-58")


@pytest.mark.parametrize("text", ["-3", "1e-3", "12.5", "-3.5", "<8", "2-1/2 in"])
def test_what_is_not_a_range(text):
    assert split_range(text) is None


@given(st.floats(min_value=1e-6, max_value=1e9, allow_nan=False))
def test_any_number_written_with_either_mark_reads_back(number):
    text = repr(number)
    assert parse_number(text, ".") == number
    assert parse_number(text.replace(".", ","), ",") == number


@given(st.integers(0, 9), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_any_mixed_fraction_of_an_inch(whole, top, bottom):
    mm = (whole + top / bottom) * 25.4
    text = f"{whole} {top}/{bottom} in" if whole else f"{top}/{bottom} in"
    assert parse_quantity(text, "mm") == pytest.approx(mm, rel=1e-12)


@given(st.text(max_size=20))
def test_any_text_is_a_number_or_told(text):
    told = ""
    try:
        told = str(isfinite(parse_quantity(text, "mm")))
    except Unreadable as fault:
        told = fault.what and fault.mend
    assert told
    assert told != "False"


def test_a_typed_number_is_a_number_and_remembers_its_words():
    heat = Typed(parse_quantity("1500 °F", "c"), "1500 °F")
    assert heat == pytest.approx(815.5556, abs=1e-4)
    assert as_typed(heat, "c") == "1500 °F"
    assert type(heat * 2) is float
    again = pickle.loads(pickle.dumps(heat))
    assert (again, again.typed) == (heat, "1500 °F")
    with pytest.raises(AttributeError):
        heat.typed = "1600 °F"


@pytest.mark.parametrize(
    ("typed", "unit", "words"),
    [
        (815, "c", "815 °C"),
        (4.0, "h", "4 h"),
        ("2 h", "min", "2 h"),
        ("464 F", "c", "464 °F"),
        ("464degF", "c", "464 °F"),
        ("240 c", "c", "240 °C"),
        ("12,5", "mm", "12,5 mm"),
        ("1/4 in", "mm", "1/4 in"),
        (15, "deg", "15°"),
    ],
)
def test_a_size_is_told_as_it_was_typed(typed, unit, words):
    assert as_typed(Typed(parse_quantity(typed, unit), typed), unit) == words


@pytest.mark.parametrize("name", ["°F", "F", "f", "degF", "deg F", "degrees F", "ºF", "Fahrenheit"])
def test_fahrenheit_by_any_name(name):
    assert parse_quantity(f"212 {name}", "c") == pytest.approx(100)


# What one of a unit is worth in the unit of the column: NIST Special Publication 811 (2008),
# Appendix B, and the exact definitions it goes back to (inch 25.4 mm, pound 0.45359237 kg,
# standard gravity 9.80665 m/s²).
POUND_N = 0.45359237 * 9.80665
WORTH = {
    "mm": {"mm": 1, "cm": 10, "m": 1000, "µm": 1e-3, "um": 1e-3, "in": 25.4, "inch": 25.4,
           "inches": 25.4, '"': 25.4, "ft": 304.8, "foot": 304.8, "feet": 304.8, "'": 304.8,
           "thou": 0.0254},
    "um": {"µm": 1, "um": 1, "micron": 1, "microns": 1, "mm": 1000, "nm": 1e-3, "in": 25400,
           '"': 25400, "thou": 25.4},
    "gf": {"gf": 1, "g": 1, "kgf": 1000, "kg": 1000, "n": 1000 / 9.80665, "mn": 1 / 9.80665,
           "lb": 453.59237, "lbf": 453.59237, "oz": 453.59237 / 16, "ozf": 453.59237 / 16},
    "n": {"n": 1, "gf": 9.80665e-3, "g": 9.80665e-3, "kgf": 9.80665, "kg": 9.80665,
          "lb": POUND_N, "lbf": POUND_N},
    "g": {"g": 1, "kg": 1000, "oz": 453.59237 / 16, "lb": 453.59237},
    "min": {"min": 1, "minute": 1, "minutes": 1, "h": 60, "hr": 60, "hour": 60, "hours": 60,
            "s": 1 / 60, "sec": 1 / 60},
    "h": {"h": 1, "hr": 1, "hour": 1, "hours": 1, "min": 1 / 60, "minutes": 1 / 60},
    "c_apart": {"°c": 1, "c": 1, "k": 1, "°f": 5 / 9, "f": 5 / 9},
    "s": {"s": 1, "sec": 1, "min": 60, "h": 3600},
    "deg": {"deg": 1, "°": 1, "degrees": 1},
    "hrc": {"hrc": 1},
    "pct": {"%": 1, "pct": 1, "percent": 1},
    "kg_m3": {"kg/m3": 1, "kg/m³": 1, "g/cm3": 1000, "g/cm³": 1000},
}  # fmt: skip


def test_every_unit_is_worth_what_its_definition_says():
    assert {name: set(units) for name, units in UNITS.items()} == {
        name: set(units) for name, units in WORTH.items()
    }
    for name, units in WORTH.items():
        for unit, worth in units.items():
            assert parse_quantity(f"3 {unit}", name) == pytest.approx(3 * worth, rel=1e-12), unit
