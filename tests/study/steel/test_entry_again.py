"""The line for a coupon heat-treated once more: its own number, and how many degrees."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.steel_seen import SteelSeen, TemperSeen
from edgetest.study.steel.entry_again import again_hint
from tests.steel.seen_steel import files, heat

FIRST = heat(coupon="blade1", heat_c=810.0, tempers=(TemperSeen(230.0, 60, 2),))


def hint(way, of=("blade1", 1), heats=(FIRST,)):
    decision = SimpleNamespace(way=way, of=of)
    return again_hint(decision, "A", SteelSeen(heats=heats), "st", "blade2")


def lines(way, of=("blade1", 1), heats=(FIRST,)):
    _, *told = hint(way, of, heats).split("\n  ")
    return told


@pytest.mark.parametrize(
    ("way", "said"),
    [
        ("hotter", "heat=2 medium=oil heat_c='840 °C' magnet=HOLDS-OR-LETS-GO soak_min=5 "),
        ("cooler", "heat=2 medium=oil heat_c='780 °C' soak_min=5 "),
        ("normalise", "heat=2 medium=oil heat_c='780 °C' soak_min=5 cycles=3 "),
        ("longer_soak", "heat=2 medium=oil heat_c='810 °C' soak_min=10 "),
        ("slower_quench", "heat=2 medium=air heat_c='810 °C' "),
        ("faster_quench", "heat=2 medium=warm_water heat_c='810 °C' "),
        ("repeat", "heat=2 medium=oil heat_c='810 °C' soak_min=5 "),
        ("grind_skin", "heat=1 hardness_below="),
        ("temper_cooler", "heat=2 medium=oil heat_c='810 °C' "),
    ],
)
def test_a_new_heat_has_the_next_number_and_the_changed_degrees(way, said):
    start = "edgetest enter st --evidence heats piece=A coupon=blade1 "
    assert lines(way)[0].startswith(start + said)


def test_a_temper_is_a_step_of_fifteen_degrees():
    (hotter,) = lines("temper_hotter")
    assert "tempers piece=A coupon=blade1 heat=1 temperature_c='245 °C'" in hotter
    assert "coupon=blade1 heat=2 temperature_c='215 °C'" in lines("temper_cooler")[1]
    bare = lines("temper_cooler", heats=(heat(coupon="blade1"),))
    assert "temperature_c='190 °C'" in bare[1]


def test_the_soak_is_the_one_it_had_or_twice_that():
    soaked = (heat(coupon="blade1", heat_c=810.0, soak_min=6.0),)
    assert " soak_min=6 " in lines("hotter", heats=soaked)[0]
    assert " soak_min=12 " in lines("longer_soak", heats=soaked)[0]


def test_a_cooler_temper_is_the_one_to_take_where_that_is_known():
    read = TemperSeen(204.0, 60, 2, (files(55, 60),))
    drawn = heat(coupon="blade1", tempers=(TemperSeen(232.0, 60, 2), TemperSeen(191.0, 60, 2)))
    assert "heat=2 temperature_c='217 °C'" in lines("temper_cooler", heats=(drawn,))[1]
    both = (drawn, heat(coupon="B1", tempers=(read,)))
    assert "heat=2 temperature_c='204 °C'" in lines("temper_cooler", heats=both)[1]
    assert "heat=1 temperature_c='247 °C'" in lines("temper_hotter", heats=both)[0]


def test_a_blade_that_broke_is_followed_by_a_new_one():
    quench, temper = lines("temper_hotter", of=None)
    assert " coupon=blade2 heat=1 medium=oil " in quench
    assert " coupon=blade2 heat=1 temperature_c='245 °C'" in temper


def test_the_number_is_above_all_of_the_coupon():
    both = (FIRST, heat(coupon="blade1", heat=4), heat(coupon="A1", heat=9))
    assert " heat=5 " in lines("repeat", heats=both)[0]
    assert (
        again_hint(
            SimpleNamespace(way="repeat", of=None), "B", SteelSeen(heats=both), "st", "blade2"
        )
        == ""
    )


def test_a_coupon_that_cracked_is_never_quenched_again():
    cracked = replace(FIRST, heat=2, cracked=1)
    for of, heats in ((2, (FIRST, cracked)), (1, (FIRST, cracked)), (2, (cracked,))):
        told = lines("slower_quench", of=("blade1", of), heats=heats)[0]
        assert " coupon=blade2 heat=1 medium=air " in told
    assert " coupon=blade1 heat=2 " in lines("grind_skin", of=("blade1", 2), heats=(cracked,))[0]


def test_a_heat_seen_by_its_colour_is_told_by_its_colour_though_others_had_degrees():
    cherry = replace(FIRST, heat_c=None, colour="bright_cherry", coupon="T1")
    both = (FIRST, cherry)
    assert " colour='bright cherry' soak" in lines("repeat", of=("T1", 1), heats=both)[0]
    assert " colour=COLOUR-SEEN magnet" in lines("hotter", of=("T1", 1), heats=both)[0]


def coarse(**of):
    return heat(files(60, 65), coupon="3", heat_c=970.0, soak_min=5, grain="coarse", **of)


def fine(at_c, **of):
    return heat(files(60, 65), coupon="1", heat_c=at_c, grain="fine", **of)


def test_after_a_coarse_break_the_heat_is_the_one_that_a_like_coupon_showed_fine():
    for way in ("normalise", "cooler"):
        assert "heat_c='835 °C'" in lines(way, ("3", 1), (fine(835.0), coarse()))[0]
    for other in (fine(835.0, medium="warm_water"), fine(835.0, piece="B"), fine(990.0)):
        assert "heat_c='940 °C'" in lines("normalise", ("3", 1), (other, coarse()))[0]


@pytest.mark.parametrize("how", ["snapped_clean", "bent_then_broke"])
def test_a_coupon_that_was_broken_is_followed_by_a_fresh_one(how):
    soft = heat(files(None, 40), coupon="T1a", heat_c=800.0, soak_min=5, fracture=how)
    assert (
        " coupon=blade2 heat=1 medium=oil heat_c='830 °C'"
        in lines("hotter", ("T1a", 1), (soft,))[0]
    )
    whole = replace(soft, fracture="did_not_break")
    assert " coupon=T1a heat=2 " in lines("hotter", ("T1a", 1), (whole,))[0]
    blade = replace(soft, coupon="blade1")
    assert " coupon=blade1 heat=2 " in lines("hotter", ("blade1", 1), (blade,))[0]


def test_a_coupon_that_snapped_coarse_is_followed_by_a_fresh_one():
    (line,) = lines("normalise", ("3", 1), (coarse(fracture="snapped_clean"),))
    assert " coupon=blade2 heat=1 " in line
    (line,) = lines("normalise", ("3", 1), (coarse(),))
    assert " coupon=3 heat=2 " in line


def test_oil_in_the_place_of_water_is_said_with_its_reason():
    oil, water = heat(heat_c=850.0, coupon="a"), heat(heat_c=870.0, coupon="b", medium="water")
    told = hint("hotter", ("b", 1), (oil, water))
    assert " medium=oil " in told
    assert "It is oil, for no coupon of this piece was quenched in oil from so hot yet" in told
    assert "It is oil" not in hint("hotter", ("a", 1), (oil,))
