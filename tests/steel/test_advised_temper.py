"""The temper to take: the blade's that stood, else the nearest reading's; of alike the hottest."""

from dataclasses import replace

import pytest

from edgetest.steel.advised_temper import (
    advised_c,
    chipped_reads,
    hottest_words,
    nearest_reads,
    to_take,
    too_soft_from_c,
)
from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files, heat, temper

WANTED = (52.0, 59.0)


def ladder(**of):
    read = ((175, 60, 65), (189, 55, 60), (203, 55, 60), (217, 50, 55))
    return heat(files(60, 65), tempers=tuple(temper(files(a, b), at) for at, a, b in read), **of)


def trial(edge="sound", **of):
    of = {"trial": "chop", "result": "same", "heat": ("blade1", 1), **of}
    return TrialSeen("A", edge=edge, **of)


def test_of_tempers_that_read_alike_the_hottest_is_taken():
    near = nearest_reads([ladder()], WANTED)
    assert [one.temper.temperature_c for one in near] == [189, 203]
    assert to_take(near).temper.temperature_c == 203
    assert to_take(near).heat.coupon == "1"
    assert to_take(()) is None


def test_the_blade_that_stood_tells_more_than_a_reading():
    blade = heat(files(60, 65), coupon="blade1", tempers=(temper(files(50, 55), 217),))
    assert advised_c([ladder(), blade], [], WANTED) == 203
    assert advised_c([ladder(), blade], [trial()], WANTED) == 217
    assert advised_c([ladder(), blade], [trial("rolled")], WANTED) == 203


@pytest.mark.parametrize(("named", "told"), [(None, 203), (190, 190)])
def test_the_temper_that_its_trial_names_was_the_blade_s(named, told):
    blade = heat(files(60, 65), coupon="blade1", tempers=(temper(files(50, 55), 203),))
    assert advised_c([blade], [trial(temper_c=named)], WANTED) == told


def test_no_temper_is_advised_where_no_reading_touched_what_is_wanted():
    assert advised_c([heat(tempers=(temper(files(40, 45), 300),))], [], WANTED) is None


@pytest.mark.parametrize(("time_min", "repeats", "read"), [(1, 1, []), (14, 1, []), (8, 2, [200])])
def test_a_temper_too_short_to_warm_it_through_is_none_to_take(time_min, repeats, read):
    short = temper(files(55, 60), 200, time_min=time_min, repeats=repeats)
    near = nearest_reads([heat(files(60, 65), tempers=(short,))], WANTED)
    assert [one.temper.temperature_c for one in near] == read


def test_a_temper_at_which_a_coupon_rolled_is_not_advised_nor_a_hotter_one():
    """The rod outranks the file; a sound coupon as hot since shows that the edge was poor."""
    first = heat(files(60, 65), coupon="1", tempers=(temper(files(50, 55), 191.0),))
    second = heat(files(60, 65), coupon="2", tempers=(temper(files(50, 55), 205.0),))
    rolled = TrialSeen("A", "brass_rod", edge="rolled", heat=("2", 1))
    wanted = (52.0, 59.0)
    assert advised_c((first, second), (), wanted) == 205.0
    assert advised_c((first, second), (rolled,), wanted) == 191.0
    assert advised_c((second,), (rolled,), wanted) is None
    sound = TrialSeen("A", "brass_rod", edge="sound", heat=("2", 1))
    assert advised_c((first, second), (rolled, sound), wanted) == 205.0
    assert too_soft_from_c((first, second), (rolled,)) == 200.0
    chipped = TrialSeen("A", "brass_rod", edge="chipped", heat=("2", 1))
    assert advised_c((first, second), (chipped,), wanted) == 205.0


def test_a_temper_at_which_a_coupon_chipped_is_not_taken_where_a_hotter_one_of_it_stood():
    """The file read 203 nearest; the rod chipped there and was sound at 217."""
    rod = {"trial": "brass_rod", "heat": ("1", 1)}
    chipped = trial("chipped", temper_c=203, result=None, **rod)
    sound = trial("sound", temper_c=217, result=None, **rod)
    assert advised_c([ladder()], [chipped], WANTED) == 203
    assert advised_c([ladder()], [chipped, sound], WANTED) == 217
    assert advised_c([ladder()], [chipped, sound, trial(temper_c=203, **rod)], WANTED) == 203
    other = trial("sound", temper_c=217, **{**rod, "heat": ("2", 1)})
    assert advised_c([ladder()], [chipped, other], WANTED) == 203
    struck = replace(chipped, hit="a nail")
    assert advised_c([ladder()], [struck, sound], WANTED) == 203
    left = [one.temper.temperature_c for one in chipped_reads([ladder()], [chipped, sound])]
    assert left == [175, 189, 203]


@pytest.mark.parametrize(("at_c", "ends"), [(205, False), (250, False), (251, True), (300, True)])
def test_beyond_about_250_degrees_the_hottest_is_not_called_the_toughest_without_its_border(
    at_c, ends
):
    said = hottest_words(at_c)
    assert said.endswith("(common practice, no source)")
    assert ("up to about 250 °C; hotter than that, till about 370 °C" in said) is ends
    assert ("the bend and the brass rod decide" in said) is ends
