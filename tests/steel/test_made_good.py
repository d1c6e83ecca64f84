"""A failure is past once the blade, heat-treated otherwise, stood; coarse once a heat was fine."""

from dataclasses import replace

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.hardened_rules import edge_gave_out
from edgetest.steel.made_good import (
    CHIP_FITS,
    by_more_heat,
    fine_since,
    stood_since,
    to_be_tried,
    whole_since,
)
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.trade_rules import CURES
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import stands

HARD = files(60, 65, "below")
USED = files(55, 60)
CHIPPED = TrialSeen("A", "chop", "worse", "chipped", heat=("blade1", 1))
STOOD = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 1))
ANEW = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 2))
HOT, RIGHT = {"colour": "bright_cherry"}, {"colour": "cherry", "cycles": 3}


def blade(*tempers, number=1, **of):
    tempers = tuple(temper(USED, at, for_use=True) for at in tempers)
    return heat(HARD, coupon="blade1", heat=number, tempers=tempers, **{**HOT, **of})


def test_a_blade_that_stood_after_a_hotter_temper_is_no_longer_chipped():
    trials = (CHIPPED, STOOD)
    assert stood_since(CHIPPED, trials, [blade(175, 190)])
    found = contradictions(seen(blade(175, 190), trials=trials))
    assert [(one.code, one.remark) for one in found] == [("hard_short_life", True)]
    assert "It is past" in found[0].doubt.text
    at = stands(blade(175, 190, grain="fine"), trials=trials)
    assert all(rule(at) is None for rule in CURES)
    assert edge_gave_out(at, SteelLosses()) is None


def test_a_blade_hardened_anew_that_stood_makes_the_earlier_failure_past():
    two = [blade(175), blade(175, number=2, **RIGHT)]
    assert stood_since(CHIPPED, (CHIPPED, ANEW), two)


@pytest.mark.parametrize(
    ("trials", "tempers"),
    [((CHIPPED,), (175, 190)), ((CHIPPED, STOOD), (175,)), ((CHIPPED, STOOD), (175, 175)),
     ((STOOD, CHIPPED), (175, 190))],
)  # fmt: skip
def test_a_failure_that_nothing_answered_stays(trials, tempers):
    assert not stood_since(CHIPPED, trials, [blade(*tempers)])


def test_a_second_blade_treated_alike_takes_no_failure_back():
    other = heat(HARD, coupon="blade2", tempers=(temper(USED, 175, for_use=True),), **HOT)
    stood = TrialSeen("A", "chop", "same", "sound", heat=("blade2", 1))
    assert not stood_since(CHIPPED, (CHIPPED, stood), [blade(175), other])


def test_a_coarse_break_is_past_once_a_later_heat_hardened_otherwise_was_fine():
    coarse = heat(HARD, coupon="2", grain="coarse", **HOT)
    fine = heat(HARD, coupon="3", grain="fine", **RIGHT)
    assert fine_since(coarse, [coarse, fine])
    assert not fine_since(coarse, [coarse, heat(HARD, coupon="3", grain="fine", **HOT)])
    assert [one.remark for one in contradictions(seen(coarse, fine))] == [True]
    assert [one.remark for one in contradictions(seen(coarse))] == [False]


@pytest.mark.parametrize(
    ("cure", "past"),
    [({"heat_c": 790.0, "cycles": 3}, True), ({"heat_c": 821.0, "cycles": 2}, True),
     ({"heat_c": 805.0}, True), ({"heat_c": 820.0}, False), ({"heat_c": 835.0}, False)],
)  # fmt: skip
def test_a_coarse_break_is_past_once_the_told_cure_broke_fine(cure, past):
    told = {"magnet": "lets_go", "fracture": "snapped_clean"}
    coarse = heat(HARD, coupon="a", heat_c=820.0, grain="coarse", **told)
    fine = heat(HARD, coupon="b", grain="fine", **told, **cure)
    (found,) = contradictions(seen(coarse, fine))
    assert (found.code, found.remark) == ("coarse_and_hard", past)
    assert not (past and "ask a laboratory" in found.doubt.text)


@pytest.mark.parametrize(
    ("fine_c", "of", "past"),
    [(830.0, {}, True), (899.0, {}, True), (905.0, {}, False), (920.0, {}, False),
     (830.0, {"grain": None}, False), (830.0, {"piece": "B"}, False),
     (830.0, {"medium": "warm_water"}, False), (830.0, {"coupon": "b"}, False),
     (830.0, {"cracked": 1}, False), (830.0, {"readings": files(40, 45, "below")}, False)],
)  # fmt: skip
def test_a_cooler_heat_that_broke_fine_settles_it_also_where_it_came_first(fine_c, of, past):
    told = {"coupon": "a", "grain": "fine", "heat_c": fine_c, "medium": "oil", **of}
    fine = heat(told.pop("readings", HARD), **told)
    coarse = heat(HARD, coupon="b", heat=2, grain="coarse", heat_c=920.0, medium="oil")
    found = contradictions(seen(fine, coarse))
    (one,) = (each for each in found if each.code == "coarse_and_hard")
    assert one.remark is past
    assert ("a cooler heat of the same piece" in one.doubt.text) is past
    assert not (past and "break it" in one.doubt.text)


def test_a_blade_that_is_coarse_itself_is_not_mended_by_a_fine_coupon():
    fine = heat(HARD, coupon="a", grain="fine", heat_c=830.0, medium="oil")
    coarse = heat(HARD, coupon="blade1", grain="coarse", heat_c=920.0, medium="oil")
    assert not fine_since(coarse, [fine, coarse])


