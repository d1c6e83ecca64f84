"""Which heat treatment to take: chosen where the test settles it, never over a deciding doubt."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.study.wear.choice import CANNOT, TAKE, UNTIL_THEN, choice_of
from edgetest.wear.compare.looks import LookFound
from tests.wear.columns import compare_lives
from tests.wear.compare.six_blades import compare

NEAR, FAR = [5.7, 5.72, 5.71], [6.2, 6.22, 6.21]


def clear(**how):
    """A comparison whose three blades of B outlast the three of A by far."""
    return compare(np.array(NEAR + FAR), first=3, batch=list("123456"), **how)


def test_a_settled_test_names_the_one_to_take_whichever_came_first():
    assert choice_of(clear(), ()) == f"{TAKE} B."
    assert choice_of(compare(np.array(FAR + NEAR), first=3), ()) == f"{TAKE} A."
    small = compare(np.array([5.700, 5.701, 5.699, 5.760, 5.761, 5.759]), first=3)
    assert choice_of(small, ()).startswith(f"{TAKE} either: ")
    few = compare(np.array([5.70, 5.72, 5.71, 5.80, 5.83, 5.82]), first=3)
    assert choice_of(few, ()) == f"{TAKE} B; the gain may be under 10 %."
    without = choice_of(clear(), (), lessens=["5 readings that stand out"])
    assert without == (f"{TAKE} B; without 5 readings that stand out the gain may be under 10 %.")
    assert choice_of(small, (), lessens=["one reading"]) == choice_of(small, ())


@pytest.mark.parametrize("code", ["same_steps", "geometry_may_explain", "curves_cross"])
def test_a_doubt_that_decides_takes_the_choice_away(code):
    assert choice_of(clear(), doubts_of([code])) == f"{CANNOT}: settle first what is said below."
    hangs = choice_of(clear(), (), ["one reading", "one blade", "one reading"])
    assert hangs == f"{CANNOT}: settle first what it hangs on, one reading and one blade."


def test_where_only_the_law_is_open_more_stages_about_the_limit_tell():
    said = choice_of(clear(), (), ["the law of wear"])
    assert said == (
        f"{CANNOT}: it hangs on the law of wear, which no reading so far tells: read the next "
        "blades at more stages about the limit, where no law is needed; more blades of each would "
        "tell."
    )
    both = choice_of(clear(), (), ["the law of wear", "one reading"])
    assert "settle first what it hangs on, the law of wear and one reading" in both


def test_readings_looked_at_and_kept_are_not_to_be_settled_first():
    two = ["one reading", "one reading"]
    said = choice_of(clear(), (), two, stands=["there", "worn"])
    assert said == (
        f"{CANNOT}: it hangs on readings that were looked at and count; an edge of theirs has "
        "worn on since, so more blades of each would tell."
    )
    near = compare(np.array([5.70, 5.9, 5.71, 5.80, 5.83, 5.82]), first=3)
    told = choice_of(near, (), ["one reading"], stands=["there"])
    assert "If it hangs still, about " in told
    half = choice_of(clear(), (), two, stands=["there", ""])
    assert half == f"{CANNOT}: settle first what it hangs on, one reading."


def test_one_blade_each_never_chooses():
    found = compare(np.array([5.7, 6.2]), first=1, se=[0.01, 0.01])
    said = choice_of(found, found.doubts)
    assert said.startswith(f"{CANNOT}: about ")
    low, high = found.needed.low, found.needed.high
    spread = f"(somewhere from {low} to {high})"
    assert said.endswith(f" blades of each, in all, would tell {spread}.")
    unknown = replace(found, needed=replace(found.needed, high=None))
    assert f"(somewhere from {low} to many more)." in choice_of(unknown, ())


def test_one_batch_of_each_never_chooses_and_one_not_noted_is_said():
    one = compare(np.array(NEAR + FAR), first=3, batch=["q1"] * 3 + ["q2"] * 3)
    assert (
        choice_of(one, ()) == f"{CANNOT}: blades of each from a second batch would begin to tell."
    )
    of_one_side = compare(np.array(NEAR + FAR), first=3, batch=["q1"] * 3 + ["q2", "q3", "q4"])
    told = choice_of(of_one_side, ())
    assert told == f"{CANNOT}: blades of A from a second batch would begin to tell."
    said = choice_of(clear(), doubts_of(["batches_unknown"]))
    unless = "unless the blades of each share one batch"
    assert said == f"{TAKE} B, {unless}: that is not noted for every blade."


def test_angles_that_nobody_noted_stand_in_the_sentence_that_chooses():
    angles = "their edges are ground to different angles"
    said = choice_of(clear(), doubts_of(["edge_angle_not_noted"]))
    assert said == f"{TAKE} B, unless {angles}: that is not noted for every blade."
    both = choice_of(clear(), doubts_of(["batches_unknown", "edge_angle_not_noted"]))
    assert both == (
        f"{TAKE} B, unless the blades of each share one batch or {angles}: neither is noted for "
        "every blade."
    )


def test_one_load_of_one_side_stands_in_the_sentence_that_chooses():
    lucky = "a lucky or unlucky batch explains it (all blades of one heat treatment lie in one)"
    assert choice_of(clear(), doubts_of(["one_side_in_one_batch"])) == f"{TAKE} B, unless {lucky}."
    both = choice_of(clear(), doubts_of(["one_side_in_one_batch", "edge_angle_not_noted"]))
    angles = "their edges are ground to different angles: that is not noted for every blade."
    assert both == f"{TAKE} B, unless {lucky} or {angles}"
    steel = "the steel explains it (no steel has blades of both)"
    assert choice_of(clear(), doubts_of(["steel_of_one_treatment"])) == f"{TAKE} B, unless {steel}."


def test_what_would_tell_is_counted_in_batches_where_these_count():
    lives = np.array([5.6, 5.7, 5.9, 5.8, 5.9, 6.2])
    found = compare(lives, first=3, batch=["1", "1", "2", "3", "3", "4"])
    assert found.practical.verdict == "cannot_tell"
    alike = "or show both alike to within"
    assert choice_of(found, ()).endswith(
        f" batches of each, in all, would tell ({found.needed.spread()}), {alike} 10 %. "
        f"{UNTIL_THEN}."
    )
    wider = replace(found, practical=replace(found.practical, margin=0.25))
    assert f"), {alike} 25 %." in choice_of(wider, ())


def test_a_test_read_early_a_look_and_readings_for_lives_do_not_choose():
    assert choice_of(clear(), doubts_of(["read_early"])).startswith(CANNOT)
    dull = [doubt("never_had_grade", where=Where(blade=name)) for name in ("U3", "U4")]
    early = doubts_of(["read_early"])
    assert choice_of(clear(), (*early, dull[0])) == (
        f"{CANNOT}: sharpen U3 and cut it anew, or choose a grade that its fresh edge holds."
    )
    assert "U3 and U4 and cut them anew" in choice_of(clear(), (*early, *dull))
    lost = doubt("blades_lost", where=Where(blade="U4"), planned=4, seen=3)
    told = choice_of(clear(), (lost,))
    assert told == f"{CANNOT}: cut U4 anew, or another blade in its place."
    other = doubt("blades_lost", where=Where(blade="U2"), planned=4, seen=3)
    assert choice_of(clear(), (other, lost)).endswith(
        "cut U2 and U4 anew, or others in their place."
    )
    assert choice_of(clear(), (), lives_known=False).startswith(CANNOT)
    other = choice_of(clear(), doubts_of(["limit_not_beyond_fresh"]), lives_known=False)
    assert other == f"{CANNOT}: choose a limit that a fresh edge has not reached."
    look = LookFound(1, 2, 3, 4, 0.95, "go_on", 4)
    practical = replace(clear().practical, verdict="cannot_tell")
    said = choice_of(replace(clear(), look=look, practical=practical), ())
    assert said == f"{CANNOT}: go on to the next look."


def test_blades_without_heat_treatments_have_nothing_to_choose():
    own = tuple(replace(group, blades=(group.treatment,)) for group in clear().groups)
    assert choice_of(replace(clear(), groups=own), ()) == ""


def test_of_several_the_one_that_outlasts_all_others_is_taken():
    three = np.array([5.7, 5.72, 5.71, 6.2, 6.22, 6.21, 5.7, 5.73, 5.72])

    def chosen(lives):
        blades, names = [f"blade {i}" for i in range(9)], ["A"] * 3 + ["B"] * 3 + ["C"] * 3
        return choice_of(compare_lives(blades, names, lives), ())

    assert chosen(three) == f"{TAKE} B."
    assert chosen(np.roll(three, 3)) == f"{TAKE} C."
    two_ahead = np.array([5.7, 5.72, 5.71, 6.2, 6.22, 6.21, 6.2, 6.23, 6.22])
    assert chosen(two_ahead) == f"{CANNOT}: it leaves B and C. More blades of these would tell."
