"""Which hotter heat tells that a cooler one of its steel missed its heat."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.advised_temper import advised_c
from edgetest.steel.hotter_harder import (
    harder_words,
    hotter_harder,
    not_the_coldest,
    too_cool_words,
)
from edgetest.steel.steel_seen import PieceSeen
from edgetest.units import Typed
from tests.steel.seen_steel import files, heat, number, seen, temper
from tests.steel.stands import stands

COOL = heat(files(55, 60, "below"), coupon="A1", heat_c=800.0, section_mm=6)
HOT = heat(files(60, 65, "below"), piece="S", coupon="S1", heat_c=845.0, section_mm=6)
AGAIN = replace(HOT, piece="A", coupon="A1", heat=2)


def lot(*heats, of="L"):
    found = seen(*heats, lot="L")
    return replace(found, pieces=(*found.pieces, PieceSeen("S", lot=of)))


def test_a_sister_harder_from_plainly_hotter_tells():
    assert hotter_harder(COOL, lot(COOL, HOT)) == HOT
    assert harder_words(COOL, HOT) == (
        "A1, heat 1, read 55 to 60 HRC from 800 °C, and S1, heat 1, of S, of the same lot, "
        "60 to 65 HRC from 845 °C"
    )
    typed = replace(HOT, heat_c=Typed(845.0, "1553 °F"))
    assert harder_words(COOL, typed).endswith("60 to 65 HRC from 1553 °F")
    numbers = replace(COOL, hardness=(number(57, "below"),))
    assert hotter_harder(numbers, lot(numbers, replace(HOT, hardness=(number(62, "below"),))))
    assert not hotter_harder(numbers, lot(numbers, replace(HOT, hardness=(number(59, "below"),))))


@pytest.mark.parametrize(
    "hot",
    [
        {"heat_c": 819.0},
        {"heat_c": None},
        {"medium": "water"},
        {"grain": "coarse"},
        {"cracked": 1},
        {"carburised": True},
        {"hardness": (files(60, 65, "skin"),)},
        {"hardness": (files(58, 62, "below"),)},
        {"hardness": (number(64, "below"),)},  # a tester against files has its own rule
        {"section_mm": 4},  # the thicker of the two may be softer by that alone
    ],
)
def test_what_was_made_or_read_otherwise_tells_nothing(hot):
    assert hotter_harder(COOL, lot(COOL, replace(HOT, **hot))) is None


def test_a_piece_no_harder_from_a_heat_as_hot_is_not_called_too_cool():
    as_soft = replace(AGAIN, hardness=(files(55, 60, "below"),))
    assert hotter_harder(COOL, lot(COOL, HOT, as_soft)) is None
    assert hotter_harder(COOL, lot(COOL, HOT, AGAIN)) == AGAIN
    assert hotter_harder(COOL, lot(COOL, HOT, of="other")) is None


def test_of_one_coupon_the_hotter_and_harder_heat_is_what_goes_on():
    drawn = replace(COOL, tempers=(temper(files(55, 60, "below"), 180),))
    assert stands(drawn, AGAIN).best == AGAIN
    assert stands(AGAIN, drawn).best == AGAIN
    assert not_the_coldest([drawn, replace(AGAIN, heat_c=810.0)])[0] == drawn
    assert advised_c([drawn], (), (55, 61)) == 180
    assert advised_c([drawn, AGAIN], (), (55, 61)) is None


def test_the_chances_of_a_heat_are_told_with_what_they_do_not_hold():
    belief = SimpleNamespace(piece="A", coupon="A1", heat=1)
    assert too_cool_words(belief, lot(COOL, HOT)) == (
        " That holds no heat's degrees against another's: S1, heat 1, of S, of the same lot, "
        "came out harder from 845 °C, so this one may well have been too cool."
    )
    assert too_cool_words(belief, lot(COOL)) == ""


def test_too_cold_beside_hot_enough_is_said_to_be_of_the_poor_steel():
    def said(heat, cold=0.7, *, poor=True):
        belief = SimpleNamespace(piece="A", coupon="A1", heat=1, chances={"too_cold": cold})
        return too_cool_words(belief, lot(heat), poor=poor)

    hot = replace(COOL, magnet="lets_go")
    assert said(hot).startswith(" Too cold is meant for a steel of so little carbon")
    assert said(hot, 0.01) == said(hot, poor=False) == said(replace(COOL, magnet="holds")) == ""
