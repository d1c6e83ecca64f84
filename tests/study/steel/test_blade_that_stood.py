"""At the end the temper that stood is named, never that of a blade that failed."""

from edgetest.steel.steel_seen import TrialSeen
from edgetest.study.steel.blade_that_stood import models, stood_words
from tests.steel.seen_steel import heat, number, seen, temper

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
    assert models(what, "A") == [FIRST]
    assert stood_words(seen(FIRST), "A") == ""
    assert stood_words(seen(heat(coupon="blade1"), trials=(trial("sound", 1),)), "A") == ""
