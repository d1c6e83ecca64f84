"""What does each rule of the trade ask for, on both sides of what decides it?"""

import pytest

from edgetest.steel.cure_first import GRIND_AND_FILE
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TemperSeen, TrialSeen
from edgetest.steel.trade_rules import (
    cure,
    decisive,
    degrees_unsure,
    drawn_soft,
    first_coupon,
    free_tests,
    look_first,
    middling,
    nothing_else,
    nothing_entered,
    safety,
    soft,
    too_little_carbon,
)
from edgetest.units import Typed
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands, step

HARD, SOFT, MIDDLING = files(60, 65, "below"), files(None, 40, "below"), files(50, 55, "below")
HOT = {"heat_c": 850.0}
LOSSES = SteelLosses()


def trial(result=None, **of):
    return TrialSeen("A", "rope", result, **of)


def test_nothing_entered_begins_with_a_look():
    assert step(nothing_entered(stands(), LOSSES)) == ("first_step", None)
    assert step(nothing_entered(stands(makes_blades=4.0), LOSSES)) == ("first_step", None)
    assert nothing_entered(stands(sparks="between"), LOSSES) is None
    assert nothing_entered(stands(heat(HARD)), LOSSES) is None
    assert nothing_entered(stands(trials=[trial("same")]), LOSSES) is None


@pytest.mark.parametrize(
    ("piece", "stops"),
    [
        ({"coating": "painted"}, True), ({"coating": "galvanised"}, True),
        ({"coating": "plated"}, True), ({"coating": "hard_chrome"}, True),
        ({"coating": "removed"}, False), ({"coating": "none"}, False),
        ({"lead": "suspected"}, True), ({"lead": "yes"}, True), ({"lead": "no"}, False),
        ({"lead": "unknown"}, False),
        ({"closed_hollow": True}, True), ({"closed_hollow": False}, False),
        ({"loaded_spring": True}, True), ({"loaded_spring": False}, False),
    ],
)  # fmt: skip
def test_what_poisons_or_bursts_stops(piece, stops):
    assert step(safety(stands(**piece), LOSSES)) == (("safety_stop", None) if stops else None)


@pytest.mark.parametrize(
    ("piece", "words"),
    [
        ({"coating": "none", "lead": "unknown", "origin": "gear"}, "Nobody knows whether it holds"),
        ({"coating": "none", "lead": "unknown", "origin": "rail"}, None),
        ({"coating": "removed", "lead": "unknown", "origin": "rail"}, "whether its coat held lead"),
        ({"lead": None, "origin": "rail"}, "nobody has written down its coating and its lead."),
        ({"lead": "no", "origin": "rail"}, "nobody has written down its coating."),
        ({"coating": "none", "origin": "rail"}, None),
        ({"coating": "removed", "origin": "rail"}, "nobody has written down its lead."),
        ({"coating": "none", "origin": "gear"}, "nobody has written down its lead."),
        ({"coating": "none", "lead": "no", "origin": "gear"}, None),
    ],
)
def test_coat_and_lead_are_asked_for_before_the_first_fire(piece, words):
    found = look_first(stands(**piece), LOSSES)
    if words is None:
        assert found is None
    else:
        assert step(found) == ("go_on", "look_at_coating")
        assert words in found.reason


@pytest.mark.parametrize("heats", [(), (heat(HARD),)])
def test_a_coat_that_nobody_knows_stops_and_asks_for_a_look(heats):
    at = stands(*heats, coating="unknown", makes_blades=1)
    found = safety(at, LOSSES)
    assert step(found) == ("safety_stop", "look_at_coating")
    assert "Nobody knows whether it is coated" in found.reason


def test_after_a_fire_no_coat_is_asked_for():
    assert look_first(stands(heat(HARD)), LOSSES) is None
    assert look_first(stands(trials=[trial("same")]), LOSSES) is None


@pytest.mark.parametrize("kind", ["cast_iron", "wrought_iron"])
def test_iron_ends_the_matter_beyond_three_in_four(kind):
    assert decisive(stands(chances={kind: 0.75}), LOSSES) is None
    assert step(decisive(stands(chances={kind: 0.76}), LOSSES)) == ("leave", None)
    assert decisive(stands(heat(HARD), chances={kind: 0.76}), LOSSES) is None
    crumbles = stands(heat(HARD), chances={kind: 0.76}, forging="crumbles")
    assert step(decisive(crumbles, LOSSES)) == ("leave", None)
    grey = stands(heat(HARD), chances={kind: 0.76}, fracture="grey_crumbly")
    assert step(decisive(grey, LOSSES)) == ("leave", None)


