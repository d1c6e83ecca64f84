"""Numbers as the document says them."""

from math import inf, nan

import pytest

from edgetest.report.wording import (
    chance_words,
    in_units,
    interval_words,
    life_interval,
    ratio_interval,
    size_in_units,
)
from edgetest.units import Typed, parse_quantity
from edgetest.wear.curve.blade_life import cuts_words


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((1.405, 1.212, 1.629), ("1.41", "1.21 to 1.63")),
        ((252.3, 221.2, 287.4), ("252", "221 to 287")),
        ((252.3, 221.2, inf), ("252", "221 or more")),
        ((252.3, 221.2, None), ("252", "221 or more")),
        ((12.0, None, 12.5), ("12.0", "12.5 or less")),
        ((nan, 1, 2), ("", "")),
        ((None, None, None), ("", "")),
    ],
)
def test_interval_is_rounded_to_what_it_bears(numbers, words):
    assert interval_words(*numbers) == words


@pytest.mark.parametrize(
    ("life", "words"),
    [
        ((169.6, 161.1, 178.5), ("170", "161 to 178")),
        ((266.2, 253.4, 279.7), ("266", "253 to 280")),
        ((1234.6, 1101.0, 1399.0), ("1,230", "1,100 to 1,400")),
        ((12.4, 9.6, 16.1), ("12", "10 to 16")),
        ((266.2, 253.4, None), ("270", "250 or more")),
        ((266.2, None, 280.4), ("266", "280 or less")),
        ((155.5, None, None), ("156", "")),
    ],
)
def test_a_life_is_a_whole_number_of_cuts_and_told_alike_everywhere(life, words):
    told = dict(zip(("cuts", "low", "high"), life, strict=True))
    assert life_interval(told) == words
    if told["low"] is not None:
        high = inf if life[2] is None else life[2]
        assert cuts_words(life[0], life[1], high) == f"{words[0]} cuts ({words[1]})"


def test_life_without_a_value_says_what_it_exceeds():
    assert life_interval({"cuts": None, "low": 400.2, "high": None}) == ("over 400", "")
    assert life_interval({"cuts": None, "low": 99.6, "high": None}) == ("over 99", "")
    assert life_interval(None) == ("no life", "")


def test_chance_claims_no_more_digits_than_it_has():
    assert chance_words(0.9996) == "over 99 %"
    assert chance_words(0.004) == "under 1 %"
    assert chance_words(0.831) == "83 %"
    assert chance_words(None) == "not known"


@pytest.mark.parametrize(
    ("text", "inch"),
    [
        ("0.6 mm", "0.024 in"),
        ("25.4 mm", "1 in"),
        ("20–30 mm of edge", "0.79–1.2 in of edge"),
        ("temper 2 × 200 °C, 60 min", "temper 2 × 392 °F, 60 min"),
        ("-80 °C", "-112 °F"),
        ("640 g", "22.6 oz"),
        ("5 mm² and 12 µm", "5 mm² and 12 µm"),
        ("55 mm in 1 and 54.1 mm × 55 mm in 2", "2.2 in in 1 and 2.13 in × 2.2 in in 2"),
        ("read at 20 and 40 mm", "read at 0.79 and 1.6 in"),
    ],
)
def test_lengths_temperatures_and_masses_in_inch(text, inch):
    assert in_units(text, "inch") == inch
    assert in_units(text, "metric") == text


@pytest.mark.parametrize(
    ("typed", "inch"),
    [
        ("0,8 mm", "0.031 in"),
        ("50,5 mm", "1.99 in"),
        ("5 to 7,5 mm", "0.2 to 0.3 in"),
        (".5 mm", "0.02 in"),
        ("690,5 g", "24.36 oz"),
        ("12,5 °C", "54 °F"),
        ("10, 20 mm", "10, 0.79 in"),
        ("1,250 mm", "1,250 mm"),  # a thousand or one and a quarter: stays as typed
        ("1/4 mm", "1/4 mm"),
    ],
)
def test_a_decimal_comma_is_part_of_the_number(typed, inch):
    assert in_units(typed, "inch") == inch


@pytest.mark.parametrize(
    ("typed", "units", "words"),
    [
        ("1,5in", "metric", "1.5 in"),
        (",5 in", "metric", "0.5 in"),
        ("1,5in", "both", "1.5 in (38.1 mm)"),
        ("5 cm", "metric", "5 cm"),
        ("5 cm", "inch", "5 cm (2 in)"),
        ("1 1/2 in", "metric", "1 1/2 in"),
        ("38,1", "metric", "38.1 mm"),
    ],
)
def test_a_size_with_a_decimal_comma_is_told_as_it_was_understood(typed, units, words):
    assert size_in_units(Typed(parse_quantity(typed, "mm"), typed), "mm", units) == words


def test_both_units_stand_side_by_side():
    assert in_units("quench at 815 °C", "both") == "quench at 815 °C (1499 °F)"


@pytest.mark.parametrize("units", ["inch", "both"])
@pytest.mark.parametrize(
    "said",
    [
        '131 °F is 55 °C. If it was °F, write "131 °F"; if it was °C, write "131 °C".',
        '0.25 in is 6.35 mm. If it is so, write it with its unit, "0.25 mm".',
    ],
)
def test_what_is_to_be_typed_is_told_in_the_unit_that_it_is_typed_in(said, units):
    assert in_units(said, units) == said
    hot = in_units(f"a tank at 131 °C is hot; {said}", units)
    assert "268 °F" in hot
    assert hot.endswith(said)


def test_a_step_of_temperature_is_a_difference():
    """14 °C more is 25 °F more; 14 °C on a thermometer is 57 °F."""
    said = "tempers in steps of about 14 °C from 180 °C"
    assert in_units(said, "both") == (
        "tempers in steps of about 14 °C (25 °F) from 180 °C (356 °F)"
    )
    assert in_units(said, "inch") == "tempers in steps of about 25 °F from 356 °F"


def test_both_of_two_temperatures_are_converted():
    assert in_units("tempered at 190 or 260 °C", "inch") == "tempered at 374 or 500 °F"
    assert in_units("read at 20 and 40 mm", "both") == "read at 20 and 40 mm (0.79 and 1.6 in)"


def test_a_ratio_whose_interval_tells_nothing_has_no_number():
    assert ratio_interval(1.04, 0.0465, 129.0) == ("cannot be told", "under 0.1 to over 10")
    assert ratio_interval(2.0, 0.05, None) == ("cannot be told", "under 0.1 to over 10")
    assert ratio_interval(2.0, None, 5.0) == ("2.0", "5.0 or less")


def test_centimetres_are_told_in_inches_too():
    assert in_units("bevels 2.54 cm wide", "inch") == "bevels 1 in wide"
    assert in_units("2,5 cm to 7 cm²", "both") == "2,5 cm (0.98 in) to 7 cm²"
