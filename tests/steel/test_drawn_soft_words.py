"""Is a coupon that came too soft out of its tempers told by the tempers that were made?"""

from edgetest.steel.drawn_soft_words import NO_COOLER, drawn_soft_words
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TemperSeen
from edgetest.steel.trade_rules import drawn_soft
from edgetest.units import Typed
from tests.steel.seen_steel import HARD, files, heat
from tests.steel.stands import stands

READ = (files(50, 55),)
LESSER = "good for lesser use, not for this."


def tempered(*at_c):
    return heat(HARD, tempers=tuple(TemperSeen(one, 60, hardness=READ) for one in at_c))


def test_one_temper_is_told_as_one_with_its_heat():
    found = drawn_soft(stands(tempered(175.0), use="knife"), SteelLosses())
    said = f"Hard as quenched, yet too soft after its one temper at 175 °C: {LESSER}"
    assert found.reason == f"{said} {NO_COOLER}"


def test_a_cooler_one_that_was_made_is_told_and_none_else_is():
    two = heat(HARD, coupon="2", tempers=(TemperSeen(175.0, 60, hardness=READ),))
    found = drawn_soft(stands(tempered(260.0), two, use="knife"), SteelLosses())
    assert "after each temper, and a cooler one was no cure" in found.reason
    assert NO_COOLER not in found.reason


def test_several_tempers_tell_the_coolest():
    told = drawn_soft_words(tempered(230.0, 200.0), cooler_tried=False)
    assert told == (
        f"Hard as quenched, yet too soft after each temper, the coolest at 200 °C: {LESSER}"
    )
    assert "its one temper:" in drawn_soft_words(tempered(None), cooler_tried=False)


def test_degrees_keep_the_unit_that_they_were_typed_in():
    told = drawn_soft_words(tempered(Typed(204.4, "400 °F"), 230.0), cooler_tried=False)
    assert "the coolest at 400 °F:" in told
