"""Levels within the readings, where curves cross and when it is said, worked by hand."""

from math import inf
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.study.wear.other_levels import (
    AtLevel,
    Carried,
    crossing,
    level_words,
    levels_within,
    where_curves_cross,
)
from edgetest.wear.compare.comparison_result import Ratio, ratio_sentence

BEYOND = "beyond the last stage by the fitted curve"


def level(low, high, at=10.0, *, estimate=None, beyond=False):
    ratio = Ratio(estimate or (low * high) ** 0.5, low, high, 0.95, "pooled t", 4.0)
    comparison = SimpleNamespace(
        ratio=ratio, first="low", second="high", scope="heat_treatments", groups=()
    )
    return AtLevel(at, comparison, Carried(4, 3 if beyond else 0))


@pytest.mark.parametrize(
    ("above", "below", "said"),
    [
        ((1.01, 1.5), (0.5, 0.99), "cross"),
        ((1.0, 1.5), (0.5, 0.99), "may_cross"),
        ((1.01, 1.5), (0.5, 1.0), "may_cross"),
        ((0.9, 1.3), (0.8, 1.2), ""),  # 1.08 and 0.98
        ((0.9, 1.4), (0.8, 1.01), "may_cross"),  # 1.12 and 0.90
        ((0.9, 1.4), (0.8, 1.05), ""),  # 1.12 and 0.92
        ((0.9, 1.3), (0.8, 1.01), ""),
        ((1.1, 1.5), (1.1, 1.5), ""),
    ],
)
def test_curves_cross_for_sure_or_may(above, below, said):
    assert crossing([level(*above), level(*below)]) == said


def test_levels_beyond_the_readings_or_open_ends_tell_of_no_crossing():
    assert crossing([level(1.1, 1.5), level(0.5, 0.9, beyond=True)]) == ""
    assert crossing([level(1.1, inf, estimate=inf), level(0.5, 0.9)]) == ""
    assert crossing([level(1.1, 1.5), level(0.0, 0.9, estimate=1e-300)]) == "cross"


def test_the_crossing_lies_between_neighbours_straight_on_logs():
    """From 1 / 2 at 4 to 4 at 32 the log ratio passes nought a third of the way: 4 * 8^(1/3)."""
    found = where_curves_cross([level(4, 4, 32.0), level(0.5, 0.5, 4.0), level(8, 8, 64.0)])
    assert found == pytest.approx((8.0, 4.0, 32.0))
    assert where_curves_cross([level(2, 2, 4.0), level(4, 4, 32.0)]) is None
    assert where_curves_cross([level(0.5, 0.5, 4.0, beyond=True), level(4, 4, 32.0)]) is None
    assert where_curves_cross([level(4, 4)]) is None


def curve(name, fresh, last):
    def predict(cuts):
        assert list(cuts) == [0.0, 100.0]
        return SimpleNamespace(value=np.array([fresh, last]))

    return SimpleNamespace(blade=name, predict=predict, cuts=np.array([0.0, 50.0, 100.0]), psi=[1])


def within(*curves, runs="ABC"):
    return levels_within(SimpleNamespace(blades=curves), set(runs))


def test_levels_lie_from_a_third_of_the_way_to_the_middle_last_reading():
    """Between 2, the dullest fresh edge, and 32: from 2 * 16^0.3 in even steps of logs."""
    levels = within(curve("A", 1.0, 32.0), curve("B", 2.0, 32.0), curve("C", 1.5, 64.0))
    expected = 2 * 16 ** np.linspace(0.3, 1.0, 6)
    assert levels == pytest.approx(expected, rel=5e-3)
    assert levels[-1] == 32.0
    assert levels[0] == 4.59


def test_a_reading_that_falls_has_its_levels_downwards():
    levels = within(curve("A", 32.0, 2.0), curve("B", 16.0, 2.0))
    assert levels == pytest.approx(16 * (1 / 8) ** np.linspace(0.3, 1.0, 6), rel=5e-3)


def test_without_room_between_fresh_and_last_there_are_no_levels():
    assert within(curve("A", 1.0, 4.0), curve("B", 5.0, 4.0)) == ()
    assert within(curve("A", 1.0, 4.0), runs="B") == ()
    flat = curve("A", 1.0, 4.0)
    flat.psi = []
    assert within(flat) == ()


def test_levels_that_are_one_by_three_digits_are_one():
    assert within(curve("A", 1.0, 1.001)) == (1.0,)


def compared(low=1.0, high=2.0, **more):
    return SimpleNamespace(
        first="low", second="high", ratio=level(low, high, **more).comparison.ratio,
        scope="heat_treatments", groups=(),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("ends", "turned"),
    [((0.98, 1.4), False), ((0.71, 1.4), True), ((0.0, 0.9), True), ((0.5, inf), False)],
)
def test_what_the_headline_begins_with_stands_above_at_every_limit(ends, turned):
    """Also where more of the limits say the opposite: 1.00 and 0.99 beside a headline of 1.01."""
    own = compared(*ends, estimate=None if 0 < ends[0] <= ends[1] < inf else 0.8)
    found = level_words([level(r, r) for r in (2.0, 0.5, 0.6)], own, "edge_width_um", "µm")
    assert found.turned is turned
    assert (found.of, found.to) == (("low", "high") if turned else ("high", "low"))
    assert ratio_sentence(own.ratio, "low", "high").startswith(f"{found.of} lasts")
    assert found.limit == "edge width that ends a life, in µm"
    assert len(found.each) == 3


def test_a_level_is_told_with_its_ratio_and_whether_it_lies_beyond():
    one = level(1.25, 1.6, 8.123, beyond=True)
    assert one.words(False) == f"8.12: 1.41 (1.25 to 1.60), of 4 lives 3 {BEYOND}"
    assert one.words(True).startswith("8.12: 0.71 (0.6")
    assert one.to_dict(turned=True)["high"] == pytest.approx(0.8)
    assert one.to_dict()["low"] == 1.25
    assert level(1.25, 1.6).words(False) == "10: 1.41 (1.25 to 1.60)"
    told = one.to_dict()
    assert (told["lives"], told["beyond_last_stage"], told["least_lives"]) == (4, 3, 0)
    bare = level_words([], compared(), "grade")
    assert bare.summary() == ""
    assert bare.limit == "grade that ends a life"


@pytest.mark.parametrize(
    ("carried", "said", "mostly"),
    [
        (Carried(10), "", False),
        (Carried(10, 4), f"of 10 lives 4 {BEYOND}", False),
        (Carried(10, 0, 1), "of 10 lives 1 known only to be longer", False),
        (Carried(10, 5, 1), f"of 10 lives 5 {BEYOND} and 1 known only to be longer",
         True),
        (Carried(10, 4, 1), f"of 10 lives 4 {BEYOND} and 1 known only to be longer",
         False),
    ],
)  # fmt: skip
def test_it_is_told_of_how_many_lives_no_stage_reached_the_limit(carried, said, mostly):
    assert carried.words() == said
    assert carried.mostly is mostly
    one = AtLevel(13.6, level(1.25, 1.6).comparison, carried)
    assert one.extrapolated is mostly
    told = level_words([level(1, 2, 8.0), one], compared(), "edge_width_um").carried_words()
    assert told == (f"Lives that lie beyond the stages, by limit: 13.6: {said}." if said else "")
