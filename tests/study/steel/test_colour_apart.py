"""Degrees and a colour that no eye takes for them are asked about, and doubted where they count."""

import pytest

from edgetest.store.records import load_study
from edgetest.study.steel.asked_of_steel import asked_of_steel
from edgetest.study.steel.colour_apart import colour_asked, colour_doubts
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.steel_rows import SteelRows
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.study.steel.found_steel import COUPON, make_study


def told(**heat):
    rows = SteelRows.model_validate({"heats": [{"coupon": "7", "medium": "oil", **heat}]})
    tables = load_steel_tables()
    return [*colour_asked(rows, tables), *colour_doubts(rows, tables)]


@pytest.mark.parametrize(
    ("heat_c", "colour", "how"),
    [
        (940, "cherry", "940 °C is far hotter than cherry, which is some 770 °C"),
        ("1725 °F", "cherry", "941 °C is far hotter than cherry"),
        (800, "yellow", "800 °C is far cooler than yellow, which is some 1005 °C"),
        (840, "cherry", None),  # a word too dark, and a thermometer that errs
        (820, "bright cherry", None),
        (820, "orange", None),
        (900, None, None),
        (None, "cherry", None),
    ],
)
def test_degrees_far_off_their_colour_are_asked_about_beyond_what_an_eye_errs(heat_c, colour, how):
    found = told(**{k: v for k, v in (("heat_c", heat_c), ("colour", colour)) if v})
    assert len(found) == (2 if how else 0)
    assert all(how in str(getattr(one, "text", one)) for one in found)
    assert "heats 1, heat_c: " in str(found[0]) if how else True


def test_it_says_by_which_of_them_the_chances_go():
    assert "go by the degrees" in told(heat_c=940, colour="cherry")[1].text
    assert "go by the magnet" in told(heat_c=940, colour="cherry", magnet="holds")[1].text


def test_check_and_verdict_tell_it(tmp_path):
    evidence = COUPON.replace("heat_c = 830", 'heat_c = 940\ncolour = "cherry"')
    folder = make_study(tmp_path / "leaf", evidence=evidence)
    assert any("than cherry" in str(one) for one in asked_of_steel(load_study(folder)))
    result = judge_steel(folder, try_numbers=False)
    (one,) = [one for one in result.all_doubts() if one.code == "colour_apart"]
    assert one.text.startswith("Of coupon A1 of leaf: 940 °C is far hotter")
