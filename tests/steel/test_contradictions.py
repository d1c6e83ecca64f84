"""Which contradictions of the evidence are named, and which are left to the readings' spread."""

from dataclasses import replace
from math import log

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TemperSeen, TrialSeen
from tests.steel.seen_steel import HARD, files, heat, number

SOFT = files(None, 40)


def named(*heats, trials=(), **piece):
    found = contradictions(SteelSeen(None, (PieceSeen("A", **piece),), heats, trials))
    assert all(one.cure in one.doubt.text and one.piece == "A" for one in found)
    return [one.code for one in found]


def tempered(reading, at, *, quenched=HARD, **of):
    return heat(quenched, tempers=(TemperSeen(at, hardness=(reading,), **of),))


BROKEN = {
    "faster_softer": lambda: named(
        heat(HARD, medium="oil"), heat(SOFT, medium="water", coupon="2")
    ),
    "tempered_harder": lambda: named(tempered(files(60, 65), 180, quenched=files(45, 50))),
    "hard_after_high_temper": lambda: named(tempered(files(60, 65), 550)),
    "skin_differs": lambda: named(heat(files(None, 40, "skin"), files(60, 65, "below"))),
    "one_heat_hard_and_soft": lambda: named(heat(SOFT, HARD)),
    "coarse_and_hard": lambda: named(heat(HARD, grain="coarse")),
    "cracked": lambda: named(heat(HARD, cracked=1, count=3)),
    "few_sparks_hard": lambda: named(heat(HARD), sparks="like_low"),
    "many_sparks_soft": lambda: named(heat(SOFT), sparks="like_high"),
    "not_magnetic_many_sparks": lambda: named(magnet="none", sparks="more_than_high"),
    "hard_short_life": lambda: named(
        tempered(files(60, 65), 180), trials=(TrialSeen("A", "rope", "worse"),)
    ),
}


@pytest.mark.parametrize("code", BROKEN)
def test_each_rule_alone_is_named(code):
    assert BROKEN[code]() == [code]


def test_readings_within_their_spread_break_no_rule():
    assert named(heat(files(55, 60), files(60, 65))) == []
    assert named(heat(number(61)), heat(number(58.5), medium="water", coupon="2")) == []
    assert named(heat(number(58)), heat(number(53), medium="water", coupon="2")) != []
    # A file set and an instrument may be off from each other besides.
    assert named(heat(files(60, 65), number(56.8))) == []


def test_two_coupons_of_unlike_heats_are_not_averaged():
    cold, hot = heat(files(45, 50), heat_c=780), heat(files(60, 65), heat_c=840, coupon="2")
    assert named(cold, hot) == ["one_heat_hard_and_soft"]


def test_a_quench_that_nobody_knows_is_not_held_against_one_in_oil():
    factory = heat(files(45, 50), medium=None)
    assert named(factory, heat(files(60, 65), coupon="2")) == []
    alike = heat(files(60, 65), medium=None, coupon="2")
    assert named(factory, alike) == ["one_heat_hard_and_soft"]


def test_a_thick_section_explains_a_softer_coupon():
    thin, thick = heat(HARD, section_mm=3), heat(SOFT, section_mm=12, coupon="2")
    assert named(thin, thick) == []
    assert named(thin, heat(SOFT, section_mm=12, coupon="2", medium="water")) == []


@pytest.mark.parametrize(("skin", "below", "how"), [
    (files(None, 40, "skin"), files(60, 65, "below"), "softer"),
    (files(60, 65, "skin"), files(None, 40, "below"), "harder"),
])  # fmt: skip
def test_a_skin_that_differs_is_named_by_what_it_is(skin, below, how):
    (found,) = contradictions(SteelSeen(None, (PieceSeen("A"),), (heat(skin, below),), ()))
    assert f" {how} " in found.doubt.text
    assert found.remark == (how == "softer")


def test_a_soft_skin_is_not_held_against_a_reading_below():
    skin = heat(files(None, 40, "skin"), medium="water", coupon="2")
    assert named(heat(files(60, 65, "below")), skin) == []
    as_found = (files(60, None, "skin"), files(None, 40, "below"))
    assert named(hardness=as_found, sparks="like_low") == ["skin_differs"]


