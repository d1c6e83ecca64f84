"""Chances of a ratio of two tools: simulated, against the arithmetic of strokes and pieces."""

from math import exp, inf, log, sqrt

import numpy as np
import pytest

from edgetest.chop.tool_power import ToolTests, simulated_depths, simulated_tests


def made_up(pieces, strokes=20, ratio=1.25, seed=1, **more):
    return simulated_tests(
        [strokes] * pieces, ratio, np.random.default_rng(seed), studies=120, **more
    )


def test_the_ratio_scatters_as_counting_and_pieces_say_and_boards_fall_out():
    found = made_up(12)
    expected = sqrt(2 * (1 / 20 + 0.15**2) / 12)
    assert np.std(found.off) == pytest.approx(expected, rel=0.25)
    assert abs(np.mean(found.off)) < 3 * expected / sqrt(120)


def test_more_pieces_and_longer_ones_show_more_and_uneven_wood_less():
    usual = made_up(12).power(1.25).value
    assert made_up(36).power(1.25).value > usual + 0.3
    assert made_up(12, strokes=60).power(1.25).value > usual + 0.1
    assert made_up(12, piece_cv=0.4).power(1.25).value < usual - 0.1


def test_a_ratio_and_its_inverse_are_as_hard_to_show():
    more, less = made_up(12, ratio=1.25), made_up(12, ratio=0.8)
    assert more.power(1.25).value == pytest.approx(less.power(0.8).value, abs=0.12)


def test_the_ratio_that_is_shown_has_the_chance_asked_for():
    found = made_up(6)
    least = found.ratio_shown(0.8)
    assert found.power(least).value == pytest.approx(0.8, abs=0.005)
    assert found.ratio_shown(0.5) < least


def test_intervals_without_end_show_no_ratio():
    never = ToolTests(np.zeros(4), np.full(4, inf), "none")
    assert never.ratio_shown(0.8) == inf
    narrow = ToolTests(np.array([-0.1, 0.1]), np.full(2, 0.2), "t")
    assert narrow.ratio_shown(0.5) == pytest.approx(exp(0.2), rel=2e-3)
    assert narrow.power(exp(0.2)).value == pytest.approx(0.5)
    assert log(narrow.ratio_shown(0.9)) > 0.2


def test_two_woods_of_one_test_are_simulated_piece_by_piece():
    mixed = simulated_tests([16, 16, 16, 6, 6, 6], 1.25, np.random.default_rng(1), studies=120)
    only_long = made_up(6, strokes=16).power(1.25).factor
    only_short = made_up(6, strokes=6).power(1.25).factor
    assert only_long < mixed.power(1.25).factor < only_short


def test_every_simulated_test_is_a_step():
    told = []
    made_up(3, step=lambda: told.append(1))
    assert len(told) == 120


def test_depths_of_two_tools_scatter_as_one_depth_says():
    found = simulated_depths(range(1, 14), 1.25, np.random.default_rng(1), studies=120)
    assert np.std(found.off) == pytest.approx(0.15 * sqrt(2 / 13), rel=0.25)
    few = simulated_depths(range(1, 5), 1.25, np.random.default_rng(1), studies=60)
    assert few.power(1.25).value < found.power(1.25).value - 0.3
    rough = simulated_depths(range(1, 14), 1.25, np.random.default_rng(1), depth_sd=0.3, studies=60)
    assert rough.power(1.25).value < found.power(1.25).value - 0.3


def test_a_piece_that_falls_at_once_took_one_stroke_in_every_simulated_test():
    assert np.isfinite(made_up(8, strokes=1).off).all()
