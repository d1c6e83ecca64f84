"""Do hours of testing still pay, worked by hand?"""

from dataclasses import replace

import pytest

from edgetest.steel.blade_tells import SISTER, blade_instead, cheapest
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.lot_chance import LotChance, lot_chance, sister_pays
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.worth_testing import known_instead
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands, step

HARD, SOFT = files(60, 65, "below"), files(None, 40, "below")
LOSSES = SteelLosses()
BLADE = TradeStep("reuse_trial", "trial_blade", "why")
LADDER = TradeStep("go_on", "temper_ladder", "why")
BOUGHT = ("buy_known", None)


def trial(result, **of):
    return TrialSeen("A", "rope", result, **of)


def test_where_nobody_told_how_many_blades_the_step_stands():
    assert known_instead(stands(heat(HARD), fit=0.01), LADDER, LOSSES) is LADDER
    assert known_instead(stands(heat(HARD), fit=None, makes_blades=1.0), LADDER, LOSSES) is LADDER
    leave = TradeStep("leave", None, "why")
    assert known_instead(stands(heat(HARD), fit=0.01, makes_blades=1.0), leave, LOSSES) is leave


def test_a_ladder_pays_from_the_blades_whose_known_steel_costs_as_much():
    """Its own hours, then a blade where it goes well and a fifth of one where it does not."""
    own = TESTS_BY_CODE["temper_ladder"].hours
    chance = 0.9
    ahead = own + chance * 8.0 + (1 - chance) * 0.2 * 8.0
    enough = ahead / (chance * 2.0)
    assert 6 < enough + 2 < 30
    for blades, pays in ((enough + 0.01, True), (enough - 0.01, False)):
        at = stands(heat(HARD), fit=chance, makes_blades=max(blades, 0.0))
        losses = replace(LOSSES, blade_hours=8.0)
        found = known_instead(at, LADDER, losses)
        assert (found is LADDER) == pays


@pytest.mark.parametrize(
    ("way", "look"), [("coupon_water", 0.0), ("sparks", TESTS_BY_CODE["sparks"].hours)]
)
def test_where_a_sister_s_blade_stood_a_coupon_one_temper_and_a_failed_blade_are_counted(way, look):
    """Of a piece that nobody quenched: by hand, also where a look comes first."""
    blade = heat(HARD, piece="B", coupon="blade1", tempers=(temper(files(55, 60), 300.0),))
    stood = TrialSeen("B", "chop", "same", "sound", heat=("blade1", 1))
    chance = 0.8
    coupon = TESTS_BY_CODE["coupon_oil"].hours
    ahead = look + coupon + TESTS_BY_CODE["temper_ladder"].hours / 6 + (1 - chance) * 8.0
    asked = TradeStep("go_on", way, "why")
    enough = ahead / ((1.0 if look else chance) * LOSSES.known_steel_hours)
    for blades, pays in ((enough + 0.01, True), (enough - 0.01, False)):
        at = stands(blade, fit=chance, makes_blades=blades, lot="L", trials=(stood,),
                    pieces=[PieceSeen("B", lot="L")])  # fmt: skip
        found = known_instead(at, asked, replace(LOSSES, blade_hours=8.0))
        assert (found.action == "go_on") is pays
        assert pays or "a sister's blade stood at its temper" in found.reason


def test_a_coupon_is_followed_by_ladder_toughness_and_blade():
    coupon = TradeStep("go_on", "coupon_water", "why")
    own, ladder, rod = (
        TESTS_BY_CODE[name].hours for name in ("coupon_water", "temper_ladder", "brass_rod")
    )
    for use, more in (("knife", 0.0), ("chopper", rod)):
        chance = 0.5
        ahead = own + chance * (ladder + more + 8.0) + 0.5 * 0.2 * 8.0
        enough = ahead / (chance * 2.0)
        for blades, pays in ((enough + 0.01, True), (enough - 0.01, False)):
            at = stands(heat(SOFT, heat_c=850.0), fit=chance, makes_blades=blades, use=use)
            assert (known_instead(at, coupon, LOSSES) is coupon) == pays


