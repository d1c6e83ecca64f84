"""What makes two quenches the same kind, and what does not?"""

from dataclasses import replace

import pytest

from edgetest.steel.alike_heats import (
    apart_though_alike,
    as_hard_since,
    cold_words,
    colder_by_far,
    made_alike,
    quenched_alike,
    thicker,
    told_alike,
)
from edgetest.steel.contradictions import contradictions
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from tests.steel.seen_steel import HARD, SOFT, files, heat, seen


@pytest.mark.parametrize(("soft", "hard", "told"), [("holds", "lets_go", False),
                                                    ("lets_go", "lets_go", True),
                                                    ("holds", None, True)])  # fmt: skip
def test_a_coupon_that_the_magnet_held_is_no_quench_of_the_same_kind(soft, hard, told):
    cold = heat(SOFT, coupon="A1", magnet=soft)
    hot = heat(HARD, coupon="A2", magnet=hard)
    codes = [one.code for one in contradictions(seen(cold, hot))]
    assert ("one_heat_hard_and_soft" in codes) == told
    assert colder_by_far(cold, hot) is not told
    assert not colder_by_far(hot, cold)


def test_alike_needs_one_medium_and_a_thermometer_within_thirty_degrees():
    here = heat(heat_c=810.0)
    assert quenched_alike(here, heat(heat_c=840.0))
    assert not quenched_alike(here, heat(heat_c=841.0))
    assert not quenched_alike(here, heat(heat_c=810.0, medium="water"))
    assert not quenched_alike(here, heat())


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [({"heat_c": 810.0, "magnet": "lets_go"}, {"heat_c": 810.0}, True),
     ({"colour": "cherry", "magnet": "lets_go"}, {"colour": "cherry"}, True),
     ({"heat_c": 810.0, "magnet": "holds"}, {"heat_c": 810.0}, False),
     ({"heat_c": 810.0, "magnet": "holds"}, {"heat_c": 810.0, "magnet": "lets_go"}, False),
     ({"magnet": "lets_go"}, {}, False), ({"magnet": "lets_go"}, {"magnet": "lets_go"}, True)],
)  # fmt: skip
def test_a_magnet_noted_beside_one_heat_alone_hides_no_difference(one, other, alike):
    assert told_alike(heat(HARD, **one), heat(SOFT, **other)) is alike


def test_half_as_thick_again_explains_a_softer_coupon():
    assert thicker(heat(section_mm=6.0), heat(section_mm=4.0))
    assert not thicker(heat(section_mm=5.9), heat(section_mm=4.0))
    assert not thicker(heat(section_mm=6.0), heat())


def test_heats_of_one_colour_are_quenched_alike_and_of_two_are_not():
    cherry = heat(colour="cherry", magnet="lets_go")
    assert quenched_alike(cherry, heat(colour="cherry"))
    assert not quenched_alike(cherry, heat(colour="bright_cherry"))
    assert not quenched_alike(cherry, heat(colour="cherry", magnet="holds"))
    assert not quenched_alike(heat(), heat())


def test_a_coarse_break_of_a_soft_coupon_is_normalised_before_a_hotter_quench():
    told = cold_words(heat(SOFT, grain="coarse"), hard=False)
    assert "Its break was coarse all the same" in told
    assert "normalise it first, then quench hotter" in told
    assert "coarse" not in cold_words(heat(SOFT, grain="fine"), hard=False)
    assert cold_words(heat(HARD), hard=True) == "It may have been too cold to harden fully."


@pytest.mark.parametrize(
    ("one_c", "other_c", "alike"), [(55, 131, False), (55, 100, True), (131, None, True)]
)
def test_tanks_of_plainly_different_warmth_are_not_treated_alike(one_c, other_c, alike):
    one, other = heat(HARD, medium_c=one_c), heat(SOFT, medium_c=other_c, piece="B")
    assert told_alike(one, other) is told_alike(other, one) is alike


@pytest.mark.parametrize(
    ("one_min", "other_min", "alike"),
    [(2, 5, False), (0.5, 10, False), (5, 9.9, True), (5, 10, False), (None, 10, True)],
)
def test_a_soak_twice_as_long_is_not_treated_alike(one_min, other_min, alike):
    one, other = heat(HARD, soak_min=one_min), heat(SOFT, soak_min=other_min, piece="B")
    assert told_alike(one, other) is told_alike(other, one) is alike


@pytest.mark.parametrize(
    ("later", "past"),
    [
        (files(55, 60, "below"), True),
        (files(60, 65, "below"), True),
        (files(50, 55, "below"), False),
        (None, False),
    ],
)
def test_a_later_heat_as_hard_as_the_sister_s_lifts_that_they_differ(later, past):
    hard = heat(files(60, 65, "below"), piece="B", coupon="B1")
    soft = heat(files(50, 55, "below"), coupon="A1")
    again = heat(*([later] if later else []), coupon="A2")
    said = as_hard_since(soft, hard, (hard, soft, again))
    assert bool(said) is past
    assert not past or said.startswith(
        "It is past: coupon A2, heat 1, of A came out at least as hard as "
    )
    assert as_hard_since(soft, hard, (again, hard, soft)) == ""  # before it, not since
    assert as_hard_since(soft, hard, (hard, soft, replace(again, medium="water"))) == ""


@pytest.mark.parametrize(
    ("soft_c", "hard_c", "alike"),
    [(800, 830, False), (800, 819, True), (829, 800, True), (830, 830, True)],
)
def test_of_two_pieces_the_hotter_by_a_step_may_be_the_harder(soft_c, hard_c, alike):
    soft, hard = heat(SOFT, heat_c=soft_c), heat(HARD, piece="B", heat_c=hard_c)
    assert told_alike(soft, hard)
    assert list(apart_though_alike(soft, hard)) == [(hard, soft)] * alike
    pieces = (PieceSeen("A", lot="L"), PieceSeen("B", lot="L"))
    found = contradictions(SteelSeen(None, pieces, (soft, hard)))
    assert [one.code for one in found] == ["alike_differ"] * alike


def test_coupons_are_counted_together_that_were_made_alike_and_came_out_alike():
    soft, hard, unread = heat(SOFT, coupon="A1"), heat(HARD, coupon="A2"), heat(coupon="A5")
    again, coarse = heat(HARD, coupon="A3"), heat(HARD, coupon="A4", grain="coarse")
    water = heat(HARD, coupon="A6", medium="water")
    every = [soft, hard, unread, again, coarse, water]
    assert [made_alike(one, every) for one in every] == [1, 3, 1, 3, 3, 1]
    fine = [heat(HARD, coupon="A7", grain="fine"), coarse]
    assert [made_alike(one, fine) for one in fine] == [1, 1]