def test_no_pull_ends_it_unless_sparks_or_hardness_speak_against():
    assert step(decisive(stands(magnet="none"), LOSSES)) == ("leave", None)
    assert decisive(stands(magnet="none", sparks="like_high"), LOSSES) is None
    assert decisive(stands(magnet="weak"), LOSSES) is None


def test_an_analysis_with_twice_its_doubt_below_what_hardens():
    """0.12 % gives less than 50 HRC by the relation of ASTM A255, 0.45 % gives more."""
    assert too_little_carbon(PieceSeen("A", carbon_pct=0.12))
    assert not too_little_carbon(PieceSeen("A", carbon_pct=0.45))
    assert not too_little_carbon(PieceSeen("A", carbon_pct=0.12, carbon_u_pct=0.165))
    assert not too_little_carbon(PieceSeen("A"))
    assert step(decisive(stands(carbon_pct=0.12), LOSSES)) == ("leave", None)


@pytest.mark.parametrize(
    ("use", "blades", "action"),
    [
        ("knife", 10, "carburise"), ("chisel", 10, "carburise"), ("knife", 9, "leave"),
        ("knife", None, "leave"), ("chopper", 50, "leave"), (None, 50, "leave"),
    ],
)  # fmt: skip
def test_many_small_blades_of_soft_steel_may_pay_a_pack(use, blades, action):
    at = stands(use=use, makes_blades=blades, carbon_pct=0.12)
    found = decisive(at, LOSSES)
    assert found.action == action
    assert ("not proposed" in found.reason) == (use == "chopper")


def test_a_packed_blade_that_stood_is_reason_enough():
    def told(**of):
        packed = TrialSeen("A", "rope", carburised=True, **of)
        return decisive(stands(use="chopper", carbon_pct=0.12, trials=[packed]), LOSSES)

    assert told(life_ratio=0.85).reason == (
        "The packed blade lived 0.85 times as long as the known one."
    )
    assert told(result="same").reason == "The packed blade lived as long as the known one."
    assert told(life_ratio=0.7).action == "leave"


@pytest.mark.parametrize(
    ("piece", "way"),
    [
        ({}, "magnet"),
        ({"magnet": "strong"}, "sparks"),
        ({"magnet": "strong", "sparks": "between"}, None),
        ({"magnet": "strong", "stream": "bright_forked"}, None),
        ({"magnet": "strong", "carbon_pct": 0.6}, None),
    ],
)
def test_what_costs_nothing_comes_first(piece, way):
    assert step(free_tests(stands(**piece), LOSSES)) == (None if way is None else ("go_on", way))
    assert free_tests(stands(heat(HARD), **piece), LOSSES) is None


@pytest.mark.parametrize(("chance", "asks"), [(0.25, False), (0.26, True)])
def test_a_likely_case_is_filed_as_found(chance, asks):
    piece = {"magnet": "strong", "sparks": "between", "chances": {"surface_hardened": chance}}
    assert (free_tests(stands(**piece), LOSSES) is not None) == asks
    assert free_tests(stands(hardness=(HARD,), **piece), LOSSES) is None


def test_a_coupon_that_was_tempered_unread_is_no_coupon_to_file_as_quenched():
    found = first_coupon(stands(heat(tempers=(TemperSeen(200, hardness=(HARD,)),))), LOSSES)
    assert step(found) == ("go_on", "coupon_oil")
    assert "Coupon 1, heat 1: tempered, and nobody has entered it as quenched yet" in found.reason
    assert step(first_coupon(stands(heat()), LOSSES)) == ("go_on", "grind_and_file")


@pytest.mark.parametrize(("chance", "way"), [(0.5, "coupon_oil"), (0.51, "coupon_air")])
def test_the_first_coupon_is_oil_or_air(chance, way):
    alloy = {"air_hardening": chance - 0.1, "stainless_hardening": 0.1}
    assert step(first_coupon(stands(chances=alloy), LOSSES)) == ("go_on", way)
    unread = stands(heat(), chances=alloy)
    assert step(first_coupon(unread, LOSSES)) == ("go_on", "grind_and_file")
    assert first_coupon(stands(heat(SOFT), chances=alloy), LOSSES) is None
    assert first_coupon(stands(trials=[trial("same")], chances=alloy), LOSSES) is None


