"""Are tester and files, thermometer and magnet, and two tempers held against each other?"""

from dataclasses import replace

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.instrument_clashes import read_apart, unsure_degrees
from edgetest.steel.steel_seen import TemperSeen
from edgetest.units import Typed
from tests.steel.seen_steel import HARD, files, heat, number, seen, temper

SOFT_BELOW, HARD_BELOW = files(None, 40, "below"), files(60, 65, "below")


def named(*heats, **piece):
    return [one.code for one in contradictions(seen(*heats, **piece))]


def test_a_tester_and_files_that_disagree_on_one_coupon_are_named_as_such():
    assert named(heat(SOFT_BELOW, number(61))) == ["tester_and_files"]
    assert named(heat(HARD_BELOW, number(52))) == ["tester_and_files"]
    assert named(hardness=(SOFT_BELOW, number(61))) == ["tester_and_files"]
    after = TemperSeen(200, hardness=(files(50, 55), number(60)))
    assert "tester_and_files" in named(heat(HARD, tempers=(after,)))


@pytest.mark.parametrize(
    ("readings", "apart"),
    [
        ((files(45, 50), files(60, 65)), True),
        ((number(62), number(55)), True),
        ((files(55, 60), files(60, 65)), False),
        ((number(60), number(57)), False),
        ((files(45, 50, "skin"), HARD_BELOW), False),  # told by the rule of skins
        ((files(45, 50), files(60, 65), HARD_BELOW), False),  # read again below
        ((files(45, 50, "below"), HARD_BELOW), True),
        ((files(45, 50), number(62)), False),  # told by the rule of tester and files
    ],
)
def test_two_readings_after_one_temper_that_disagree_are_named(readings, apart):
    assert read_apart(readings) == apart
    for at_c, said in ((200, "the temper at 200 °C disagree"), (None, "the temper disagree")):
        made = seen(heat(HARD, tempers=(TemperSeen(at_c, hardness=readings),)))
        found = [one for one in contradictions(made) if one.code == "temper_read_apart"]
        assert len(found) == apart
        assert all(said in one.doubt.text for one in found)


def test_a_tester_and_files_at_two_depths_or_within_their_spread_agree():
    assert named(heat(HARD_BELOW, number(58))) == []
    assert "tester_and_files" not in named(heat(files(None, 40, "skin"), number(61, "below")))


def test_the_cure_names_a_test_block_also_after_further_coupons():
    first = heat(SOFT_BELOW, number(61))
    more = [heat(HARD_BELOW, number(62), coupon=name) for name in ("2", "3")]
    found = contradictions(seen(first, *more))
    (clash,) = [one for one in found if one.code == "tester_and_files"]
    assert "block of known hardness" in clash.cure


@pytest.mark.parametrize(
    ("magnet", "at_c", "code"),
    [
        ("holds", 900, ["magnetic_when_hot"]),
        ("holds", 790, []),
        ("lets_go", 640, ["not_magnetic_when_cold"]),
        ("lets_go", 690, []),
        ("lets_go", 900, []),
        (None, 900, []),
    ],
)
def test_a_magnet_tells_of_a_thermometer_that_reads_wrong(magnet, at_c, code):
    assert named(heat(HARD, magnet=magnet, heat_c=at_c)) == code


def test_harder_after_a_warm_temper_is_named_though_the_readings_touch():
    assert named(heat(number(60), tempers=(temper(number(63), 300),))) == ["tempered_harder"]
    touching = named(heat(number(60), tempers=(temper(number(63), 200),)))
    assert touching == ["temper_read_up"]  # told, and stops nothing
    assert named(heat(number(63), tempers=(temper(number(61), 300),))) == []


BITTEN, SKATED = files(55, 60), files(60, 65)


@pytest.mark.parametrize(
    ("quenched", "tempers", "found"),
    [
        (BITTEN, [(BITTEN, 175), (SKATED, 215)], "215 °C than after 175 °C"),
        (BITTEN, [(BITTEN, 175), (number(63, u=2), 215)], "215 °C than after 175 °C"),
        (BITTEN, [(SKATED, 215)], "215 °C than as quenched"),
        (SKATED, [(SKATED, 175), (BITTEN, 215)], None),
        (SKATED, [(BITTEN, 215), (SKATED, 175)], None),  # made before the hotter one
        (number(60), [(number(62), 200)], None),  # no more than two numbers miss by
        (BITTEN, [(SKATED, 520)], None),  # rich steels harden again there
        (files(55, 60, "skin"), [(files(60, 65, "below"), 200)], None),  # two places
    ],
)
def test_a_hotter_temper_read_harder_in_touching_brackets_is_told_and_stops_nothing(
    quenched, tempers, found
):
    made = seen(heat(quenched, tempers=tuple(temper(read, at) for read, at in tempers)))
    told = [one for one in contradictions(made) if one.code == "temper_read_up"]
    assert len(told) == (found is not None)
    for one in told:
        assert one.remark
        assert found in one.doubt.text
        assert "Read the coupon again" in one.cure


