"""At the end the temper that stood is named, never that of a blade that failed."""

from types import SimpleNamespace

import pytest

from edgetest.steel.advised_temper import models
from edgetest.steel.steel_seen import TrialSeen
from edgetest.study.steel.blade_that_stood import stood_words, temper_words
from tests.steel.seen_steel import files, heat, number, seen, temper

FIRST = heat(coupon="blade1", tempers=(temper(number(57), 230.0, repeats=2),))
SECOND = heat(coupon="blade1", heat=2, tempers=(temper(number(59), 215.0, repeats=2),))


def trial(edge, at):
    return TrialSeen("A", "chop", "same", edge, heat=("blade1", at))


def test_the_temper_of_the_blade_that_stood_is_named():
    said = stood_words(seen(FIRST, SECOND, trials=(trial("rolled", 1), trial("sound", 2))), "A")
    assert said.startswith("The blade that stood, blade1, heat 2, had: ")
    assert "215 °C" in said
    assert "59 HRC" in said


def test_no_temper_is_named_where_the_last_blade_gave_out():
    what = seen(FIRST, SECOND, trials=(trial("sound", 1), trial("rolled", 2)))
    assert stood_words(what, "A") == ""
    assert models(what.heats, what.trials) == [FIRST]
    assert stood_words(seen(FIRST), "A") == ""
    assert stood_words(seen(heat(coupon="blade1"), trials=(trial("sound", 1),)), "A") == ""


@pytest.mark.parametrize(
    ("action", "way", "take"),
    [("go_on", "brass_rod", True), ("reuse_trial", "trial_blade", True),
     ("heat_treat_again", "temper_hotter", False), ("go_on", "temper_ladder", False)],
)  # fmt: skip
def test_the_temper_to_take_is_named_with_the_reading_that_it_rests_on(action, way, take):
    read = tuple(temper(files(55, 60), at) for at in (189.0, 203.0))
    what = seen(heat(files(60, 65), tempers=read))
    decision = SimpleNamespace(action=action, way=way, unmended=())
    said = temper_words(what, decision, "A", (52.0, 59.0))
    named = "Take 203 °C: that rests on 55 to 60 HRC read of coupon 1, heat 1, and of tempers"
    assert (named in said) is take
    decision.unmended = ("a reading",)
    assert temper_words(what, decision, "A", (52.0, 59.0)) == ""
