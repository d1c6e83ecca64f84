"""Smoothing along the edge: straight lines kept, outliers and gaps dealt with, runs counted."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.smooth import FINEST_PX, local_line, robust_line, running_median, runs


def test_a_straight_line_stays_itself_to_its_ends():
    x = np.arange(60.0)
    assert_allclose(local_line(3 + 0.2 * x, 5.0), 3 + 0.2 * x, atol=0.02)


def test_it_is_weighted_regression_by_a_gaussian():
    rng = np.random.default_rng(1)
    values, weight, reach = rng.standard_normal(40), rng.uniform(0.2, 1, 40), 3.0
    found = local_line(values, reach, weight=weight)
    for at in (2, 20, 39):
        offset = np.arange(40) - at
        near = np.abs(offset) <= 9
        w = (weight * np.exp(-0.5 * (offset / reach) ** 2))[near]
        design = np.column_stack([np.ones(near.sum()), offset[near]])
        params = np.linalg.solve((design.T * w) @ design, (design.T * w) @ values[near])
        assert found[at] == pytest.approx(params[0], abs=0.01)


def test_outliers_do_not_draw_the_line_and_lose_their_trust():
    x = np.arange(80.0)
    values = 5 + 0.05 * x + 0.02 * np.random.default_rng(2).standard_normal(80)
    values[[20, 21, 50]] += 4.0
    line, trust = robust_line(values, 6.0)
    assert_allclose(line, 5 + 0.05 * x, atol=0.06)
    assert trust[[20, 21, 50]].max() == 0.0
    assert np.median(trust) > 0.8
    _, kept = robust_line(values, 6.0, weight=np.where(x < 40, 1.0, 0.0))
    assert kept[40:].max() == 0.0


def test_a_running_median_follows_a_slope_beyond_its_ends():
    assert_allclose(running_median(np.arange(20.0), 5), np.arange(20.0))
    assert running_median([1.0, 9.0, 1.0, 3.0], 3).tolist() == [1.0, 1.0, 3.0, 3.0]
    assert running_median(np.r_[np.zeros(9), 5.0, np.zeros(9)], 4)[9] == 0.0
    assert running_median([1.0, 9.0, 1.0], 0).tolist() == [1.0, 9.0, 1.0]


def test_runs_are_counted_from_their_first_to_past_their_last():
    assert runs([0, 1, 1, 0, 1]).tolist() == [[1, 3], [4, 5]]
    assert runs([1, 1]).tolist() == [[0, 2]]
    assert runs([0, 0]).tolist() == []


def test_the_robust_line_is_tukey_s_where_it_has_settled():
    """Weights (1 - (off / 6 sd)²)², sd 1.4826 times the median off: from the line before."""
    rng = np.random.default_rng(4)
    values = 2 + 0.1 * np.arange(120.0) + 0.3 * rng.standard_normal(120)
    values[30:34] += 1.2
    before, _ = robust_line(values, 8.0, rounds=39)
    line, trust = robust_line(values, 8.0, rounds=40)
    off = np.abs(values - before)
    sd = 1.4826 * np.median(off) + FINEST_PX
    expected = np.clip(1 - (off / (6 * sd)) ** 2, 0, 1) ** 2
    assert_allclose(trust, expected, atol=0.02)
    assert_allclose(line, local_line(values, 8.0, weight=expected), atol=0.01)


def test_a_robust_line_begins_with_the_median_over_twice_its_reach_and_one():
    values = np.random.default_rng(5).standard_normal(60)
    line, trust = robust_line(values, 3.7, rounds=0)
    assert_allclose(line, local_line(running_median(values, 7), 3.7))
    assert_allclose(trust, 1)
    weight = np.where(np.arange(60) % 3, 1.0, 0.2)
    line, trust = robust_line(values, 3.7, rounds=0, weight=weight)
    assert_allclose(line, local_line(running_median(values, 7), 3.7, weight=weight))
    assert_allclose(trust, weight)


@pytest.mark.parametrize("cut", [2.0, 3.0])
def test_trust_ends_at_twice_the_cut(cut):
    """A place in a flat line: its trust falls with the square of how far off it is."""
    values = np.zeros(81)
    sd = FINEST_PX  # nothing else scatters
    for times, kept in ((0.9, (1 - 0.81) ** 2), (1.1, 0.0)):
        one = values.copy()
        one[40] = times * 2 * cut * sd
        _, trust = robust_line(one, 6.0, rounds=1, cut=cut)
        assert trust[40] == pytest.approx(kept)
