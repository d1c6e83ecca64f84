"""With which coupon does a step go on, and what stands for a test that the shop lacks?"""

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, heat, number, seen, temper

TABLES = load_steel_tables()
PIECE = {"magnet": "strong", "sparks": "like_high", "coating": "none", "lead": "no"}


def told(*heats, no_test=(), **of):
    what = seen(*heats, use="knife", **PIECE | of)
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses(no_test=no_test))


def test_a_step_on_a_coupon_names_it_and_a_new_coupon_is_none():
    assert told(heat(HARD)).way == "break_coupon"
    assert told(heat(HARD)).of == ("1", 1)
    assert told().way == "coupon_oil"
    assert told().of is None
    hot = heat(HARD, coupon="7", heat=2, grain="fine", tempers=(temper(number(65), 180),))
    assert told(hot).way == "temper_hotter"
    assert told(hot).of == ("7", 2)
    tempered = heat(HARD, grain="fine", tempers=(temper(number(60), 200),))
    assert told(tempered).way == "trial_blade"
    assert told(tempered).of is None


@pytest.mark.parametrize(
    ("lacking", "way"),
    [(("break_coupon",), "laboratory"), (("grind_and_file",), "break_coupon"), ((), None)],
)
def test_what_the_shop_cannot_do_is_replaced(lacking, way):
    found = told(heat(HARD), no_test=lacking)
    if way is None:
        assert found.way == "break_coupon"
    else:
        assert way in (found.way, found.action)
