"""What is done with a piece: safety first, cheap tests first, water last, no blame on the steel."""

from dataclasses import replace

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import SteelSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, files, heat, number, seen, temper

TABLES = load_steel_tables()
FREE = {"magnet": "strong", "sparks": "between", "coating": "none", "lead": "no",
        "makes_blades": 20}  # fmt: skip


def told(*heats, losses=None, **of):
    what = seen(*heats, **of)
    return decide(what, weigh_steel(what, TABLES), TABLES, losses or SteelLosses())


def step(*heats, **of):
    found = told(*heats, **of)
    return found.action, found.way


def test_a_hotter_quench_is_told_to_a_maker_with_a_magnet_and_an_eye():
    found = told(heat(SOFT, magnet="holds"), **FREE)
    assert found.way == "hotter"
    assert "about one shade brighter, and no eye tells it for sure" in found.reasons[1]
    assert len(told(heat(HARD), **FREE).reasons) == 1
    measured = told(heat(SOFT, magnet="holds", heat_c=735.0), **FREE)
    assert measured.way == "hotter"
    assert "by eye" not in " ".join(measured.reasons).casefold()


def test_a_drop_that_no_temper_makes_is_read_again_before_the_temper_is_changed():
    ladder = (temper(files(60, 65), 175), temper(files(45, 50), 204))
    drawn = heat(files(60, 65, "below"), grain="fine", tempers=ladder)
    found = told(drawn, **FREE)
    assert (found.action, found.next_test.code) == ("go_on", "grind_and_file")
    assert found.withheld
    once = replace(ladder[1], hardness=(files(45, 50, "below"),))
    for clean, same in ((once, True), (replace(once, hardness=2 * once.hardness), False)):
        now = step(replace(drawn, tempers=(ladder[0], clean)), **FREE)[1]
        assert (now == "grind_and_file") == same  # one clean reading is read once more, two agree


def test_readings_that_disagree_after_one_temper_are_made_again_before_a_blade_is_tried():
    apart = replace(temper(files(45, 50), 204), hardness=(files(45, 50), files(60, 65)))
    drawn = heat(files(60, 65, "below"), grain="fine", tempers=(apart,))
    found = told(drawn, **FREE)
    assert (found.action, found.next_test.code, found.of) == ("go_on", "grind_and_file", ("1", 1))
    assert found.withheld
    assert [one.code for one in found.unmended] == ["temper_read_apart"]
    below = replace(apart, hardness=(files(57, 62, "below"),))
    assert told(replace(drawn, tempers=(below,)), **FREE).next_test.code == "trial_blade"


def test_a_blade_that_is_begun_goes_on_before_another_is_asked_for():
    ready = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    begun = heat(HARD, coupon="blade1", heat=2)
    found = told(ready, begun, **FREE)
    assert (found.action, found.next_test.code) == ("go_on", "temper_and_try")
    assert found.of == ("blade1", 2)
    assert "temper it, and try it before you make another" in found.reasons[0]
    tempered = replace(begun, tempers=(temper(files(57, 62), 200),))
    assert "not tried yet: try it" in told(ready, tempered, **FREE).reasons[0]
    short = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 2), strokes=20)
    again = told(ready, tempered, trials=(short,), **FREE)
    assert again.of == ("blade1", 2)
    assert "blade1 made 20 of the 30 strokes from which a whole edge" in again.reasons[0]
    warmed = replace(tempered, tempers=(temper(files(57, 62), 200, time_min=1.0),))
    assert "temper it, and try it" in told(ready, warmed, **FREE).reasons[0]
    cracked = replace(begun, cracked=1)
    assert told(ready, cracked, **FREE).of is None


def test_nothing_entered_is_the_first_step_and_no_number():
    what = SteelSeen()
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.action, found.chance_fit) == ("first_step", None)
    assert not any(sign.isdigit() for sign in found.summary())


@pytest.mark.parametrize(
    "danger",
    [{"coating": "galvanised"}, {"lead": "suspected"}, {"closed_hollow": True},
     {"loaded_spring": True}, {"coating": "hard_chrome"}],
)  # fmt: skip
def test_danger_stops_whatever_the_steel(danger):
    sure = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    assert step(sure, **FREE | danger) == ("safety_stop", None)


def test_free_tests_come_before_the_fire_and_oil_before_water():
    assert step() == ("first_step", None)
    assert step(origin="leaf_spring") == ("go_on", "look_at_coating")
    assert step(coating="none", lead="no") == ("go_on", "magnet")
    assert step(coating="none", lead="no", magnet="strong") == ("go_on", "sparks")
    assert step(**FREE) == ("go_on", "coupon_oil")


def test_water_only_where_oil_left_it_soft_and_alloy_is_unlikely():
    hot = {"heat_c": 850.0, "magnet": "lets_go", "section_mm": 12.0}
    soft = heat(files(40, 45, "below"), **hot)
    assert step(soft, **FREE | {"sparks": "like_high"}) == ("go_on", "coupon_water")
    alloy = {"stream": "short_red", "forging": "stiff", "origin": "planer_or_die"}
    assert step(soft, **FREE | alloy)[1] != "coupon_water"