@pytest.mark.parametrize("reading", [MIDDLING, SOFT])
def test_neither_hard_nor_soft_nor_soft_goes_from_air_over_oil_to_water(reading):
    rule = middling if reading is MIDDLING else soft

    def told(*media, chance=0.0, **of):
        heats = [heat(reading, coupon=str(i), medium=m, **HOT) for i, m in enumerate(media)]
        return step(rule(stands(*heats, chances={"air_hardening": chance}, **of), LOSSES))

    assert told("air") == ("go_on", "coupon_oil")
    assert told(None) == ("go_on", "coupon_oil")
    assert told("oil") == ("go_on", "coupon_water")
    assert told("oil", chance=0.2) == ("go_on", "coupon_water")
    last = ("light_use", None) if reading is MIDDLING else ("leave", None)
    assert told("oil", chance=0.21) == last
    assert told("oil", "water") == last
    assert told("warm_water") == last


def test_what_is_soft_for_want_of_heat_or_of_carbon():
    hot = heat(SOFT, **HOT)
    alloy = {"air_hardening": 0.51}
    assert step(soft(stands(hot, chances=alloy), LOSSES)) == ("laboratory", None)
    assert step(soft(stands(hot, chances={"air_hardening": 0.5}), LOSSES)) == ("leave", None)
    assert step(soft(stands(hot, case_only=0.75), LOSSES)) == ("go_on", "coupon_water")
    assert step(soft(stands(hot, case_only=0.76), LOSSES)) == ("leave", None)
    assert soft(stands(), LOSSES) is None
    assert soft(stands(heat()), LOSSES) is None
    assert step(soft(stands(heat(SOFT)), LOSSES)) == ("heat_treat_again", "hotter")


def test_hard_and_soft_are_not_middling():
    assert middling(stands(heat(HARD)), LOSSES) is None
    assert middling(stands(heat(SOFT)), LOSSES) is None
    assert middling(stands(), LOSSES) is None
    assert step(middling(stands(heat(MIDDLING)), LOSSES)) == ("heat_treat_again", "hotter")


def test_where_no_rule_speaks():
    assert nothing_else(stands(heat(files(60, 65))), LOSSES) == GRIND_AND_FILE
    assert step(nothing_else(stands(heat(HARD)), LOSSES)) == ("laboratory", None)
    assert step(nothing_else(stands(trials=[trial("same")]), LOSSES)) == ("reuse", None)
    mixed = [trial("same"), trial("worse")]
    assert step(nothing_else(stands(trials=mixed), LOSSES)) == ("go_on", "coupon_oil")
    assert step(nothing_else(stands(heat(HARD), trials=mixed), LOSSES)) == ("laboratory", None)


def test_a_cure_that_was_taken_is_not_asked_for_again():
    assert step(cure(stands(heat(HARD, cracked=1, medium="water")), LOSSES)) == (
        "heat_treat_again", "slower_quench",
    )  # fmt: skip
    loose = stands(heat(number(64, "not_stated"), number(40, "not_stated")))
    assert step(cure(loose, LOSSES)) == ("go_on", "grind_and_file")
    assert cure(stands(heat(HARD)), LOSSES) is None


@pytest.mark.parametrize(("missed", "asked"), [(0.0, "light_use"), (0.4, "heat_treat_again")])
def test_a_steel_that_hardened_is_never_told_to_be_soft(missed, asked):
    drawn = heat(HARD, tempers=(TemperSeen(175.0, 60, hardness=(files(50, 55),)),), colour="cherry")
    found = drawn_soft(stands(drawn, missed=missed, use="knife"), LOSSES)
    assert found.action == asked
    assert "it is soft" not in found.reason


def test_a_heat_too_little_hard_for_a_temper_is_not_called_soft():
    short = heat(
        files(55, 58, "below"), tempers=(TemperSeen(175.0, 60, hardness=(files(50, 55),)),)
    )
    found = soft(stands(short, use="knife"), LOSSES)
    assert (found.way, found.reason) == ("hotter", "It may have been too cold to harden fully.")
    assert drawn_soft(stands(short, use="knife"), LOSSES) is None


def test_a_temper_of_no_unit_is_looked_up_before_any_step_rests_on_it():
    """Whether or not the reading clashes with the degrees, and however much looks like alloy."""
    at = Typed(375.0, 375)
    for reading in (files(55, 60, "below"), files(50, 55, "below")):
        one = heat(files(60, 65, "below"), coupon="A3", tempers=(temper(reading, at),))
        for alloy in (0.0, 0.9):
            found = degrees_unsure(stands(one, chances={"air_hardening": alloy}), SteelLosses())
            assert step(found) == ("go_on", "look_up_degrees")
            assert "typed as a number alone: 375 °F is 191 °C" in found.reason
    sure = heat(HARD, tempers=(temper(files(55, 60, "below"), Typed(375.0, "375 °C")),))
    assert degrees_unsure(stands(sure), SteelLosses()) is None
