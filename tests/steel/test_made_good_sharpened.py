"""An edge that rolled or lived short is past once it was run again and stood."""

from dataclasses import replace

import pytest

from edgetest.steel.alike_trials import as_many_failed
from edgetest.steel.contradictions import contradictions
from edgetest.steel.hardened_rules import edge_gave_out, ready
from edgetest.steel.made_good import SHARPENED_SINCE, stood_since
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import stands, step

LOSSES = SteelLosses()


def blade(*tempers, name="blade1"):
    tempers = tuple(temper(files(55, 60), at, for_use=True) for at in tempers)
    return heat(files(60, 65, "below"), coupon=name, grain="fine", tempers=tempers)


def trial(edge, result, name="blade1"):
    return TrialSeen("A", "chop", result, edge, heat=(name, 1))


ROLLED, SHORT, STOOD = trial("rolled", "worse"), trial("sound", "worse"), trial("sound", "same")


@pytest.mark.parametrize("first", [ROLLED, SHORT])
def test_an_edge_run_again_that_stood_is_no_longer_held_against_the_steel(first):
    trials = (first, STOOD)
    assert stood_since(first, trials, [blade(220)]) == SHARPENED_SINCE
    found = contradictions(seen(blade(220), trials=trials))
    assert [(one.code, one.remark) for one in found] == [("hard_short_life", True)]
    assert edge_gave_out(stands(blade(220), trials=trials), LOSSES) is None
    assert not stood_since(first, (STOOD, first), [blade(220)])


@pytest.mark.parametrize("first", [ROLLED, SHORT])
def test_a_further_blade_that_stood_brings_nothing_back_that_was_past(first):
    other = trial("sound", "same", "blade2")
    heats, trials = (blade(220), blade(220, name="blade2")), (first, STOOD, other)
    assert stood_since(first, trials, heats) == SHARPENED_SINCE
    found = contradictions(seen(*heats, trials=trials))
    assert [(one.code, one.remark) for one in found] == [("hard_short_life", True)]
    assert not stood_since(first, (first, other), heats)  # that blade itself was not run again
    assert not stood_since(first, (*trials, trial("rolled", "worse", "blade2")), heats)


def test_one_roll_and_one_run_that_stood_ask_for_one_more():
    asked = ready(stands(blade(220), use="chopper", trials=(ROLLED, STOOD), fit=0.95), LOSSES)
    assert step(asked) == ("reuse_trial", "trial_blade")
    assert asked.reason.startswith("blade1 gave out in one run and stood in a later one: one ")
    trials = (replace(ROLLED, poor_edge="a wire edge"), STOOD)
    asked = ready(stands(blade(220), use="chopper", trials=trials, fit=0.95), LOSSES)
    assert step(asked) == ("reuse", None)


def test_a_softer_temper_cures_no_edge_that_was_too_soft():
    assert as_many_failed(stands(blade(220, 260), trials=(ROLLED, STOOD)))
    other = trial("sound", "same", "blade2")
    assert as_many_failed(stands(blade(220), blade(260, name="blade2"), trials=(ROLLED, other)))
    assert not as_many_failed(stands(blade(220), blade(200, name="blade2"), trials=(ROLLED, other)))
    chipped = trial("chipped", "worse")
    softer = blade(260, name="blade2")
    assert not as_many_failed(stands(blade(220), softer, trials=(chipped, other)))


def test_the_blade_tried_last_is_asked_about_wherever_its_heat_stands():
    coupon = blade(220, name="A1")
    for heats in ((coupon, blade(220)), (blade(220), coupon)):
        asked = edge_gave_out(stands(*heats, use="chopper", trials=(ROLLED,)), LOSSES)
        assert step(asked) == ("go_on", "sharpen_again")


def test_a_blade_that_stood_outranks_a_coupon_over_the_rod():
    rod = TrialSeen("A", "brass_rod", edge="chipped", heat=("A1", 1))
    of_itself = TrialSeen("A", "brass_rod", edge="chipped", heat=("blade1", 1))
    heats = (blade(220), blade(220, name="A1"))
    assert edge_gave_out(stands(*heats, trials=(rod, STOOD)), LOSSES) is None
    asked = edge_gave_out(stands(*heats, trials=(STOOD, of_itself)), LOSSES)
    assert step(asked) == ("heat_treat_again", "temper_hotter")
