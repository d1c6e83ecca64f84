"""A coupon that is hardened and waits for its temper is tempered before another is quenched."""

from dataclasses import replace

import pytest

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_cautions import TEMPERING
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.tough_tried import ON_A_COUPON
from edgetest.steel.waiting_coupon import stepped_c, tempered_first, waiting_coupon
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import TABLES, stands

DISC = {"use": "hedging_tool", "origin": "plough_disc", "coating": "none", "lead": "no",
        "magnet": "strong", "sparks": "between"}  # fmt: skip
FIRE = {"colour": "cherry", "magnet": "lets_go", "soak_min": 5.0, "section_mm": 5.0}
PAST = (temper(files(50, 55, "below"), 200), temper(files(45, 50, "below"), 225))


def coupon(low, name, tempers=(), **of):
    return heat(files(low, low + 5, "below"), coupon=name, tempers=tempers, **{**FIRE, **of})


def decided(*heats, trials=(), no_test=()):
    what = seen(*heats, trials=trials, **DISC)
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses(no_test=no_test))


@pytest.mark.parametrize("as_quenched", [50, 55, 60])
def test_a_fresh_coupon_that_was_quenched_is_tempered_as_the_one_before_it_told(as_quenched):
    found = decided(coupon(as_quenched, "A1", PAST, grain="fine"), coupon(55, "A2"))
    assert (found.action, found.way, found.of) == ("go_on", "brass_rod", ("A2", 1))
    assert found.reasons[0] == (
        "Coupon A2, heat 1, is hardened and has no temper yet: temper it at 200 °C, read it, then "
        "try its toughness."
    )
    assert "a temper at 200 °C, then the edge of the coupon pressed over a brass" in found.title
    assert TEMPERING in found.next_test.cautions
    assert "the oven's time besides" in found.next_test.why
    bent = decided(coupon(60, "A1", PAST, grain="fine"), coupon(55, "A2"), no_test=("brass_rod",))
    assert (bent.way, bent.of) == ("bend", ("A2", 1))


def test_a_coupon_hardened_anew_after_one_rolled_is_tempered_cooler():
    rolled = TrialSeen("A", "brass_rod", edge="rolled", heat=("A2", 1), temper_c=205.0)
    at_205 = (temper(files(50, 55, "below"), 205, for_use=True),)
    first = coupon(55, "A1", PAST, grain="fine"), coupon(55, "A2", at_205, grain="fine")
    coarse = coupon(55, "A2", heat=2, grain="coarse", colour="orange")
    asked = decided(*first, coarse, trials=[rolled])
    assert (asked.way, asked.of) == ("temper_cooler", ("A2", 1))
    assert (
        "Coupon A2 came out coarse in heat 2: take a fresh one for it, normalised"
        in asked.reasons[0]
    )
    done = decided(*first, coarse, coupon(55, "A3", cycles=3, grain="fine"), trials=[rolled])
    assert (done.way, done.of) == ("brass_rod", ("A3", 1))
    assert "temper it at 190 °C" in done.reasons[0]


FIRST = coupon(60, "A1", PAST)
AFTER = coupon(60, "A2")


@pytest.mark.parametrize(
    "second",
    [
        replace(AFTER, grain="coarse"),
        replace(AFTER, cracked=1),
        replace(AFTER, hardness=(files(None, 40, "below"),)),
        replace(AFTER, hardness=()),
        replace(AFTER, coupon="blade1"),
        replace(AFTER, tempers=(temper(files(60, 65, "below"), 150, time_min=60.0),)),
    ],
)
def test_a_coupon_that_is_spoilt_unread_tempered_or_a_blade_waits_for_nothing(second):
    assert waiting_coupon(stands(FIRST, AFTER, use="hedging_tool")) == AFTER
    assert waiting_coupon(stands(FIRST, second, use="hedging_tool")) is None


def test_without_a_temper_that_fits_or_after_a_trial_none_waits():
    bare = replace(FIRST, tempers=())
    assert waiting_coupon(stands(bare, AFTER, use="hedging_tool")) is None
    assert waiting_coupon(stands(AFTER, FIRST, use="hedging_tool")) is None
    for one in (TrialSeen("A", "brass_rod", edge="chipped", heat=("A2", 1)),
                TrialSeen("A", "chop", "same", "sound", strokes=99)):  # fmt: skip
        assert waiting_coupon(stands(FIRST, AFTER, use="hedging_tool", trials=[one])) is None
    again = replace(AFTER, heat=2, grain="coarse")
    assert waiting_coupon(stands(FIRST, AFTER, again, use="hedging_tool")) is None


def test_a_step_of_the_temper_goes_past_what_is_advised():
    had = coupon(60, "A1", (temper(files(60, 65), 200),))
    assert stepped_c(had, "temper_hotter", None) == 215
    assert stepped_c(had, "temper_cooler", None) == 185
    assert (stepped_c(had, "temper_hotter", 230), stepped_c(had, "temper_cooler", 175)) == (
        230,
        175,
    )
    assert stepped_c(coupon(60, "A1"), "temper_cooler", None) == 190


def test_a_shop_that_can_try_no_coupon_tempers_none_first():
    """Where neither rod nor bend can be tried, nothing asks for the coupon that waits."""
    heats = coupon(60, "A1", PAST, grain="fine"), coupon(55, "A2")
    found = decided(*heats, no_test=ON_A_COUPON)
    assert found.tempers_first is None
    assert found.way is not None
    at = stands(*heats, **DISC)
    step = TradeStep("go_on", "brass_rod", "as told")
    assert tempered_first(at, step, ()) != step
    assert tempered_first(at, step, ON_A_COUPON) == step