@pytest.mark.parametrize(
    ("after", "at_c", "found"),
    [
        (files(45, 50), 204, ["drawn_too_far"]),  # the chart takes 6 off, 10 at least were read
        (files(None, 40), 260, ["drawn_too_far"]),
        (files(50, 55), 204, []),
        (files(45, 50), 260, []),  # the chart takes 10 off
        (files(None, 40), 500, []),  # beyond the charts
    ],
)
def test_a_drop_that_no_such_temper_makes_is_named_with_clean_steel_as_its_cure(after, at_c, found):
    ladder = (temper(files(60, 65), 175), temper(after, at_c))
    assert named(heat(HARD_BELOW, tempers=ladder)) == found
    for one in contradictions(seen(heat(HARD_BELOW, tempers=ladder))):
        assert one.cure.startswith("File the skin off and read again on clean steel")


@pytest.mark.parametrize(
    ("before", "after", "found"),
    [
        (files(55, 60), files(None, 45), ["drawn_too_far"]),  # 175 °C takes 2 off at the most
        (files(55, 60), files(45, 50), []),  # 3 HRC are not surely more than that
        (files(55, 60), files(60, 65), []),  # made before the hotter one
    ],
)
def test_a_cooler_temper_behind_a_hotter_one_takes_no_more_than_a_cooler_one_can(
    before, after, found
):
    read = (temper(before, 260), temper(after, 175))
    assert named(heat(files(57, 62, "below"), tempers=read)) == found


def test_files_that_all_skate_and_then_bite_by_two_are_held_against_the_chart():
    skates = files(65, None, "below")
    drawn = [named(heat(skates, tempers=(temper(files(50, 55), at),))) for at in (150, 204, 230)]
    assert drawn == [["drawn_too_far"], ["drawn_too_far"], []]  # the chart takes 8 off at 230 °C


def test_a_temper_is_told_with_the_unit_that_it_was_typed_in():
    drawn = heat(HARD_BELOW, tempers=(temper(files(None, 50), Typed(204.44, "400 °F")),))
    (found,) = contradictions(seen(drawn))
    assert "after the temper at 400 °F, which takes at most 6 HRC off" in found.doubt.text
    drawn = heat(HARD_BELOW, tempers=(temper(files(None, 50), 204.44),))
    (found,) = contradictions(seen(drawn))
    assert "after the temper at 204 °C, which" in found.doubt.text
    sister = heat(HARD, coupon="2", tempers=(temper(number(58), Typed(204.44, "400 °F")),))
    hotter = heat(HARD, tempers=(temper(number(63), Typed(232.2, "450 °F")),))
    texts = [one.doubt.text for one in contradictions(seen(sister, hotter))]
    assert any("at 450 °F left it harder than one at 400 °F" in text for text in texts)
    kept = heat(HARD, tempers=(temper(number(62), Typed(537.8, "1000 °F")),))
    texts = [one.doubt.text for one in contradictions(seen(kept))]
    assert any("Still hard after 1000 °F, where" in text for text in texts)


def test_a_hotter_temper_that_left_a_sister_coupon_harder_is_named():
    ladder = heat(HARD, tempers=(temper(number(61), 205), temper(number(58), 221)))
    blade = heat(HARD, coupon="2", tempers=(temper(number(63), 230, repeats=2),))
    assert named(ladder, blade) == ["hotter_temper_harder"]
    found = contradictions(seen(ladder, blade))[0].doubt.text
    assert "at 230 °C left it harder than one at 221 °C" in found
    cooler = replace(blade, tempers=(temper(number(63), 210),))
    assert named(ladder, cooler) == []
    agrees = replace(blade, tempers=(temper(number(57), 230),))
    assert named(ladder, agrees) == []


def test_a_coupon_that_was_harder_before_its_temper_is_no_clash():
    soft = heat(number(56), tempers=(temper(number(52), 200),))
    hard = heat(number(63), coupon="2", tempers=(temper(number(58), 230),))
    assert "hotter_temper_harder" not in named(soft, hard)


def test_a_coupon_that_was_never_read_hard_is_not_held_against_one_that_was():
    unread = heat(medium="air", tempers=(temper(number(52), 200),))
    hard = heat(HARD, coupon="2", tempers=(temper(number(58), 230),))
    assert named(unread, hard) == []


def test_a_heat_that_was_typed_in_fahrenheit_is_told_in_whole_degrees():
    (clash,) = contradictions(seen(heat(HARD, magnet="holds", heat_c=821.111)))
    assert "the thermometer said 821 °C" in clash.doubt.text


def test_a_temper_of_no_unit_is_unsure_where_the_reading_bears_fahrenheit_too():
    bare, told = Typed(375.0, 375), Typed(375.0, "375 °C")
    hard, left, soft = files(60, 65, "below"), files(55, 60, "below"), files(None, 45, "below")

    def unsure(at, reading, first=hard, **of):
        one = heat(first, tempers=(TemperSeen(at, 60, 1, (reading,)),), **of)
        found = unsure_degrees([heat(hard), one])
        return found and found[1].temperature_c

    assert unsure(bare, left) == 375.0
    assert unsure(told, left) is None  # its unit was typed
    assert unsure(Typed(299.0, 299), left) is None  # usual in °C
    assert unsure(Typed(520.0, 520), left) is None  # hot in °F too
    assert unsure(bare, soft) is None  # no temper of 191 °C takes so much
    assert unsure(bare, left, soft) is None  # harder after it than before it: fits neither
    assert unsure(bare, left, medium="air") is None  # tempered hotter by right
