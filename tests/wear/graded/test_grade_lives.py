"""Grades are intervals: when a blade left a grade, and what a check cannot say."""

import json
from math import inf

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.graded.grade_lives import grade_lives
from tests.wear.columns import codes

LADDER = ("shaves", "push-cuts newsprint", "slices newsprint", "slices printer paper", "tears")


def lives(grades, cuts=(0, 10, 25, 50, 75, 100), leaves="slices newsprint"):
    n = len(grades)
    return grade_lives(["A"] * n, cuts[:n], grades, ladder=LADDER, leaves=leaves)[0]


def test_life_lies_between_the_last_pass_and_the_first_fail():
    life = lives([LADDER[i] for i in (0, 0, 1, 2, 3, 4)])
    assert (life.low, life.high, codes(life)) == (50, 75, ())


def test_a_sharper_grade_passes_too():
    life = lives([LADDER[i] for i in (0, 0, 1, 2, 3, 4)], leaves="shaves")
    assert (life.low, life.high) == (10, 25)


def test_still_holding_is_an_open_life():
    life = lives(["shaves"] * 4)
    assert (life.low, life.high, codes(life)) == (50, inf, ("still_holds",))
    assert json.loads(json.dumps(life.to_dict()))["high"] is None
    assert "still 'slices newsprint' after 50 cuts" in life.summary()


def test_a_grade_that_came_back_widens_the_interval():
    life = lives([LADDER[i] for i in (0, 2, 3, 2, 3, 4)])
    assert (life.low, life.high, codes(life)) == (10, 75, ("grade_came_back",))
    assert "passed the grade at 10 cuts, failed at 25 and passed again at 50" in life.doubts[0].text
    assert "it counts as 10 to 75 cuts" in life.doubts[0].text


AGAIN, SLIP = "Check two or three times at each stage.", "Look at that one fail for a slip"


@pytest.mark.parametrize(
    ("cuts", "grades", "asks"),
    [
        ([0, 25, 50, 75], [0, 3, 0, 3], AGAIN),
        ([0, 25, 50, 60, 75], [0, 3, 0, 0, 3], SLIP),  # one fail, then passes at two stages
        ([0, 25, 25, 50, 60, 75], [0, 3, 3, 0, 0, 3], AGAIN),
        ([0, 25, 25, 50, 50, 75], [0, 3, 0, 0, 3, 3], "Its checks of one stage disagree"),
        ([0, 25, 25, 50], [0, 3, 0, 3], "Its checks of one stage disagree"),
        ([0, 25, 25, 50, 75], [0, 3, 0, 0, 3], AGAIN),  # at 50 it was checked once
    ],
)
def test_what_is_asked_is_what_was_not_done_yet(cuts, grades, asks):
    met = [LADDER[i] for i in grades]
    (life,) = grade_lives(["A"] * len(cuts), cuts, met, ladder=LADDER, leaves="slices newsprint")
    others = {AGAIN, SLIP, "Its checks of one stage disagree"} - {asks}
    assert asks in life.doubts[0].text
    assert not any(other in life.doubts[0].text for other in others)


def test_a_grade_that_came_back_at_the_end_is_not_told_to_hold_still():
    life = lives([LADDER[i] for i in (0, 2, 3, 2)])
    assert (life.low, life.high, codes(life)) == (10, inf, ("grade_came_back",))
    assert life.summary() == "A: 'slices newsprint' over 10 cuts; failed at 25, passed again at 50"
    assert "it counts as over 10 cuts" in life.doubts[0].text


def test_a_grade_failed_at_first_and_passed_at_last_tells_no_life():
    life = lives([LADDER[i] for i in (3, 2)])
    assert (life.told, codes(life)) == (False, ("grade_came_back",))
    assert life.doubts[0].text.startswith("The blade failed at 0 and passed again at 10.")
    assert "it counts as no life." in life.doubts[0].text


def test_checks_that_disagree_at_one_stage():
    grades = ["shaves", "slices newsprint", "tears", "tears"]
    life = grade_lives(["A"] * 4, [0, 50, 50, 75], grades, ladder=LADDER, leaves="slices newsprint")
    assert (life[0].low, life[0].high) == (0, 75)


def test_failing_from_the_first_check():
    assert lives(["tears", "tears"]).told is False
    late = lives(["tears", "tears"], cuts=(10, 20))
    assert (late.low, late.high, late.told) == (0, 10, True)


def test_missing_checks_are_left_out():
    life = lives(["shaves", None, "", np.nan, "tears"])
    assert (life.low, life.high, life.checks) == (0, 75, 2)


def test_a_blade_never_checked():
    life = lives([None, None])
    assert not life.told
    assert codes(life) == ("no_check",)


def test_pass_and_fail_are_a_ladder_of_two():
    grades = ["pass", "pass", "fail", "pass", "fail"]
    blade = ["A", "A", "A", "B", "B"]
    found = grade_lives(blade, [10, 50, 75, 10, 50], grades, ladder=("pass", "fail"), leaves="pass")
    assert [(x.blade, x.low, x.high) for x in found] == [("A", 50, 75), ("B", 10, 50)]


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"grade": ["sharp"]}, '"sharp" in check 1 is not on the ladder'),
        ({"leaves": "tears"}, "the dullest grade is never left"),
        ({"leaves": "slices"}, 'limit .--limit.: "slices"'),
        ({"ladder": ("a", "a")}, "each once"),
        ({"cuts": [1, 2]}, "one of each a check"),
    ],
)
def test_refusals(change, match):
    given = {"grade": ["shaves"], "cuts": [0], "ladder": LADDER, "leaves": "shaves"} | change
    with pytest.raises(UnusableInput, match=match):
        grade_lives(["A"], **given)


@pytest.mark.parametrize(("blade", "cuts", "grade"), [
    ("A", [0.0, 10.0], ["fine", "fine"]), ("AA", [0.0], ["fine", "fine"]),
    ("AA", [0.0, 10.0], ["fine"]),
])  # fmt: skip
def test_one_of_each_a_check(blade, cuts, grade):
    with pytest.raises(UnusableInput, match="give one of each a check"):
        grade_lives(list(blade), cuts, grade, ladder=["fine", "dull"], leaves="fine")
