"""A cooler temper after a hotter one changes nothing, and tells nothing of itself."""

import pytest
from numpy.testing import assert_allclose

from edgetest.steel.advised_temper import nearest_reads
from edgetest.steel.contradictions import contradictions
from edgetest.steel.further_tempers import left_last, tempers_left
from edgetest.steel.piece_likelihood import heat_chances
from edgetest.steel.steel_nodes import steel_nodes
from edgetest.steel.steel_seen import TemperSeen
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, number, seen, temper

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)
HARD, USED = files(60, 65, "below"), files(50, 55)
HOT, COOL = temper(USED, 232), temper(USED, 191)


@pytest.mark.parametrize(
    ("tempers", "left"),
    [
        ((HOT, COOL), (232, 232)),
        ((COOL, HOT), (191, 232)),
        ((HOT, temper(files(55, 60), 191)), (232, 191)),  # read harder: it was made before
        ((HOT, TemperSeen(191)), (232, 232)),
        ((HOT, temper(USED, 228)), (232, 228)),  # within what an oven holds
        ((HOT, TemperSeen(225, 60 * 40)), (232, 225)),  # so long that it goes further
        ((HOT, TemperSeen(None), COOL), (232, None, 232)),
    ],
)
def test_the_temper_that_left_the_steel_as_it_is(tempers, left):
    one = heat(HARD, tempers=tempers)
    assert tuple(by.temperature_c for _, by in tempers_left(one)) == left
    assert left_last(one).temperature_c == left[-1]


def test_several_coupons_of_one_heat_may_each_have_a_temper_of_its_own():
    assert left_last(heat(HARD, count=2, tempers=(HOT, COOL))) == COOL
    assert left_last(heat(HARD)) is None


def test_a_reading_after_a_cooler_temper_weighs_as_one_after_the_hotter():
    def weight(*tempers):
        return heat_chances(heat(HARD, tempers=tempers), (), NODES, TABLES).total

    assert_allclose(weight(HOT, COOL), weight(HOT, HOT))


def test_a_cooler_temper_after_a_hotter_is_none_that_was_read():
    both = heat(HARD, tempers=(HOT, COOL))
    assert [one.temper for one in nearest_reads([both], (50, 55))] == [HOT]


def test_it_contradicts_no_temper_of_another_coupon():
    """The coupon at 210 °C is harder than the blade after 232 and then 191 °C, as it should."""
    blade = heat(HARD, coupon="blade1", tempers=(HOT, temper(number(52), 191)))
    coupon = heat(HARD, coupon="A1", tempers=(temper(number(59), 210),))
    assert contradictions(seen(blade, coupon)) == ()
    alone = heat(HARD, coupon="blade1", tempers=(temper(number(52), 191),))
    found = [one.code for one in contradictions(seen(alone, coupon))]
    assert found == ["hotter_temper_harder", "drawn_too_far"]
