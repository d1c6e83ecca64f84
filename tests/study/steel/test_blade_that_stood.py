"""At the end the temper that stood is named, never that of a blade that failed."""

from types import SimpleNamespace

import pytest

from edgetest.steel.advised_temper import models
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.steel_words import TempersFirst
from edgetest.study.steel.blade_that_stood import UNCHECKED_OVEN, stood_words, temper_words
from tests.steel.seen_steel import files, heat, number, seen, temper

WANTED = (52.0, 59.0)
FIRST = heat(coupon="blade1", tempers=(temper(number(57), 230.0, repeats=2),))
SECOND = heat(coupon="blade1", heat=2, tempers=(temper(number(59), 215.0, repeats=2),))


def trial(edge, at):
    return TrialSeen("A", "chop", "same", edge, heat=("blade1", at))


def test_the_temper_of_the_blade_that_stood_is_named():
    what = seen(FIRST, SECOND, trials=(trial("rolled", 1), trial("sound", 2)))
    said = stood_words(what, "A", WANTED)
    assert said.startswith("The blade that stood, blade1, heat 2, had: into oil; temper 2 × 215 °C")
    assert "59 HRC" in said


def test_no_temper_is_named_where_the_last_blade_gave_out():
    what = seen(FIRST, SECOND, trials=(trial("sound", 1), trial("rolled", 2)))
    assert stood_words(what, "A", WANTED) == ""
    assert models(what.heats, what.trials) == [FIRST]
    assert stood_words(seen(FIRST), "A", WANTED) == ""
    bare = seen(heat(coupon="blade1"), trials=(trial("sound", 1),))
    assert stood_words(bare, "A", WANTED) == ""


@pytest.mark.parametrize(
    ("read", "how"),
    [(number(51.9), "softer"), (files(45, 52), "softer"), (number(52), None), (number(59), None),
     (files(50, 55), None), (files(59, 65), "harder"), (files(None, 45), "softer")],
)  # fmt: skip
def test_a_blade_that_stood_beside_the_hardness_wanted_speaks_for_its_own(read, how):
    blade = heat(coupon="blade1", tempers=(temper(read, 300.0),))
    said = stood_words(seen(blade, trials=(trial("sound", 1),)), "A", WANTED)
    assert (f"It read {how} than the 52 to 59 HRC wanted, and stood" in said) is (how is not None)
    assert ("of its own hardness alone" in said) is (how is not None)


def test_a_blade_hardened_again_since_it_stood_needs_a_trial_of_its_own():
    what = seen(FIRST, SECOND, trials=(trial("sound", 1),))
    named = "blade1 was hardened again since, and heat 2 needs a trial of its own."
    assert stood_words(what, "A", WANTED).endswith(named)
    both = seen(FIRST, SECOND, trials=(trial("sound", 1), trial("sound", 2)))
    assert "hardened again" not in stood_words(both, "A", WANTED)


@pytest.mark.parametrize(
    ("action", "way", "take"),
    [("go_on", "brass_rod", True), ("reuse_trial", "trial_blade", True),
     ("heat_treat_again", "temper_hotter", False), ("go_on", "temper_ladder", False)],
)  # fmt: skip
def test_the_temper_to_take_is_named_with_the_reading_that_it_rests_on(action, way, take):
    read = tuple(temper(files(55, 60), at) for at in (189.0, 203.0))
    what = seen(heat(files(60, 65), tempers=read))
    decision = SimpleNamespace(action=action, way=way, unmended=(), remarks=())
    said = temper_words(what, decision, "A", (52.0, 59.0))
    named = "Take 203 °C: that rests on 55 to 60 HRC read of coupon 1, heat 1, and of tempers"
    assert (named in said) is take
    unchecked = temper_words(what, decision, "A", (52.0, 59.0), False)
    assert unchecked == f"{said} {UNCHECKED_OVEN}"
    assert temper_words(what, decision, "A", (52.0, 59.0), True) == said
    assert temper_words(seen(heat(files(60, 65))), decision, "A", (52.0, 59.0), False) == ""
    decision.remarks = (SimpleNamespace(code="temper_read_up", piece="A"),)
    doubted = temper_words(what, decision, "A", (52.0, 59.0))
    assert doubted.removeprefix(said).startswith(" A coupon read harder after a temper: read it")
    decision.unmended = ("a reading",)
    assert temper_words(what, decision, "A", (52.0, 59.0)) == ""


@pytest.mark.parametrize(("temper_c", "named"), [(200.0, True), (185.0, False)])
def test_no_other_degrees_are_told_to_take_beside_a_coupon_that_waits(temper_c, named):
    """A coupon that rolled at 200 °C is followed by one tempered cooler, whatever was read."""
    step = SimpleNamespace(
        action="go_on", way="brass_rod", unmended=(), remarks=(),
        tempers_first=TempersFirst(("A2", 1), temper_c),
    )  # fmt: skip
    told = temper_words(seen(heat(tempers=(temper(number(55), 200.0),))), step, "A", WANTED)
    assert ("Take 200 °C" in told) is named
    assert "200 °C (55 HRC) came nearest" in told


@pytest.mark.parametrize(
    ("at_c", "edge", "action", "warned"),
    [(200.0, "broke", "go_on", True), (205.0, "rolled", "go_on", True),
     (230.0, "broke", "go_on", False), (200.0, "sound", "go_on", False),
     (200.0, "broke", "reuse_trial", False)],
)  # fmt: skip
def test_a_temper_at_which_the_last_blade_gave_out_is_not_advised(at_c, edge, action, warned):
    coupon = heat(coupon="B1", tempers=(temper(number(57), 200.0),))
    blade = heat(coupon="LH1", tempers=(temper(number(57), at_c, repeats=2),))
    result = "same" if edge == "sound" else "worse"
    tried = TrialSeen("A", "chop", result, edge, heat=("LH1", 1))
    decision = SimpleNamespace(unmended=(), remarks=(), action=action, way="look_at_break")
    said = temper_words(seen(coupon, blade, trials=(tried,)), decision, "A", (55.0, 61.0))
    warning = "LH1 gave out so tempered: take it for no blade before you know why."
    assert (warning in said) is warned
    assert ("Take 200 °C" in said) is (not warned and edge != "sound")