def test_a_heat_of_its_own_counts_one_hour_and_a_tempered_coupon_no_ladder():
    again = TradeStep("heat_treat_again", "temper_hotter", "why")
    chance = 0.5
    ahead = 1.0 + chance * 8.0 + 0.5 * 0.2 * 8.0
    enough = ahead / (chance * 2.0)
    hard = heat(HARD, tempers=(temper(number(65, "below"), 200),))
    for blades, pays in ((enough + 0.01, True), (enough - 0.01, False)):
        # Up to six blades a lost blade is held against known steel for all: not for a cure.
        at = stands(hard, fit=chance, makes_blades=blades, use="knife")
        assert (known_instead(at, again, LOSSES) is again) == pays


def test_a_blade_in_the_range_is_lost_only_where_it_fails():
    hard = heat(HARD, grain="fine", tempers=(temper(number(60, "below"), 200),))
    chance = 0.75
    enough = (1 - chance) * 8.0 / (chance * 2.0)
    at = stands(hard, fit=chance, makes_blades=enough + 6.0, use="knife")
    assert known_instead(at, BLADE, LOSSES).way == "trial_blade"


def test_alloy_likely_counts_by_its_own_chance():
    coupon = TradeStep("go_on", "coupon_air", "why")
    alloy = {"air_hardening": 0.51}
    at = stands(heat(SOFT, heat_c=850.0), fit=0.01, makes_blades=25.0, chances=alloy)
    assert known_instead(at, coupon, LOSSES) is coupon
    even = stands(
        heat(SOFT, heat_c=850.0), fit=0.01, makes_blades=25.0, chances={"air_hardening": 0.5}
    )
    assert step(known_instead(even, coupon, LOSSES)) == BOUGHT


@pytest.mark.parametrize(("blades", "which"), [(1, "for it costs 2 h"), (2, "for them costs 4 h")])
def test_known_steel_instead_says_the_hours_of_both_sides(blades, which):
    losses = SteelLosses(blade_hours=40.0, known_steel_hours=2.0)
    at = stands(heat(files(60, 65)), makes_blades=blades)
    found = known_instead(at, TradeStep("go_on", "temper_ladder", "x"), losses)
    assert step(found) == BOUGHT
    at_stake = f", of which {blades:g} h are at stake by the chance of 50 % that the piece serves"
    ahead = 3.0 + 0.5 * 40.0 + 0.5 * 0.2 * 40.0
    whole = "(till a temper fits, a trial blade counts whole, as often as it comes to one)."
    said = f"{at_stake}; the testing still ahead costs more, {ahead:g} h {whole} This counts"
    assert f"It makes {blades}: known steel {which}{said}" in found.reason
    assert "This counts 2 h for one blade's known steel (its price)" in found.reason
    assert "known_steel_hours and blade_hours into [verdict]" in found.reason
    assert "If you go on all the same: tempers from 175 °C" in found.reason
    own = SteelLosses(40.0, 2.0, stated=("blade_hours", "known_steel_hours"))
    told = known_instead(at, TradeStep("go_on", "temper_ladder", "x"), own).reason
    assert "(its price) and your 40 h for one trial blade." in told
    assert "write yours" not in told
    half = SteelLosses(40.0, 2.0, stated=("blade_hours",))
    told = known_instead(at, TradeStep("go_on", "temper_ladder", "x"), half).reason
    assert "write yours as known_steel_hours into [verdict]" in told


