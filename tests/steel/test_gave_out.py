"""What a trial blade that gave out asks for, whatever hardness was noted of it, or none."""

from dataclasses import replace

import pytest

from edgetest.report.wording import in_units
from edgetest.steel.gave_out import broke, coupon_to_break, gave_out
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TemperSeen, TrialSeen
from edgetest.steel.steel_words import WAYS
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, number, seen, temper
from tests.steel.stands import stands, step

TABLES, LOSSES = load_steel_tables(), SteelLosses()
HARD = files(60, 65, "below")
TINE = {
    "origin": "harrow_tine", "coating": "none", "lead": "no", "magnet": "strong",
    "sparks": "like_high", "makes_blades": 12.0, "use": "chopper",
}  # fmt: skip
OF_HEAT = {"heat_c": 810.0, "soak_min": 5.0}
COUPON = heat(
    HARD, coupon="A1", magnet="lets_go", grain="fine",
    tempers=(temper(number(58), 220, time_min=60),), **OF_HEAT,
)  # fmt: skip
BARE = TemperSeen(220, 60, 2)
READ = TemperSeen(220, 60, 2, (number(58),))


def blade(*readings, coupon="blade1", number=1, tempers=(BARE,), **of):
    return heat(*readings, coupon=coupon, heat=number, tempers=tempers, **{**OF_HEAT, **of})


def trial(edge, result="same", coupon="blade1", number=1):
    return TrialSeen("A", "chop", result, edge, heat=(coupon, number))


def told(*heats, trials):
    what = seen(COUPON, *heats, trials=trials, **TINE)
    return decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)


@pytest.mark.parametrize("noted", [blade(), blade(tempers=(READ,)), blade(HARD, tempers=(READ,))])
@pytest.mark.parametrize("result", ["same", "worse"])
@pytest.mark.parametrize("edge", ["rolled", "chipped", "broke"])
def test_no_blade_that_gave_out_is_taken_for_one_that_stood(edge, result, noted):
    found = told(noted, trials=(trial(edge, result),))
    assert found.action in ("heat_treat_again", "go_on")
    assert "stood" not in " ".join(found.reasons)


@pytest.mark.parametrize("noted", [blade(), blade(HARD, tempers=(READ,))])
def test_a_break_asks_for_a_look_at_it_and_never_for_a_cooler_temper(noted):
    found = told(noted, trials=(trial("broke"),))
    assert (found.action, found.way) == ("go_on", "look_at_break")
    assert "use no blade of this heat treatment" in found.reasons[0]
    assert ".." not in found.reasons[0]
    assert any("A blade broke" in one for one in found.cautions)


@pytest.mark.parametrize(("grain", "way"), [("coarse", "normalise"), ("fine", "temper_hotter")])
def test_the_break_tells_grain_from_temper(grain, way):
    at = stands(COUPON, blade(grain=grain), trials=[trial("broke")], **TINE)
    found = broke(at, LOSSES)
    assert step(found) == ("heat_treat_again", way)
    assert "a new blade" in found.reason


def test_a_second_break_is_the_end_for_this_use():
    both = [trial("broke"), trial("broke", coupon="blade2")]
    two = blade(grain="fine"), blade(coupon="blade2", grain="fine")
    assert step(broke(stands(COUPON, *two, trials=both, **TINE), LOSSES)) == ("light_use", None)


def test_an_edge_that_chipped_or_rolled_is_answered_by_its_temper():
    def asked(edge, noted):
        return step(gave_out(stands(COUPON, noted, trials=[trial(edge)], **TINE), LOSSES))

    assert asked("chipped", blade()) == ("heat_treat_again", "temper_hotter")
    assert asked("chipped", blade(grain="coarse")) == ("heat_treat_again", "normalise")
    assert asked("rolled", blade()) == ("heat_treat_again", "temper_cooler")
    assert asked("rolled", blade(tempers=(TemperSeen(175),))) == ("light_use", None)
    assert asked("sound", blade()) is None


def test_a_blade_softer_than_its_coupon_is_blamed_for_its_own_heat():
    cold = blade(files(None, 40, "below"), magnet="holds")
    found = gave_out(stands(COUPON, cold, trials=[trial("rolled")], **TINE), LOSSES)
    assert step(found) == ("heat_treat_again", "hotter")
    assert found.reason.startswith("blade1, heat 1, rolled its edge")


def test_a_blade_hardened_again_needs_a_new_temper_and_a_new_trial():
    again = blade(HARD, number=2, tempers=())
    found = told(blade(HARD, tempers=(READ,)), again, trials=(trial("rolled"),))
    assert (found.action, found.way) == ("go_on", "temper_and_try")
    assert "blade1, heat 2, needs a new temper and a new trial" in found.reasons[0]
    stood = trial("sound", number=2)
    tempered = blade(HARD, number=2, tempers=(TemperSeen(205, 60, 2, (number(60),)),))
    after = told(blade(HARD, tempers=(READ,)), tempered, trials=(trial("rolled"), stood))
    assert after.action == "reuse"


def test_a_break_after_the_second_heat_is_answered_as_a_break():
    heats = blade(HARD, tempers=(READ,)), blade(HARD, number=2, tempers=(READ,))
    found = told(*heats, trials=(trial("rolled"), trial("broke", number=2)))
    assert found.way == "look_at_break"


def test_a_blade_tempered_hotter_since_it_chipped_is_tried_again():
    retempered = blade(tempers=(BARE, TemperSeen(235, 60, 2)))
    at = stands(COUPON, retempered, trials=[trial("chipped")], **TINE)
    assert step(gave_out(at, LOSSES)) == ("go_on", "temper_and_try")