def test_carburised_heats_stand_apart():
    packed = heat(HARD, carburised=True, coupon="2")
    assert named(heat(SOFT), packed, sparks="like_low") == []


def test_a_low_temper_that_keeps_the_hardness_is_no_contradiction():
    assert named(tempered(files(60, 65), 180)) == []
    assert named(tempered(files(55, 60), 350)) == []
    assert named(tempered(number(56), 400)) == ["hard_after_high_temper"]


def test_many_sparks_and_one_hard_heat_agree():
    thick = heat(SOFT, section_mm=20, coupon="2")
    assert named(heat(HARD, section_mm=3), thick, sparks="like_high") == []
    assert named(heat(SOFT, medium="air"), sparks="like_high") == []


def test_a_life_that_may_be_long_enough_is_not_short():
    def trial(ratio):
        return (TrialSeen("A", "chop", life_ratio=ratio, life_ratio_log_u=log(1.2)),)

    blade = tempered(files(55, 60), 200)
    assert named(blade, trials=trial(0.6)) == []
    assert named(blade, trials=trial(0.4)) == ["hard_short_life"]
    soft = tempered(files(45, 50), 400)
    assert named(soft, trials=trial(0.4)) == []
    assert named(blade, trials=(TrialSeen("A", "bend", "worse"),)) == []


def test_the_place_is_named():
    bad = heat(HARD, grain="coarse", coupon="A2", heat=3)
    (found,) = contradictions(SteelSeen(None, (PieceSeen("A"),), (bad,)))
    assert found.to_dict()["where"] == "piece A, coupon A2, heat 3"


def test_sisters_treated_alike_that_differ_are_named_for_both():
    lot = PieceSeen("A", lot="x"), PieceSeen("B", lot="x")
    other = replace(heat(SOFT, heat_c=820), piece="B")
    (found,) = contradictions(SteelSeen(None, lot, (heat(HARD, heat_c=830), other)))
    assert (found.code, {found.piece, found.sister}) == ("alike_differ", {"A", "B"})
    apart = lot[0], PieceSeen("B", lot="y")
    assert contradictions(SteelSeen(None, apart, (heat(HARD, heat_c=830), other))) == ()
    again = replace(other, hardness=(HARD,), coupon="2")
    found = contradictions(SteelSeen(None, lot, (heat(HARD, heat_c=830), other, again)))
    (past,) = (one for one in found if one.code == "alike_differ")
    assert (past.remark, past.doubt.gravity, past.cure[:10]) == (True, "notes", "It is past")
    colder = replace(other, heat_c=740)
    assert contradictions(SteelSeen(None, lot, (heat(HARD, heat_c=830), colder))) == ()


def test_a_hotter_temper_that_reads_harder_is_named():
    ladder = (TemperSeen(200, hardness=(number(57),)), TemperSeen(300, hardness=(number(62),)))
    assert named(heat(HARD, tempers=ladder)) == ["tempered_harder"]
    assert named(heat(HARD, tempers=ladder[::-1])) == []


def test_nothing_coated_is_told_to_be_ground():
    skin, below = files(60, None, "skin"), files(None, 40, "below")
    chromed = PieceSeen("A", coating="hard_chrome", hardness=(skin, below))
    bare = PieceSeen("A", coating="none", hardness=(skin, below))
    (of_chrome,), (of_bare,) = (contradictions(SteelSeen(None, (p,))) for p in (chromed, bare))
    assert "grind the skin off" in of_bare.doubt.text
    assert "grind the skin off" not in of_chrome.doubt.text
    assert "Neither grind nor heat" in of_chrome.cure


def test_a_packed_coupon_hard_in_its_skin_over_a_soft_core_shows_its_case():
    case, core = files(60, 65, "skin"), files(None, 40, "below")
    drawn = TemperSeen(180, hardness=(files(55, 60, "skin"), core))
    assert named(heat(case, core, carburised=True, tempers=(drawn,))) == []
    assert named(heat(case, core)) == ["skin_differs"]
    assert named(heat(files(None, 40, "skin"), files(60, 65, "below"), carburised=True)) == [
        "skin_differs"
    ]