def test_blades_of_the_lot_are_counted_and_no_others():
    coupon = TradeStep("go_on", "coupon_water", "why")
    sisters = [PieceSeen("B", lot="L", makes_blades=20.0), PieceSeen("C", makes_blades=99.0),
               PieceSeen("D", lot="M", makes_blades=99.0)]  # fmt: skip
    read = heat(SOFT, heat_c=850.0)
    one = stands(read, fit=0.5, makes_blades=1.0, lot="L", pieces=sisters[1:])
    assert step(known_instead(one, coupon, LOSSES)) == BOUGHT
    assert "It makes 1:" in known_instead(one, coupon, LOSSES).reason
    both = stands(read, fit=0.5, makes_blades=1.0, lot="L", pieces=sisters)
    assert known_instead(both, coupon, LOSSES) is coupon
    few = [PieceSeen("B", lot="L", makes_blades=2.0)]
    three = stands(read, fit=0.5, makes_blades=1.0, lot="L", pieces=few)
    assert "Lot L makes 3: known steel for them" in known_instead(three, coupon, LOSSES).reason
    alone = stands(read, fit=0.5, makes_blades=1.0, pieces=sisters)
    assert step(known_instead(alone, coupon, LOSSES)) == BOUGHT


def test_no_more_blades_are_at_stake_than_are_wanted():
    coupon = TradeStep("go_on", "coupon_water", "why")
    few = [PieceSeen("B", lot="L", makes_blades=20.0)]
    both = stands(heat(SOFT, heat_c=850.0), fit=0.5, makes_blades=1.0, lot="L", pieces=few)
    for wanted, said in ((30, None), (21, None), (3, "makes 21, of which you want 3: known steel")):
        found = known_instead(both, coupon, replace(LOSSES, blades_wanted=wanted))
        assert found is coupon if said is None else said in found.reason
    three = known_instead(both, coupon, replace(LOSSES, blades_wanted=3)).reason
    assert "for them costs 6 h, of which 3 h are at stake by the chance of 50 %" in three
    many = stands(FINE, fit=0.7, makes_blades=40.0, use="knife")
    assert known_instead(many, LADDER, LOSSES).way == "trial_blade"
    assert known_instead(many, LADDER, replace(LOSSES, blades_wanted=29)) is LADDER


def test_how_the_hours_ahead_are_counted_is_told_by_what_was_done():
    fits = heat(HARD, grain="fine", tempers=(temper(files(55, 60), 200),))
    told = known_instead(
        stands(fits, fit=0.4, makes_blades=1.0, use="knife"),
        TradeStep("go_on", "bend", "why"), replace(LOSSES, known_steel_hours=1.0),
    )  # fmt: skip
    assert "(now that a temper fits, a trial blade counts where it fails, by its" in told.reason


def test_a_free_test_is_held_against_all_blades():
    magnet = TradeStep("go_on", "magnet", "why")
    assert TESTS_BY_CODE["magnet"].hours < 0.5
    assert known_instead(stands(fit=0.01, makes_blades=20.0), magnet, LOSSES) is magnet


def test_hours_of_one_more_blade_worked_out():
    """Of 40 blades at 0.6: 0.46 stand, after which 0.913 are fit; else 0.333."""
    stood = 0.6 * 0.7 / 0.46
    failed = 0.6 * 0.3 / 0.54
    good = min(80.0, 10.0 * 39 * (1 - stood))
    bad = min(80.0, 10.0 * 40 * (1 - failed))
    hours = 0.5 + 0.46 * good + 0.54 * (8.0 + bad)
    assert cheapest(0.6, 40, 8.0, 2.0, 1) == (pytest.approx(hours), "trial")
    assert cheapest(0.6, 40, 8.0, 2.0, 0) == (80.0, "leave")


def test_a_lot_is_one_steel_or_half_of_it_is_what_its_sisters_are():
    mixed = stands().tables.row("mixed", "lot")["chance"]
    assert lot_chance(stands()) == LotChance(1.0, 0.0)
    found = lot_chance(stands(lot="L"))
    assert (found.alike, found.other) == pytest.approx((1 - mixed / 2, mixed / 2 * 0.4))
    assert found.of(0.5) == pytest.approx(mixed / 2 * 0.4 + (1 - mixed / 2) * 0.5)
    sister = {"pieces": [PieceSeen("B", lot="L")], "lot": "L"}
    read = lot_chance(
        stands(heat(HARD), heat(HARD, piece="B"), chances={"mixed_lot": 0.3}, **sister)
    )
    assert read.alike == pytest.approx(0.85)
    assert 0 < read.other < 0.15