def test_a_blade_tried_before_is_none_that_was_hardened_since():
    two = blade(coupon="blade2", grain="fine"), blade(grain="fine")  # written down the other way
    both = [trial("chipped"), trial("chipped", coupon="blade2")]
    at = stands(COUPON, *two, trials=both, **TINE)
    assert step(gave_out(at, LOSSES)) == ("light_use", None)
    waits = stands(COUPON, *two, trials=both[1:], **TINE)
    assert step(gave_out(waits, LOSSES)) == ("go_on", "temper_and_try")


def test_a_coupon_with_the_mended_temper_is_followed_by_a_blade():
    cooler = heat(HARD, coupon="A2", tempers=(temper(number(60), 205),))
    at = stands(COUPON, blade(), cooler, trials=[trial("rolled")], **TINE)
    assert step(gave_out(at, LOSSES)) == ("reuse_trial", "trial_blade")


def test_a_chip_is_tempered_up_to_what_the_coupon_read_where_that_is_more_than_a_step():
    for at_c, by in ((190.0, "up to the 220 °C that was read nearest"), (210.0, "by a step")):
        cool = blade(tempers=(TemperSeen(at_c, 60, 2),))
        found = gave_out(stands(COUPON, cool, trials=[trial("chipped")], **TINE), LOSSES)
        assert (found.way, by in found.reason) == ("temper_hotter", True)


def test_no_blade_is_snapped_to_see_its_grain():
    bare = heat(HARD, coupon="blade1", heat_c=810.0)
    what = seen(bare, **TINE)
    found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
    assert (found.way, found.of) == ("break_coupon", None)
    assert "never the blade" in found.reasons[0]
    coupon = replace(COUPON, grain=None, tempers=())
    what = seen(coupon, bare, **TINE)
    assert decide(what, weigh_steel(what, TABLES), TABLES, LOSSES).of == ("A1", 1)


def test_the_grain_of_a_coupon_quenched_alike_counts_for_the_blade():
    found = told(blade(HARD, tempers=(READ,)), trials=(trial("sound", "worse"),))
    assert found.way != "break_coupon"
    other = told(blade(HARD, heat_c=880.0, tempers=(READ,)), trials=(trial("sound", "worse"),))
    assert (other.way, other.of) == ("break_coupon", None)  # a fresh one


def test_a_blade_that_lived_short_and_was_never_filed_is_looked_at_first():
    at = stands(COUPON, blade(), trials=[trial("sound", "worse")], **TINE)
    assert step(gave_out(at, LOSSES)) == ("go_on", "sharpen_again")


def test_a_step_of_temper_is_a_difference_in_other_units_too():
    at = stands(COUPON, blade(), trials=[trial("rolled")], **TINE)
    assert "by a step of about 15 °C (27 °F)" in in_units(gave_out(at, LOSSES).reason, "imperial")
    steps_f = {"hotter": 54, "cooler": 54, "temper_hotter": 27}
    for way, step_f in steps_f.items():
        assert f"({step_f} °F)" in in_units(WAYS[way], "imperial")


def test_the_coupon_to_break_is_one_quenched_as_the_blade_and_never_broken_before():
    def asked(**of):
        coupon = heat(HARD, coupon="1", **of)
        hot = blade(HARD, heat_c=None, colour="bright_cherry")
        return coupon_to_break(stands(coupon, hot, trials=[trial("chipped")], **TINE))

    assert asked(colour="cherry") is None
    assert asked(colour="bright_cherry", fracture="snapped_clean") is None
    assert asked(colour="bright_cherry").coupon == "1"


def test_a_blade_that_rolled_after_a_hotter_temper_than_the_coupon_s_is_hardened_again():
    drawn = TemperSeen(232, 60, 2, (files(50, 55),), for_use=True)
    step_of = gave_out(
        stands(
            COUPON, blade(HARD, tempers=(drawn,)), trials=(trial("rolled", "worse"),),
            use="hedging_tool",
        ),
        LOSSES,
    )  # fmt: skip
    assert (step_of.action, step_of.way) == ("heat_treat_again", "temper_cooler")
    assert "tempered at 232 °C, hotter than the 220 °C that was read nearest" in step_of.reason
    alike = blade(HARD, tempers=(TemperSeen(220, 60, 2, (files(50, 55),), for_use=True),))
    at = stands(COUPON, alike, trials=(trial("rolled", "worse"),), use="hedging_tool")
    assert gave_out(at, LOSSES) is None


def test_a_blade_drawn_too_soft_is_tempered_cooler_though_a_coupon_read_so_after_a_hotter_temper():
    rows = ((55, 60, 177), (55, 60, 204), (50, 55, 232))
    drawn = TemperSeen(204, 60, 2, (files(50, 55),), for_use=True)
    made = heat(files(55, 60, "below"), coupon="K1", magnet="lets_go", colour="cherry",
                soak_min=5.0, tempers=(drawn,))  # fmt: skip
    rolled = (trial("rolled", "worse", "K1"),)
    for read, trials in ((rows, ()), (rows, rolled), (rows[2:], rolled)):
        row = tuple(temper(files(low, high), c, time_min=60) for low, high, c in read)
        coupon = heat(files(55, 60, "below"), coupon="T1", magnet="lets_go", grain="fine",
                      colour="cherry", tempers=row)  # fmt: skip
        what = seen(coupon, made, trials=trials, **TINE)
        found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
        assert (found.way, found.of) == ("temper_cooler", ("K1", 1))
        assert "hard enough" in found.reasons[0]
        assert "the temper drew it" in found.reasons[0].lower()