@pytest.mark.parametrize("reading", [63, 64])
def test_too_hard_after_a_low_temper_is_never_the_steels_fault(reading):
    good = heat(number(65), grain="fine", tempers=(temper(number(reading), 160),))
    found = told(good, **FREE | {"sparks": "like_high"})
    assert (found.action, found.way) == ("heat_treat_again", "temper_hotter")
    assert found.chance_fit > 0.6


def test_leave_needs_a_soft_reading_below_the_skin_from_a_heat_hot_enough():
    low = FREE | {"sparks": "like_low", "makes_blades": 400}
    hot = {"medium": "water", "heat_c": 900.0}
    assert step(heat(SOFT, **hot), **low) == ("leave", None)
    assert step(heat(files(None, 40), **hot), **low) == ("go_on", "grind_and_file")
    assert step(heat(SOFT, medium="water", colour="cherry"), **low) == (
        "heat_treat_again", "hotter",
    )  # fmt: skip
    assert step(heat(SOFT, medium="water"), **low)[0] != "leave"


def test_a_cure_that_was_done_is_not_asked_for_again():
    soft, hard = files(None, 40), files(60, 65)
    first = heat(soft, hard, colour="bright_cherry", grain="fine")
    assert step(first, **FREE) == ("go_on", "grind_and_file")
    again = heat(files(60, 65, "below"), colour="bright_cherry", coupon="2", grain="fine")
    assert step(first, again, **FREE) == ("go_on", "temper_ladder")


def test_of_a_ladder_the_step_that_fits_counts():
    ladder = tuple(temper(number(h), c) for h, c in ((63, 180), (60, 220), (52, 350)))
    good = heat(HARD, grain="fine", tempers=ladder)
    assert step(good, use="knife", **FREE | {"sparks": "like_high"})[0] != "heat_treat_again"


def test_a_hard_piece_that_may_be_a_case_is_filed_below_the_skin_first():
    assert step(heat(HARD, grain="fine"), **FREE | {"origin": "gear"}) == (
        "go_on",
        "grind_and_file",
    )


def test_normalise_only_where_the_break_is_coarse():
    assert step(heat(HARD, grain="coarse"), **FREE) == ("heat_treat_again", "normalise")
    assert step(heat(HARD, grain="fine"), **FREE) == ("go_on", "temper_ladder")
    assert step(heat(HARD), **FREE) == ("go_on", "break_coupon")


def test_a_short_life_looks_at_grain_and_skin_before_the_steel():
    blade = heat(HARD, tempers=(temper(files(57, 62), 200),))
    worse = (TrialSeen("A", "rope", "worse"),)
    assert step(blade, trials=worse, **FREE) == ("go_on", "break_coupon")
    fine = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    assert step(fine, trials=worse, **FREE) == ("go_on", "grind_and_file")


def test_untested_toughness_stands_in_the_headline():
    good = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    found = told(good, use="knife", **FREE)
    assert found.action == "reuse_trial"
    assert "toughness was not tried" in found.title
    assert "toughness_untried" in [one.code for one in found.doubts]
    tried = told(good, use="knife", trials=(TrialSeen("A", "brass_rod", "same", "sound"),), **FREE)
    assert "toughness" not in tried.title


def test_a_trial_blade_that_stood_ends_the_question():
    good = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    trial = (TrialSeen("A", "rope", "same", "sound"),)
    sure = FREE | {"sparks": "like_high", "origin": "saw_blade"}
    assert step(good, use="knife", trials=trial, **sure) == ("reuse", None)


def test_one_blade_that_stood_is_not_enough_where_a_mistake_is_dear():
    good = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    trial = (TrialSeen("A", "rope", "same", "sound"),)
    dear = SteelLosses(blade_hours=40.0)
    found = told(good, use="knife", trials=trial, losses=dear, **FREE)
    assert (found.action, found.way) == ("reuse_trial", "trial_blade")


def test_a_packed_blade_that_stood_speaks_for_the_pack():
    low = FREE | {"sparks": "like_low"}
    packed = (TrialSeen("A", "rope", "same", carburised=True),)
    soft = heat(SOFT, medium="water", heat_c=900.0)
    assert step(soft, use="chopper", trials=packed, **low) == ("carburise", None)
    measured = (TrialSeen("A", "rope", life_ratio=1.23, life_ratio_log_u=0.05, carburised=True),)
    said = told(soft, use="chopper", trials=measured, **low).summary()
    assert said.startswith("Carburise it")
    assert "1.23 times as long as the known one" in said
    assert "as it is, without packing" in said
    assert "not settled" not in said


def test_every_step_into_the_fire_has_its_caution():
    for found in (told(**FREE), told(heat(SOFT, heat_c=700), **FREE)):
        assert found.cautions
    assert told(**FREE).to_dict()["next"]["cautions"]


def test_a_blade_that_stood_outranks_a_temper_read_too_soft():
    soft = heat(HARD, grain="fine", tempers=(temper(files(None, 55), 204),))
    stood = TrialSeen("A", "chop", "better", edge="sound")
    asked = {**FREE, "use": "chopper"}
    assert step(soft, **asked) == ("heat_treat_again", "temper_cooler")
    assert told(soft, **asked, trials=(stood,)).action in ("reuse", "reuse_trial")


