"""A coupon or blade softer than a hotter one of its steel has that heat before all else."""

from dataclasses import replace

from edgetest.steel.cooler_heat import as_hot, cooler_than_alike
from edgetest.steel.gave_out import failed_in_lot, gave_out
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from tests.steel.seen_steel import files, heat, temper
from tests.steel.stands import stands, step

LOSSES = SteelLosses()
AS_READ = files(55, 60, "below")
COOL = heat(AS_READ, coupon="A1", heat_c=800.0, grain="fine", tempers=(temper(AS_READ, 180),))
HOT = heat(files(60, 65, "below"), piece="S", coupon="S1", heat_c=845.0, grain="fine")
BLADE = heat(AS_READ, coupon="blade1", heat_c=800.0, tempers=(temper(files(50, 55), 180),))
SISTER = PieceSeen("S", lot="L")
HOTTER = ("heat_treat_again", "hotter")


def lot(*heats, **of):
    return stands(*heats, HOT, lot="L", pieces=(SISTER,), **of)


def tried(edge, result="worse"):
    return TrialSeen("A", "chop", result, edge, heat=("blade1", 1), strokes=90)


def test_a_coupon_in_the_range_is_quenched_as_hot_as_its_harder_sister_first():
    found = cooler_than_alike(lot(COOL), LOSSES)
    assert step(found) == HOTTER
    assert "the cooler heat is to blame before the steel" in found.reason
    assert "Quench it as hot as that one, 845 °C" in found.reason
    assert cooler_than_alike(stands(COOL, lot="L", pieces=(SISTER,)), LOSSES) is None


def test_a_hotter_heat_whose_grain_nobody_saw_is_not_taken_for_a_good_one():
    unseen = replace(HOT, heat_c=920.0, grain=None)
    found = cooler_than_alike(stands(COOL, unseen, lot="L", pieces=(SISTER,)), LOSSES)
    assert "920 °C" in found.reason
    assert "Nobody noted the grain of that hotter one: break a coupon" in found.reason
    assert "Nobody noted the grain" not in cooler_than_alike(lot(COOL), LOSSES).reason
    coarse = replace(HOT, heat_c=920.0, grain="coarse")
    assert cooler_than_alike(stands(COOL, coarse, lot="L", pieces=(SISTER,)), LOSSES) is None


def test_a_blade_that_stood_outranks_the_file():
    assert cooler_than_alike(lot(COOL, BLADE, trials=[tried("sound", "same")]), LOSSES) is None


def test_a_blade_that_rolled_is_quenched_hotter_and_not_tempered_cooler():
    found = gave_out(lot(COOL, BLADE, trials=[tried("rolled")]), LOSSES)
    assert step(found) == HOTTER
    assert found.reason.startswith("blade1, heat 1, rolled its edge in the trial. blade1, heat 1, ")
    chipped = gave_out(lot(COOL, BLADE, trials=[tried("chipped")]), LOSSES)
    assert step(chipped) == ("heat_treat_again", "temper_hotter")


def test_a_blade_that_nobody_filed_is_taken_as_the_coupon_of_its_heat():
    at = lot(COOL, replace(BLADE, hardness=()))
    assert step(as_hot(at, at.heats[1])) == HOTTER
    apart = lot(COOL, replace(BLADE, hardness=(), heat_c=830.0))
    assert as_hot(apart, apart.heats[1]) is None


def test_a_blade_too_soft_from_too_cool_a_heat_says_nothing_of_the_lot():
    of_the_sister = [
        failed_in_lot(lot(COOL, BLADE, trials=[tried(edge)]).seen, SISTER)
        for edge in ("rolled", "chipped")
    ]
    assert [len(one) for one in of_the_sister] == [0, 1]