def test_nor_where_a_coupon_from_such_a_heat_was_coarse_too():
    fine = heat(HARD, coupon="a", grain="fine", heat_c=830.0, medium="oil")
    odd = heat(HARD, coupon="b", grain="coarse", heat_c=830.0, medium="oil")
    coarse = heat(HARD, coupon="c", grain="coarse", heat_c=920.0, medium="oil")
    assert fine_since(coarse, [fine, coarse])
    assert not fine_since(coarse, [fine, odd, coarse])
    assert not fine_since(odd, [fine, odd, coarse])


COOL = files(40, 45, "below")


@pytest.mark.parametrize(
    ("faster", "slower", "past"),
    [
        ({"heat_c": 735.0, "magnet": "holds"}, {"heat_c": 815.0, "magnet": "lets_go"}, True),
        ({"heat_c": 735.0}, {"heat_c": 815.0, "magnet": "lets_go"}, True),
        ({"colour": "dull_red"}, {"colour": "cherry"}, True),
        ({"heat_c": 815.0}, {"heat_c": 815.0}, False),
        ({"heat_c": 815.0}, {"heat_c": 735.0}, False),
    ],
)
def test_a_faster_quench_from_too_cool_a_heat_is_told_with_what_explains_it(faster, slower, past):
    one = heat(COOL, coupon="w", medium="warm_water", **faster)
    other = heat(HARD, coupon="o", **slower)
    (found,) = contradictions(seen(one, other))
    assert (found.code, found.remark) == ("faster_softer", past)


def test_a_faster_quench_is_past_once_made_again_it_came_out_as_hard():
    alike = {"heat_c": 815.0, "magnet": "lets_go"}
    soft = heat(COOL, coupon="w", medium="warm_water", **alike)
    slow = heat(HARD, coupon="o", **alike)
    again = heat(HARD, coupon="w2", medium="warm_water", **alike)

    def of(*heats):
        return [one.remark for one in contradictions(seen(*heats)) if one.code == "faster_softer"]

    assert of(soft, slow) == of(again, slow, soft) == [False]
    assert of(soft, slow, replace(slow, coupon="o2")) == [False, False]
    assert of(soft, slow, again) == of(slow, soft, again) == [True]
    assert of(soft, slow, replace(again, hardness=(COOL,))) == [False, False]


def test_a_crack_is_past_once_a_fresh_one_quenched_slower_hardened_whole():
    cracked = heat(HARD, coupon="2", medium="water", cracked=1)
    whole = heat(HARD, coupon="3", medium="oil")
    assert whole_since(cracked, [cracked, whole])
    assert not whole_since(cracked, [whole, cracked])
    for other in ({"medium": "water"}, {"medium": "oil", "cracked": 1}, {"medium": None}):
        assert not whole_since(cracked, [cracked, heat(HARD, coupon="3", **other)])
    soft = heat(files(40, 45, "below"), coupon="3", medium="oil")
    assert not whole_since(cracked, [cracked, soft])
    assert [one.remark for one in contradictions(seen(cracked, whole))] == [True]
    assert [one.remark for one in contradictions(seen(cracked))] == [False]


def test_a_blade_tempered_again_or_hardened_anew_waits_for_its_trial():
    assert to_be_tried(blade(175, 190), [CHIPPED], [blade(175, 190)])
    assert to_be_tried(blade(175), [CHIPPED], [blade(175), blade(number=2)])
    assert not to_be_tried(blade(175), [CHIPPED], [blade(175)])
    assert not to_be_tried(blade(175, 190), [CHIPPED, CHIPPED], [blade(175, 190)])


@pytest.mark.parametrize(
    ("soft", "hard", "told"),
    [
        ({"heat_c": 802.0}, {"heat_c": 838.0}, True),
        ({"heat_c": 800.0}, {"heat_c": 830.0}, True),  # the step that a soft heat is bidden
        ({"heat_c": 802.0}, {"heat_c": 829.8}, True),  # the same typed as 50 °F
        ({"heat_c": 802.0}, {"heat_c": 820.0}, False),
        ({"heat_c": 802.0, "soak_min": 3.0}, {"heat_c": 802.0, "soak_min": 6.0}, True),
        ({"heat_c": 802.0, "soak_min": 3.0}, {"heat_c": 795.0, "soak_min": 6.0}, False),
        ({"heat_c": 802.0}, {}, False),
    ],
)
def test_a_hotter_or_longer_heat_that_came_out_harder_is_no_contradiction(soft, hard, told):
    one = heat(files(45, 50, "below"), coupon="A1", **soft)
    other = heat(HARD, coupon="A1", heat=2, **hard)
    assert bool(by_more_heat(one, other)) is told
    assert bool(by_more_heat(other, one)) is False
    (found,) = contradictions(seen(one, other))
    assert (found.code, found.remark) == ("one_heat_hard_and_soft", told)


@pytest.mark.parametrize(
    ("grain", "coupon", "remark"),
    [("fine", {}, True), (None, {}, False), ("coarse", {}, False),
     (None, {"grain": "fine", **HOT}, True), (None, {"grain": "fine", **RIGHT}, False),
     (None, {"grain": "fine", "piece": "B", **HOT}, False)],
)  # fmt: skip
def test_hard_and_chipped_fit_together_where_such_a_heat_broke_fine(grain, coupon, remark):
    heats = [blade(175, grain=grain), heat(HARD, coupon="A1", **coupon)]
    found = contradictions(seen(*heats, trials=(CHIPPED,)))
    (short,) = [one for one in found if one.code == "hard_short_life"]
    assert short.remark is remark
    assert (short.cure == CHIP_FITS) is remark
    assert "suspect too cool a temper or coarse grain" in short.doubt.text
    assert "soft skin" not in short.doubt.text
    broke = replace(CHIPPED, edge="broke")
    told = [one.remark for one in contradictions(seen(*heats, trials=(broke,)))]
    assert True not in told