def test_a_sister_pays_where_half_of_what_is_lost_is_more_than_her_hours():
    hours = TESTS_BY_CODE["second_piece"].hours
    at = stands(lot="L")
    mixed = at.tables.row("mixed", "lot")["chance"]
    enough = hours / (0.5 * mixed * 0.5 * 0.6 * 10.0)
    assert sister_pays(at, enough * 1.001, 10.0, LOSSES)
    assert not sister_pays(at, enough * 0.999, 10.0, LOSSES)
    assert not sister_pays(stands(), enough * 9, 10.0, LOSSES)
    known = stands(heat(HARD, piece="B"), lot="L", pieces=[PieceSeen("B", lot="L")])
    assert not sister_pays(known, enough * 9, 10.0, LOSSES)


FINE = heat(HARD, grain="fine")


@pytest.mark.parametrize(("blades", "found"), [(29, LADDER), (30, None)])
def test_from_thirty_blades_on_a_blade_comes_before_the_ladder(blades, found):
    got = blade_instead(stands(FINE), LADDER, 0.7, blades, LOSSES)
    if found is LADDER:
        assert got is LADDER
    else:
        assert step(got) == ("reuse_trial", "trial_blade")


def test_of_few_blades_a_trial_blade_is_held_against_known_steel_for_all():
    assert step(blade_instead(stands(FINE), BLADE, 0.5, 6, LOSSES)) == BOUGHT
    assert blade_instead(stands(FINE), BLADE, 0.5, 7, LOSSES) is BLADE
    assert blade_instead(stands(FINE), LADDER, 0.5, 6, LOSSES) is LADDER
    assert blade_instead(stands(FINE), BLADE, 0.95, 6, LOSSES) is BLADE


def test_where_no_blade_is_in_question_the_step_stands():
    stop = TradeStep("safety_stop", None, "why")
    assert blade_instead(stands(FINE), stop, 0.7, 40, LOSSES) is stop
    assert blade_instead(stands(heat(SOFT)), LADDER, 0.7, 40, LOSSES) is LADDER
    none = SteelLosses(no_test=("trial_blade",))
    assert blade_instead(stands(FINE), LADDER, 0.7, 40, none) is LADDER
    other = TradeStep("go_on", "coupon_water", "why")
    assert blade_instead(stands(FINE), other, 0.7, 40, LOSSES) is other
    assert step(blade_instead(stands(FINE), LADDER, 0.05, 40, LOSSES)) == BOUGHT


def test_before_a_blade_the_coupon_is_broken():
    look = TradeStep("go_on", "break_coupon", "why")
    assert "break the coupon" in blade_instead(stands(FINE), look, 0.7, 40, LOSSES).reason
    assert "break the coupon" not in blade_instead(stands(FINE), LADDER, 0.7, 40, LOSSES).reason


def test_after_a_blade_that_stood():
    stood = [trial("same")]
    assert step(blade_instead(stands(FINE, trials=stood), LADDER, 0.95, 40, LOSSES)) == (
        "reuse", None,
    )  # fmt: skip
    assert step(blade_instead(stands(FINE, trials=stood), LADDER, 0.7, 40, LOSSES)) == (
        "reuse_trial", "trial_blade",
    )  # fmt: skip
    assert step(blade_instead(stands(FINE, trials=stood), LADDER, 0.05, 40, LOSSES)) == BOUGHT
    lot = stands(FINE, trials=stood, lot="L", pieces=[PieceSeen("B", lot="L")])
    assert blade_instead(lot, LADDER, 0.95, 400, LOSSES) is SISTER
    two = stands(FINE, trials=stood * 2)
    assert step(blade_instead(two, LADDER, 0.85, 40, LOSSES)) == ("reuse", None)


