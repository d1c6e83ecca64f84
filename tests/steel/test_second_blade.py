"""When does one blade that stood settle a piece, and what is said where a second is asked for?"""

import pytest

from edgetest.steel.hardened_rules import ready
from edgetest.steel.second_blade import own_blade_words, second_blade_words, settles_from
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands

LOSSES = SteelLosses(blade_hours=7, known_steel_hours=1)
STOOD = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 1))


def tried(makes):
    right = temper(number(58, "below"), 200)
    own = heat(files(60, 65, "below"), coupon="blade1", grain="fine", tempers=(right,))
    return stands(own, makes_blades=makes, trials=[STOOD], fit=0.86, use="chopper")


def test_one_blade_settles_where_the_rest_is_lost_by_fewer_hours_than_it_saves():
    """At that chance p, 7 h lost by (1 - p) are as much as 1 h saved by p."""
    p = settles_from(LOSSES)
    assert (1 - p) * 7 == pytest.approx(p * 1)
    assert settles_from(SteelLosses()) == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("makes", "more"),
    [
        (None, "Make one more before the rest."),
        (2.0, "Make the one that is left of this piece, and try it too."),
        (3.0, "Make one more before the 1 that is left after it."),
        (6.0, "Make one more before the 4 that are left after it."),
    ],
)
def test_the_second_blade_is_asked_for_by_the_rule_and_beside_what_is_left(makes, more):
    found = ready(tried(makes), LOSSES)
    assert (found.action, found.way) == ("reuse_trial", "trial_blade")
    assert found.reason == second_blade_words(tried(makes), LOSSES)
    assert found.reason.startswith("One blade stood, and two must: the chance is below 88 %, from ")
    assert found.reason.endswith(f"cost. {more}")
    assert "lot" not in found.reason


def test_of_a_sister_both_counts_are_said():
    said = "once a blade of its own stood, or two where its chance is below 88 %: once a temper"
    assert said in own_blade_words(LOSSES)
