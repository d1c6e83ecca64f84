"""One key of the evidence at a time: words, hardness, ratios of lives, as a maker writes them."""

from math import exp, hypot, log

import pytest
from pydantic_core import PydanticCustomError

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import CONVERSION_SD_HRC
from edgetest.steel.steel_seen import HardnessSeen
from edgetest.store.checking import validate
from edgetest.study.steel.row_kinds import (
    FILES_HRC,
    OneOf,
    hardness_cell,
    hardness_seen,
    life_ratio_seen,
    ratio_words,
)
from edgetest.study.steel.steel_rows import FoundPiece, SteelRows
from edgetest.units import Unreadable

WORDS = OneOf(
    ("hard_chrome", "true", "no"), {"chrome": "hard_chrome"}, {"leaded": "use lead"}, ("factory",)
)


@pytest.mark.parametrize(
    ("written", "kept"),
    [("Hard Chrome", "hard_chrome"), ("hard-chrome", "hard_chrome"), ("chrome", "hard_chrome"),
     (" factory ", None), ("no", "no"), ("true", "true")],
)  # fmt: skip
def test_a_word_is_kept_as_the_program_spells_it(written, kept):
    assert WORDS.read(written) == kept


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("sprang back", "sound"), ("stayed bent", "took_a_set"), ("snapped", "broke"),
     ("rolled", "rolled")],
)  # fmt: skip
def test_what_a_bend_showed_may_be_told_as_a_maker_says_it(typed, kept):
    trial = {"test": "bend", "result": "same", "edge": typed}
    assert SteelRows(trials=[trial]).trials[0].edge == kept


@pytest.mark.parametrize(
    ("written", "fault", "mend"),
    [
        (["no"], "a list", "the one that counts"),
        (("no",), "a list", "the one that counts"),
        ({}, "a list", "the one that counts"),
        ("leaded", '"leaded" does not stand here', "use lead"),
        ("hard chrom", '"hard chrom" is not known', 'mean "hard chrome"? known: hard chrome, true'),
        ("zzzzzz", '"zzzzzz" is not known', "known: hard chrome, true, no"),
        (True, '"true" is not known', "known"),
        (False, '"false" is not known', "known"),
        (7, '"7" is not known', "known"),
    ],
)
def test_another_word_is_refused_with_the_nearest(written, fault, mend):
    with pytest.raises(PydanticCustomError) as met:
        WORDS.read(written)
    assert fault in str(met.value)
    assert mend in str(met.value) + str(met.value.context)


@pytest.mark.parametrize(
    ("typed", "of"),
    [("canola oil", "oil"), ("canola", "oil"), ("rapeseed-oil", "oil"), ("salt water", "brine"),
     ("tap water", "water"), ("hot water", "warm water"), ("blown air", "air")],
)  # fmt: skip
def test_a_kind_of_a_medium_is_refused_with_what_to_write(typed, of):
    said = fault_of("heats", "medium", typed)
    assert f'"{typed}" is a kind of {of}' in said
    assert f"write {of}, and which it was into note" in said


@pytest.mark.parametrize(
    ("written", "kind", "value", "lower", "upper"),
    [
        (61, "number", 61, None, None),
        ("HRC58", "number", 58, None, None),
        ("60-65", "between", None, 60, 65),
        ("skates all", "above", None, 65, None),
        ("All Skated", "above", None, 65, None),
        ("bites all", "below", None, None, 40),
    ],
)
def test_a_hardness_is_read_as_it_is_written(written, kind, value, lower, upper):
    found = hardness_cell(written)
    assert (found.kind, found.value, found.lower, found.upper) == (kind, value, lower, upper)


def test_a_set_of_files_is_rated_every_five_from_forty():
    assert FILES_HRC == (40, 45, 50, 55, 60, 65)


def test_a_set_of_files_of_ones_own_ends_where_it_ends():
    assert hardness_cell("skates all", (45.0, 62.0)).lower == 62
    assert hardness_cell("bites all", (45.0, 62.0)).upper == 45


def test_readings_of_one_place_keep_their_order_and_their_doubt():
    found = hardness_seen((61, "60-65", "<40"), "below")
    assert found == (
        HardnessSeen(61, 61, "below", by_files=False),
        HardnessSeen(60, 65, "below"),
        HardnessSeen(None, 40, "below"),
    )


def test_a_converted_reading_is_less_sure_than_one_in_rockwell():
    (own,) = hardness_seen(("513 HV",), "skin")
    (told,) = hardness_seen((513,), "skin", scale="HV")
    assert own == told
    assert own.low_hrc == own.high_hrc == pytest.approx(50, abs=0.5)  # ASTM E140, from memory
    assert not own.by_files
    assert own.u_hrc == pytest.approx(hypot(1.0, CONVERSION_SD_HRC))
    (rockwell,) = hardness_seen(("50 HRC",), "skin", scale="HV")
    assert rockwell.low_hrc == 50


def test_a_ratio_of_lives_says_how_sure_it_is():
    assert life_ratio_seen(0.44) == (0.44, None)
    ratio, log_u = life_ratio_seen("0.5 (0.25 to 1)")
    assert ratio == 0.5
    assert log_u == pytest.approx(log(4) / (2 * 1.959964))
    assert life_ratio_seen("0.25 (0.25 to 1)")[0] == 0.25
    assert life_ratio_seen("1 (0.25 to 1)")[0] == 1


@pytest.mark.parametrize(
    "written",
    [0, -1, "0.44 (0.41)", "0.2 (0.25 to 1)", "2 (0.25 to 1)", "0.5 (0 to 1)", "0.5 (0.5 to 0.5)"],
)
def test_a_ratio_that_cannot_be_is_refused(written):
    with pytest.raises(Unreadable):
        life_ratio_seen(written)


