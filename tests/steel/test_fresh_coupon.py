"""A test whose coupon is still to be quenched says so, in its title, hours and cautions."""

import pytest

from edgetest.steel.fresh_coupon import is_fresh, with_fresh_coupon
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_cautions import QUENCH_FIRE
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, seen, temper


def decision(*tempers):
    coupon = heat(
        files(60, 65, "below"), coupon="c1", heat_c=830.0, magnet="lets_go", soak_min=5.0,
        grain="fine", tempers=tuple(temper(files(low, low + 5), at) for at, low in tempers),
    )  # fmt: skip
    found = seen(coupon, use="hedging_tool", origin="plough_disc", coating="none", lead="no")
    tables = load_steel_tables()
    return decide(found, weigh_steel(found, tables), tables, SteelLosses())


def test_a_fresh_coupon_for_the_rod_tells_its_quench():
    found = decision((203, 55), (217, 50))
    assert (found.way, found.of) == ("brass_rod", None)
    assert found.next_test.title == (
        "the edge of a fresh coupon, quenched and tempered as said, pressed over a brass rod"
    )
    told = found.next_test.summary()
    assert "(about 1.5 h of work)" in told
    assert "the quench of the coupon takes about 1 h, and its temper the oven's time" in told
    assert QUENCH_FIRE in found.cautions
    assert QUENCH_FIRE in found.next_test.cautions


def test_a_coupon_that_is_there_costs_what_it_did():
    found = decision((203, 55))
    assert (found.way, found.of) == ("brass_rod", ("c1", 1))
    assert "the tempered coupon" in found.next_test.title
    assert found.next_test.hours == 0.5
    assert QUENCH_FIRE not in found.cautions


@pytest.mark.parametrize(("way", "of", "heats", "fresh"), [
    ("bend", None, ("one",), True), ("break_coupon", None, ("one",), True),
    ("bend", ("c1", 1), ("one",), False), ("bend", None, (), False),
    ("magnet", None, ("one",), False), (None, None, ("one",), False),
])  # fmt: skip
def test_which_tests_go_on_with_a_fresh_coupon(way, of, heats, fresh):
    assert is_fresh(way, of, heats) is fresh


def test_a_fresh_coupon_to_break_has_no_temper():
    found = with_fresh_coupon(TESTS_BY_CODE["break_coupon"])
    assert (
        found.title == "a fresh coupon, quenched as the blade was, snapped, and a look at the break"
    )
    assert found.hours == pytest.approx(1.1)
    assert "oven" not in found.why
