"""A temper behind a hotter one of its heat is asked about, and told on the page."""

import pytest

from edgetest.doubts import codes
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.cooler_tempers import cooler_asked
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes


def rows(*degrees, **of):
    heats = ({"coupon": "B1", "hardness_below": "60-65", **of},)
    return SteelRows(heats=heats, tempers=[{"coupon": "B1", "temperature_c": at} for at in degrees])


def test_a_cooler_temper_after_a_hotter_is_asked_about_and_told():
    found = rows("450 °F", "375 °F")
    (asked,) = cooler_asked(found)
    assert "tempers 2" in asked.where
    assert "a temper at 375 °F after one at 450 °F makes nothing harder" in asked.what
    told = steel_seen_of(found, VerdictWishes()).doubts
    assert codes(told) == ("cooler_after_hotter",)
    assert "B1, heat 1 was tempered at 375 °F" in told[0].text


@pytest.mark.parametrize("found", [rows(175, 190, 204), rows(204, 200), rows(204, 175, count=2)])
def test_a_ladder_upwards_and_one_of_several_coupons_are_not(found):
    assert list(cooler_asked(found)) == []
    assert steel_seen_of(found, VerdictWishes()).doubts == ()


def test_a_blade_hardened_again_begins_its_tempers_anew():
    old = [{"coupon": "B1", "temperature_c": at} for at in (232, 191)]
    heats = ({"coupon": "B1", "hardness_below": "60-65"},)
    again = (*heats, {"coupon": "B1", "heat": 2, "hardness_below": "60-65"})
    new = {"coupon": "B1", "heat": 2, "temperature_c": 191}
    for number in ({}, {"heat": 1}):
        tempers = [*({**one, **number} for one in old), new]
        found = SteelRows(heats=again, tempers=tempers)
        assert list(cooler_asked(found)) == []
        seen = steel_seen_of(found, VerdictWishes())
        assert seen.doubts == ()
        assert [[one.temperature_c for one in heat.tempers] for heat in seen.seen.heats] == [
            [232, 191], [191],
        ]  # fmt: skip
    worse = SteelRows(heats=again, tempers=[*old, new, {**new, "temperature_c": 160}])
    (asked,) = cooler_asked(worse)
    assert "tempers 4" in asked.where
    assert codes(steel_seen_of(worse, VerdictWishes()).doubts) == ("cooler_after_hotter",)


def test_a_heat_that_two_rows_tell_alike_is_one_and_its_tempers_are_not_over():
    heat = {"coupon": "B1", "hardness_below": "60-65"}
    tempers = [{"coupon": "B1", "temperature_c": at} for at in (232, 191)]
    assert len(list(cooler_asked(SteelRows(heats=(heat, dict(heat)), tempers=tempers)))) == 1


@pytest.mark.parametrize(
    ("time", "told"),
    [
        ({"time_min": 1}, "for 1 min, "),
        ({"time_min": "5 min", "repeats": 2}, "for 2 × 5 min, "),
        ({"time_min": "1 h"}, ""),
        ({"time_min": 8, "repeats": 2}, ""),
        ({}, ""),
    ],
)
def test_a_temper_too_short_to_tell_is_told_with_its_minutes(time, told):
    heats = ({"coupon": "B1", "hardness_below": "60-65"},)
    temper = {"coupon": "B1", "temperature_c": 200, "hardness": "55-60", **time}
    doubts = steel_seen_of(SteelRows(heats=heats, tempers=[temper]), VerdictWishes()).doubts
    assert codes(doubts) == (("temper_too_short",) if told else ())
    assert all(f"B1, heat 1 was tempered {told}too short" in one.text for one in doubts)