def test_who_does_not_know_of_lead_is_not_told_of_a_coating():
    assert "lead" in told(**FREE | {"lead": "unknown"}).reasons[0]
    assert "coated" in told(**FREE | {"coating": "unknown"}).reasons[0]


@pytest.mark.parametrize(
    ("origin", "way"), [("unknown", "look_at_coating"), ("leaf_spring", "sparks")]
)
def test_bar_that_may_be_leaded_is_asked_about_and_a_spring_is_not(origin, way):
    assert told(**{**FREE, "lead": None, "sparks": None}, origin=origin).way == way


@pytest.mark.parametrize("coating", ["painted", "galvanised", "plated", "hard_chrome"])
def test_a_stop_for_a_coating_says_how_it_comes_off(coating):
    assert "strip" in told(**FREE | {"coating": coating}).reasons[0]


def test_the_chance_names_the_use_it_is_of():
    said = told(heat(HARD, grain="fine"), **FREE, use="hedging_tool").summary()
    assert "The chance that it makes a good hedging tool, treated rightly, is " in said


def test_a_coupon_quenched_again_from_hotter_needs_no_repeat():
    cold = heat(SOFT, coupon="a", heat=1, colour="dull_red")
    again = heat(files(60, 65, "below"), coupon="a", heat=2, heat_c=816.0, grain="fine")
    of = {**FREE, "sparks": "like_high", "origin": "leaf_spring", "use": "knife"}
    assert step(cold, again, **of) == ("go_on", "temper_ladder")
    same = heat(SOFT, coupon="a", heat=1, colour="bright_cherry")
    assert step(same, again, **of)[1] == "repeat"


def test_a_coupon_that_nobody_filed_is_not_told_of_its_reading():
    found = told(heat(heat_c=820.0), **FREE)
    assert (found.action, found.way) == ("go_on", "grind_and_file")
    assert "nobody has filed it" in found.reasons[0]


@pytest.mark.parametrize(
    ("wanted", "tempers", "expected"),
    [
        ((60.0, 64.0), ((57, 200), (58, 500)), ("heat_treat_again", "temper_hotter")),
        ((54.0, 57.0), ((58, 200), (61, 520)), ("heat_treat_again", "temper_hotter")),
        ((62.0, 64.0), ((57, 200), (60, 520), (57, 580)), ("light_use", None)),
        ((57.0, 62.0), ((57, 200), (61, 520)), ("reuse_trial", "trial_blade")),
    ],
)
def test_what_stays_hard_at_520_is_tempered_there_and_never_cooler(wanted, tempers, expected):
    read = tuple(temper(number(hrc, "below"), at) for hrc, at in tempers)
    own = heat(number(60, "below"), medium="air", heat_c=1000.0, grain="fine", tempers=read)
    alloy = FREE | {"sparks": "fewer_than_low", "stream": "short_red", "origin": "planer_or_die"}
    what = replace(seen(own, use="knife", **alloy), wanted_hrc=wanted)
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.action, found.way) == expected
    assert "holds its hardness after 5" in found.reasons[0]


def test_an_edge_that_chipped_twice_is_not_tempered_hotter_for_ever():
    good = heat(HARD, files(60, 65, "below"), grain="fine", tempers=(temper(files(55, 60), 220),))
    once = TrialSeen("A", "rope", "worse", "chipped")
    free = {**FREE, "use": "knife"}
    assert step(good, trials=(once,), **free) == ("heat_treat_again", "temper_hotter")
    again = TrialSeen("A", "rope", "worse", "chipped", heat=("1", 1))
    found = told(good, trials=(once, again), **free)
    assert (found.action, found.way) == ("light_use", None)
    assert "too brittle" in found.reasons[0]


def test_lead_that_nobody_answered_is_asked_for_before_a_fire():
    open_yet = {**FREE, "lead": None, "coating": "removed"}
    asked = told(**open_yet, origin="harrow_tine")
    assert asked.way == "look_at_coating"
    assert "lead" in asked.reasons[0]
    assert asked.next_test.title.startswith("find out whether it holds lead")
    neither = told(**{**open_yet, "coating": None}, origin="harrow_tine")
    assert neither.next_test.title.startswith("look for paint")
    bare = told(**{**open_yet, "coating": "none"}, origin="harrow_tine")
    assert any("holds lead" in one for one in bare.cautions)
    answered = told(**{**open_yet, "lead": "no"}, origin="harrow_tine")
    assert not any("holds lead" in one for one in answered.cautions)


def test_a_soft_skin_over_a_hard_inside_leaves_nothing_to_mend():
    soft_skin = told(heat(files(60, 65, "below"), files(None, 45, "skin"), grain="fine"), **FREE)
    assert [one.code for one in soft_skin.contradictions] == ["skin_differs"]
    assert soft_skin.unmended == ()
    case = told(heat(files(None, 40, "below"), files(60, None, "skin")), **FREE)
    assert [one.code for one in case.unmended] == ["skin_differs"]