def test_after_blades_that_failed():
    one, two, three = ([trial("worse")] * n for n in (1, 2, 3))
    cure = TradeStep("heat_treat_again", "normalise", "why")
    known = TradeStep("heat_treat_again", "temper_hotter", "why")
    assert blade_instead(stands(FINE, trials=one), cure, 0.7, 40, LOSSES) is cure
    assert step(blade_instead(stands(FINE, trials=one), known, 0.7, 40, LOSSES)) == (
        "reuse_trial", "trial_blade",
    )  # fmt: skip
    assert step(blade_instead(stands(FINE, trials=one), cure, 0.05, 40, LOSSES)) == BOUGHT
    assert blade_instead(stands(FINE, trials=two), cure, 0.95, 40, LOSSES) is cure
    assert step(blade_instead(stands(FINE, trials=three), cure, 0.95, 40, LOSSES)) == BOUGHT


def test_a_temper_too_short_to_tell_leaves_the_ladder_ahead():
    coupon = TradeStep("go_on", "coupon_water", "why")

    def pays(blades, minutes):
        tempered = heat(HARD, tempers=(temper(files(60, 65), 200, time_min=minutes),))
        at = stands(tempered, fit=0.5, makes_blades=blades, use="hedging_tool")
        return known_instead(at, coupon, LOSSES) is coupon

    least = {at: next(n for n in range(1, 40) if pays(float(n), at)) for at in (5.0, 60.0)}
    assert least[5.0] > least[60.0]


def test_once_a_temper_fits_the_hours_of_known_steel_that_is_not_bought_are_told():
    rod = TradeStep("go_on", "brass_rod", "why")
    fits = heat(HARD, tempers=(temper(files(55, 60), 200),))

    def found(blades, *heats):
        at = stands(*heats, fit=0.93, makes_blades=blades, use="hedging_tool")
        return known_instead(at, rod, LOSSES)

    assert found(1.0, heat(HARD)).action == "buy_known"
    assert found(1.0, fits).way == "brass_rod"
    ahead = TESTS_BY_CODE["brass_rod"].hours + 0.07 * 8.0
    stake = "of which 1.86 h are at stake by the chance of 93 % that the piece serves"
    said = f"why Known steel costs 2 h, {stake}: now that a temper fits"
    assert found(1.0, fits).reason.startswith(said)
    assert f"so {ahead:.3g} h stand against it, of tests and of a" in found(1.0, fits).reason
    rod = TradeStep("reuse_trial", "trial_blade", "why")  # its hours leave the cutting out
    said = "so 0.56 h stand against it, of a blade that may be lost, and its cutting comes besides."
    assert said in found(1.0, fits).reason
    rod = TradeStep("go_on", "brass_rod", "why")
    assert found(29.0, fits) is rod
    unsettled = heat(HARD, tempers=(temper(files(40, 45), 200),))
    assert found(3.0, unsettled) is rod  # what does not fit together is settled first


def test_no_chance_is_counted_while_what_was_seen_does_not_fit_together():
    """Rely on no chance, says the headline: the hours are held against all of the known steel."""
    again = TradeStep("heat_treat_again", "repeat", "why")
    apart = heat(HARD, coupon="1"), heat(files(40, 45, "below"), coupon="2")
    at = stands(*apart, fit=0.22, makes_blades=2.0)
    assert any(not one.remark for one in at.contradictions)
    assert known_instead(at, again, LOSSES) is again  # 3 h of settling, and 4 h of known steel
    few = known_instead(stands(*apart, fit=0.22, makes_blades=1.0), again, LOSSES)
    assert few.action == "buy_known"
    assert "chance" not in few.reason.partition(" This counts ")[0]
    assert "%" not in few.reason


def test_a_chance_that_the_headline_withholds_is_not_said_in_the_reason():
    mixed = stands(heat(HARD), heat(HARD, coupon="2"), fit=0.22, makes_blades=1.0,
                   chances={"mixed_lot": 0.7})  # fmt: skip
    told = known_instead(mixed, LADDER, LOSSES)
    assert told.action == "buy_known"
    assert "weighed by how likely the piece serves" in told.reason
    assert "22 %" not in told.reason
    assert "22 %" in known_instead(stands(heat(HARD), fit=0.22, makes_blades=1.0), LADDER,
                                   LOSSES).reason  # fmt: skip
