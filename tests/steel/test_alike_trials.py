"""A blade that stood beside one alike that gave out does not settle it; a run set aside does."""

from dataclasses import replace

from edgetest.steel.alike_trials import as_many_failed, one_more_words
from edgetest.steel.steel_seen import TemperSeen, TrialSeen
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands

OF_HEAT = {"heat_c": 810.0, "soak_min": 5.0}
COUPON = heat(
    files(60, 65, "below"), coupon="A1", tempers=(temper(number(58), 220, time_min=60),), **OF_HEAT
)
BARE = TemperSeen(220, 60, 2)


def blade(coupon="blade1", tempers=(BARE,), **of):
    return heat(coupon=coupon, tempers=tempers, **{**OF_HEAT, **of})


def trial(edge, coupon="blade1", **of):
    return TrialSeen("A", "chop", "same", edge, heat=(coupon, 1), **of)


def test_one_that_stood_beside_one_alike_that_failed_does_not_settle_it():
    two = blade(), blade(coupon="blade2")
    both = [trial("rolled"), trial("sound", coupon="blade2")]
    assert as_many_failed(stands(COUPON, *two, trials=both))
    more = [*both, trial("sound", coupon="blade3")]
    assert not as_many_failed(stands(COUPON, *two, blade(coupon="blade3"), trials=more))
    cooler = blade(coupon="blade2", tempers=(TemperSeen(205),))
    assert not as_many_failed(stands(COUPON, blade(), cooler, trials=both))
    hotter = blade(coupon="blade2", colour="orange")
    assert not as_many_failed(stands(COUPON, blade(), hotter, trials=both))


def test_one_blade_that_rolled_and_stood_in_a_later_run_is_told_as_one_blade():
    runs = (trial("rolled"), trial("sound"))
    said = one_more_words(stands(COUPON, blade(), trials=runs))
    assert said.startswith("blade1 gave out in one run and stood in a later one: one blade does ")
    assert "write what as poor_edge of the run that gave out" in said
    two = (trial("rolled"), trial("sound", coupon="blade2"))
    said = one_more_words(stands(COUPON, blade(), blade("blade2"), trials=two))
    assert said.startswith("Of 2 trials treated alike, 1 gave out")


def test_a_run_of_an_edge_found_badly_sharpened_is_no_failure():
    rolled = replace(trial("rolled"), poor_edge="a wire edge")
    assert not as_many_failed(stands(COUPON, blade(), trials=(rolled, trial("sound"))))
    two = (replace(rolled, edge="broke"), trial("sound", coupon="blade2"))
    assert as_many_failed(stands(COUPON, blade(), blade("blade2"), trials=two))