def test_a_ratio_is_written_with_the_ends_that_its_doubt_gives():
    assert ratio_words(0.444, None) == "0.44"
    low, high = (0.5 * exp(sign * 0.1 * 1.959964) for sign in (-1, 1))
    assert ratio_words(0.5, 0.1) == f"0.50 ({low:.2f} to {high:.2f})" == "0.50 (0.41 to 0.61)"


def fault_of(table, key, value):
    with pytest.raises(Exception) as met:
        validate(SteelRows, {table: [{key: value}]}, "evidence")
    return str(met.value)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (True, "True is not a hardness"),
        ([[61]], "is not a hardness"),
        ("hard", '"hard" is not a hardness; write 61'),
        ("file 55 skates", '"file 55 skates" is not a hardness; write 61, "60-65" (file 60'),
        ("58 HRA", "HRC, HV, HB"),
        ("", "blank"),
    ],
)
def test_a_hardness_that_cannot_be_read_is_refused_with_what_can(value, said):
    assert said in fault_of("heats", "hardness", value)


@pytest.mark.parametrize(
    ("table", "key", "most"),
    [("heats", "heat_c", 1300), ("tempers", "temperature_c", 760), ("heats", "medium_c", 550)],
)
def test_a_heat_is_refused_beyond_what_steel_is_worked_at(table, key, most):
    rows = validate(SteelRows, {table: [{key: most}]}, "evidence")
    assert getattr(getattr(rows, table)[0], key) == most
    assert f'"{most + 1} °F" if °F was meant' in fault_of(table, key, most + 1)


@pytest.mark.parametrize(("value", "said"), [(True, "not a ratio"), ([1], "not a ratio")])
def test_a_ratio_is_a_number_or_its_words(value, said):
    assert said in fault_of("trials", "life_ratio", value)


@pytest.mark.parametrize(
    ("table", "key", "least"),
    [("heats", "count", 1), ("heats", "cracked", 0), ("pieces", "makes_blades", 0),
     ("pieces", "carbon_pct", 0)],
)  # fmt: skip
def test_counts_begin_where_they_can(table, key, least):
    more = {"id": "A"} if table == "pieces" else {}
    validate(SteelRows, {table: [{**more, key: least}]}, "evidence")
    with pytest.raises(Exception, match=key):
        validate(SteelRows, {table: [{**more, key: least - 1}]}, "evidence")


def test_cast_iron_is_the_most_carbon_that_a_laboratory_reports():
    validate(SteelRows, {"pieces": [{"id": "A", "carbon_pct": 7}]}, "evidence")
    with pytest.raises(Exception, match="carbon_pct"):
        validate(SteelRows, {"pieces": [{"id": "A", "carbon_pct": 7.5}]}, "evidence")


@pytest.mark.parametrize("cell", ["57 HRC, 58.5", "60,65", "57/59", "57 and 59", "57 59 60"])
def test_several_readings_in_one_cell_are_refused_with_both_ways_to_write_them(cell):
    said = fault_of("heats", "hardness", cell)
    assert "holds several readings" in said
    assert "for a bracket of files" in said


@pytest.mark.parametrize(
    ("cell", "low", "high"),
    [
        ("under 40", None, 40),
        ("below 40 HRC", None, 40),
        ("over 65", 65, None),
        ("57,5", 57.5, 57.5),
    ],
)
def test_a_bound_in_words_is_read_as_its_mark(cell, low, high):
    (seen,) = hardness_seen((cell,), "below")
    assert (seen.low_hrc, seen.high_hrc) == (low, high)


@pytest.mark.parametrize("heat", [810, "810C", "1490 °F"])
def test_a_temperature_for_the_number_of_a_heat_is_led_to_its_key(heat):
    said = fault_of("heats", "heat", heat)
    assert f"write heat_c = {heat} for the temperature" in said


def test_a_number_is_as_sure_as_its_tester():
    (seen,) = hardness_seen((61,), "below", tester_u_hrc=0.4)
    assert seen.u_hrc == 0.4
    (converted,) = hardness_seen(("700 HV",), "below", tester_u_hrc=0.4)
    assert converted.u_hrc == pytest.approx(hypot(0.4, CONVERSION_SD_HRC))
    (files,) = hardness_seen(("60-65",), "below", tester_u_hrc=0.4)
    assert files.by_files


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({"coating": "mill scale"}, 'no coating: write coating = "none" if nothing else is on it'),
        ({"coating": "rust"}, 'no coating: write coating = "none" if nothing else is on it'),
    ],
)
def test_a_word_that_says_too_little_is_told_what_to_write(row, said):
    with pytest.raises(UnusableInput) as fault:
        validate(FoundPiece, {"id": "A", **row}, "here")
    assert said in str(fault.value)
    assert "did you mean" not in str(fault.value)


def test_a_piece_makes_no_more_blades_than_anybody_counts():
    validate(SteelRows, {"pieces": [{"id": "A", "makes_blades": 100_000}]}, "evidence")
    with pytest.raises(Exception, match=r"makes_blades.*100000"):
        validate(SteelRows, {"pieces": [{"id": "A", "makes_blades": 10**40}]}, "evidence")


def test_a_kind_of_an_origin_is_told_what_it_is_a_kind_of():
    with pytest.raises(UnusableInput, match=r"is a kind of harrow tine.*write harrow tine, and"):
        validate(FoundPiece, {"id": "T1", "origin": "spring harrow tine"}, "pieces 1")
