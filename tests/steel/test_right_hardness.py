"""A hardness in the range is told with what the readings leave open, and without degrees so too."""

from dataclasses import replace

import pytest

from edgetest.steel.hardened_rules import ready
from edgetest.steel.right_hardness import UNSAID, degrees_unsaid, left_open
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TemperSeen
from tests.steel.seen_steel import files, heat, number
from tests.steel.stands import stands


def tempered(before, after, at_c=200.0):
    made = heat(before, coupon="A1")
    return replace(made, tempers=(TemperSeen(at_c, 60.0, hardness=(after,)),))


def said(one):
    return left_open(stands(one, use="knife"), one)  # 57 to 63 HRC


@pytest.mark.parametrize(
    ("before", "after"),
    [(files(60, 65), files(57, 60)), (number(64), number(61)), (files(60, 65), number(62))],
)
def test_a_number_or_a_bracket_that_lies_in_the_range_leaves_nothing_open(before, after):
    assert said(tempered(before, after)) == ""


@pytest.mark.parametrize(
    ("after", "open_"),
    [(files(60, 65), "they read 60 to 65 HRC; it would be too hard above 63. Go on with it; "
      "where it chips, temper one step hotter."),
     (files(55, 60), "they read 55 to 60 HRC; it would be too soft below 57. Go on with it; "
      "where it bends or rolls, one step cooler, from a fresh quench."),
     (files(55, 65), "they read 55 to 65 HRC; it would be too hard above 63 and it would be too "
      "soft below 57. Go on with it; where it chips, temper one step hotter; where it bends or "
      "rolls, one step cooler, from a fresh quench.")],
)  # fmt: skip
def test_a_bracket_that_reaches_out_of_the_range_tells_what_it_leaves_open(after, open_):
    assert said(tempered(number(66), after)) == f" As far as your files tell: {open_}"


def test_a_bracket_as_before_the_temper_that_reaches_above_tells_nothing_yet():
    assert said(tempered(files(60, 65), files(60, 65))) == (
        " As far as your files tell: they read 60 to 65 HRC, as before the temper; it would be "
        "too hard above 63. Go on with it; where it chips, temper one step hotter."
    )


def test_a_later_temper_that_reads_lower_is_what_counts():
    first = tempered(files(60, 65), files(60, 65), 180.0)
    later = replace(first, tempers=(*first.tempers, TemperSeen(220.0, 60.0, hardness=(
        files(55, 60),))))  # fmt: skip
    assert "they read 55 to 60 HRC; it would be too soft below 57" in said(later)
    unread = replace(first, tempers=(*first.tempers, TemperSeen(220.0, 60.0)))
    assert "as before the temper" in said(unread)


def test_a_temper_past_the_one_to_take_opens_nothing():
    right = tempered(files(60, 65), files(58, 62), 204.0)
    past = replace(right, tempers=(*right.tempers, TemperSeen(232.0, 60.0, hardness=(
        files(55, 60),))))  # fmt: skip
    assert said(past) == ""


def test_a_temper_without_degrees_is_said_where_no_other_has_them():
    bare = tempered(files(60, 65), files(57, 60), None)
    assert degrees_unsaid(bare) == UNSAID
    assert said(bare) == f" {UNSAID}"
    both = replace(bare, tempers=(*bare.tempers, *tempered(number(64), number(60)).tempers))
    assert degrees_unsaid(both) == ""
    assert degrees_unsaid(heat(number(64))) == ""


@pytest.mark.parametrize(("use", "way"), [("knife", "trial_blade"), ("chopper", "brass_rod")])
def test_the_step_says_it_before_a_blade_or_a_rod(use, way):
    bare = tempered(files(60, 65), files(57, 60), None)
    step = ready(stands(bare, use=use), SteelLosses())
    assert step.way == way
    assert UNSAID in step.reason
    known = tempered(files(60, 65), files(57, 60))
    assert UNSAID not in ready(stands(known, use=use), SteelLosses()).reason
