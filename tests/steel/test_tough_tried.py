"""A rod holds for the temper at which it was tried, and for no other."""

import pytest

from edgetest.doubts import codes
from edgetest.steel.hardened_rules import edge_gave_out, ready
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.tough_tried import (
    at_degrees,
    past_c,
    rod_answered,
    tough_elsewhere,
    tough_tried,
)
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import TABLES, stands, step

LOSSES = SteelLosses()
PIECE = {
    "origin": "plough_disc", "coating": "none", "lead": "no", "magnet": "strong",
    "sparks": "like_high", "makes_blades": 4.0, "use": "hedging_tool",
}  # fmt: skip


def laddered(*tempers):
    read = tuple(temper(files(55, 60) if at < 210 else files(50, 55), at) for at in tempers)
    return heat(files(60, 65, "below"), grain="fine", tempers=read)


def rod(edge="sound", **of):
    return TrialSeen("A", "brass_rod", None, edge, heat=("1", 1), **of)


@pytest.mark.parametrize(
    ("tempers", "temper_c", "tried"),
    [((203,), None, True), ((189, 203), 203, True), ((189, 203), 206, True),
     ((189, 203), 189, False), ((203, 217), 217, False)],
)  # fmt: skip
def test_a_rod_counts_for_the_temper_to_take_alone(tempers, temper_c, tried):
    at = stands(laddered(*tempers), trials=[rod(temper_c=temper_c)], use="hedging_tool")
    assert tough_tried(at) is tried
    assert codes(tough_elsewhere(at)) == (() if tried else ("tough_at_another_temper",))


@pytest.mark.parametrize(
    ("tempers", "said"),
    [((203, 217), "that had tempers at 203 and 217 °C, and the trial does not say which"),
     ((None, 203), "that had tempers at 203 °C and without degrees, and the trial does not say"),
     ((175, 189, 203), "that had tempers at 175, 189 and 203 °C, and the trial does not say")],
)  # fmt: skip
def test_a_rod_after_one_of_several_tempers_is_asked_which_it_had(tempers, said):
    read = tuple(temper(files(55, 60), at) for at in tempers)
    what = seen(heat(files(60, 65, "below"), grain="fine", tempers=read), trials=[rod()], **PIECE)
    found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
    (told,) = [one.text for one in found.doubts if one.code == "tough_at_which_temper"]
    assert said in told
    assert "write that as its temper_c" in told
    assert "nobody noted" not in told
    assert found.title.endswith("its toughness was tried, at which of its tempers is not said")


def test_a_rod_after_another_temper_is_no_toughness_untried_in_the_headline():
    trial = rod(temper_c=232)
    what = seen(laddered(204, 232), trials=[trial], **PIECE)
    found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
    assert found.action == "reuse_trial"
    assert found.title.endswith("; its toughness was not tried at the temper to take")
    assert "Go on with it" not in " ".join(found.reasons)


def test_tempers_are_named_in_their_order_and_those_without_degrees_last():
    assert at_degrees([203.0, None, 217.2]) == "at 203 and 217 °C and without degrees"
    assert at_degrees([None]) == "without degrees"


def test_the_doubt_names_both_tempers():
    at = stands(laddered(203, 217), trials=[rod(temper_c=217.0)], use="hedging_tool")
    (found,) = tough_elsewhere(at)
    assert "brass rod was tried after a temper at 217 °C" in found.text
    assert "the temper to take is 203 °C" in found.text
    bare = heat(files(60, 65, "below"), grain="fine", coupon="2")
    blank = TrialSeen("A", "brass_rod", None, "sound", heat=("2", 1))
    blank = stands(laddered(203, 217), bare, trials=[blank], use="hedging_tool")
    assert "a temper that nobody noted" in tough_elsewhere(blank)[0].text


def test_a_chopped_blade_tells_of_its_own_temper():
    chop = TrialSeen("A", "chop", "same", "sound", heat=("1", 1))
    assert tough_tried(stands(laddered(203), trials=[chop], use="hedging_tool"))
    assert tough_elsewhere(stands(laddered(203), use="hedging_tool")) == ()


def test_a_rod_that_chipped_asks_for_a_hotter_temper_only_until_that_was_done():
    chipped = rod("chipped", temper_c=189.0)
    before = stands(laddered(189), trials=[chipped], use="hedging_tool")
    assert step(edge_gave_out(before, LOSSES)) == ("heat_treat_again", "temper_hotter")
    since = stands(laddered(189, 203), trials=[chipped], use="hedging_tool")
    assert rod_answered(since, chipped)
    assert edge_gave_out(since, LOSSES) is None
    assert step(ready(since, LOSSES)) == ("go_on", "brass_rod")
    sound = stands(laddered(189, 203), trials=[chipped, rod(temper_c=203.0)], use="hedging_tool")
    assert step(ready(sound, LOSSES)) == ("reuse_trial", "trial_blade")


def test_a_temper_typed_in_fahrenheit_is_told_in_whole_degrees():
    typed = temper(files(55, 60, "below"), 190.5555555)
    hot = temper(files(45, 50, "below"), 260.0)
    one = heat(files(60, 65, "below"), tempers=(typed, hot))
    tried = TrialSeen("A", "brass_rod", edge="sound", heat=("1", 1), temper_c=260.0)
    (found,) = tough_elsewhere(stands(one, trials=[tried], use="hedging_tool"))
    assert "the temper to take is 191 °C" in found.text


def test_a_coupon_tempered_past_the_temper_to_take_asks_for_a_fresh_one():
    past = stands(laddered(203, 217), use="hedging_tool")
    assert past_c(past, past.best) == 203
    found = ready(past, LOSSES)
    assert step(found) == ("go_on", "brass_rod")
    assert "right after 203 °C, and coupon 1 was tempered hotter since" in found.reason
    at = stands(laddered(189, 203), use="hedging_tool")
    assert past_c(at, at.best) is None
    assert "hotter since" not in ready(at, LOSSES).reason


def test_the_headline_names_no_coupon_that_was_tempered_too_far():
    for tempers, of in (((203, 217), None), ((189, 203), ("1", 1))):
        what = seen(laddered(*tempers), **PIECE)
        found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
        assert (found.way, found.of) == ("brass_rod", of)
