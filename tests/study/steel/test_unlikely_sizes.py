"""A number asked about where it is typed is asked about by the verdict too, until it is settled."""

import pytest

from edgetest.study.steel.judge_steel import judge_steel

ALIKE = """title = "t"
[verdict]
use = "chopper"
[evidence]
pieces = [{ id = "tine 2", origin = "harrow tine" }]
"""
HEAT = '{ piece = "tine 2", coupon = "T2", medium = "oil", hardness_below = 57'


def open_questions(tmp_path, heat, tempers=""):
    """What the verdict still asks of a coupon's heat and tempers, and all that it says."""
    text = f"{ALIKE}heats = [{HEAT}, {heat} }}]\ntempers = [{tempers}]\n"
    (tmp_path / "study.toml").write_text(text, encoding="utf-8")
    result = judge_steel(tmp_path, try_numbers=False)
    broken = [one.doubt.text for one in result.asked.decision.unmended]
    return [one.text for one in result.doubts if one.code == "typed_unlikely"], broken


@pytest.mark.parametrize(
    ("heat", "said"),
    [
        ("medium_c = 131", "tank of oil at 131 °C is unusually hot; 131 °F is 55 °C. If it was °F"),
        ("heat_c = 1150", "a quench from 1150 °C is unusually hot; 1150 °F is 621 °C"),
        ("heat_c = 500", "500 °C: no steel hardens from there. Mend the number"),
        ("soak_min = 1", "a soak of 1 min is short. If it was hours"),
        ("soak_min = 90", "a soak of 90 min is long"),
        ("section_mm = 0.25", "no blade is so thin; 0.25 in is 6.35 mm"),
        ("section_mm = 60", "a coupon is as thin as a blade"),
    ],
)
def test_a_question_about_a_quench_stays_open(tmp_path, heat, said):
    ((told,), _) = open_questions(tmp_path, heat)
    key = heat.partition(" ")[0]
    assert told.startswith(f"Of coupon T2 of tine 2, {key}: ")
    assert said in told


@pytest.mark.parametrize("heat", ['medium_c = "131 °F"', "medium_c = 55, soak_min = 5"])
def test_what_was_settled_or_is_usual_is_asked_no_more(tmp_path, heat):
    assert open_questions(tmp_path, heat)[0] == []


def test_a_hot_temper_is_asked_about_once(tmp_path):
    temper = '{{ piece = "tine 2", coupon = "T2", temperature_c = 400, hardness_below = {} }}'
    told, broken = open_questions(tmp_path, "heat_c = 815", temper.format(45))
    assert not any(" °F is " in text for text in broken)
    assert ["400 °F is 204 °C" in text for text in told] == [True]
    told, broken = open_questions(tmp_path, "heat_c = 815", temper.format(58))
    assert ["400 °F is 204 °C" in text for text in broken] == [True]
    assert told == []
