"""Scatter between groups and within them: against exact limits, and against made truths."""

import numpy as np
import pytest
from scipy.stats import chi2, f

from edgetest.stats.nested_scatter import nested_scatter


def balanced(rng, groups, each, between, within):
    """Contrasts of a balanced one-way layout, in the sums that they come to."""
    y = between * rng.normal(size=(groups, 1)) + within * rng.normal(size=(groups, each))
    means = y.mean(axis=1)
    along = np.linalg.svd(np.ones((1, groups)))[2][1:] @ means * np.sqrt(each)
    return [each] * (groups - 1), along**2, ((y - means[:, None]) ** 2).sum(), groups * (each - 1)


def test_estimate_is_that_of_the_mean_squares():
    sizes, squares, left, df = balanced(np.random.default_rng(2), 6, 3, 0.3, 0.1)
    found = nested_scatter(sizes, squares, left, df)
    assert found.within**2 == pytest.approx(left / df)
    assert found.between**2 == pytest.approx((squares.mean() - left / df) / 3, rel=1e-6)


def test_no_group_differs_where_the_mean_squares_say_so():
    found = nested_scatter([2, 2], [0.01, 0.02], 1.0, 10)
    assert found.between == found.between_low == 0
    assert found.between_high > 0


def test_limits_within_are_the_chi_square_s_and_a_known_one_leaves_exact_limits_between():
    """With very many degrees of freedom within, the sum over groups alone is a chi-square."""
    squares = np.array([0.5, 0.2, 0.9, 0.4])
    found = nested_scatter([3] * 4, squares, 0.01 * 1e7, 10**7)
    ends = ((squares.sum() / chi2.ppf(share, 4) - 0.01) / 3 for share in (0.975, 0.025))
    low, high = (end**0.5 for end in ends)
    assert (found.between_low, found.between_high) == pytest.approx((low, high), rel=0.05)
    assert found.within_low == pytest.approx(0.1, rel=1e-3)


def test_a_lower_limit_above_nought_goes_with_the_f_test():
    """The exact test of no scatter between groups, at the level of the lower limit."""
    rng = np.random.default_rng(7)
    agreed = 0
    for _ in range(60):
        sizes, squares, left, df = balanced(rng, 5, 3, 0.1, 0.1)
        found = nested_scatter(sizes, squares, left, df)
        p = f.sf(squares.mean() / (left / df), 4, df)
        agreed += (p < 0.025) == (found.between_low > 0)
    assert agreed >= 56


@pytest.mark.slow
def test_truths_are_held():
    rng = np.random.default_rng(5)
    held = []
    for between in (0.03, 0.1, 0.3):
        for _ in range(60):
            found = nested_scatter(*balanced(rng, 5, 2, between, 0.1))
            held.append(found.between_low <= between <= found.between_high)
    assert np.mean(held) > 0.92


def test_groups_of_one_tell_nothing():
    assert nested_scatter([1.0, 1.0], [0.2, 0.1], 0.0, 0) is None
    assert nested_scatter([], [], 0.5, 8) is None


SQUARES = np.array([0.5, 0.2, 0.9, 0.4])


@pytest.mark.parametrize(("settings", "between", "within"), [
    ({}, 1.0, 1.0), ({"fewer": 0.5}, 0.5, 0.5), ({"fewer": 0.5, "fewer_within": 0.8}, 0.5, 0.8),
    ({"fewer_within": 0.8}, 1.0, 0.8),
])  # fmt: skip
def test_heavier_tails_leave_fewer_degrees_of_freedom_to_either_limit(settings, between, within):
    found = nested_scatter([3] * 4, SQUARES, 0.6, 12, 0.8, **settings)
    df = 12 * within
    assert (found.df_within, found.df_between) == (12, 4)
    assert found.within**2 == pytest.approx(0.05)
    for end, share in ((found.within_low, 0.9), (found.within_high, 0.1)):
        assert end**2 == pytest.approx(0.6 * within / chi2.ppf(share, df))
    assert found.between**2 == pytest.approx((0.5 - 0.05) / 3, rel=1e-6)
    # The pivot by its definition: both chi-squares drawn at 80 shares each.
    shares = (np.arange(80) + 0.5) / 80
    drawn = 0.6 * within / chi2.ppf(shares, df)[:, None]
    sums = chi2.ppf(shares, 4 * between) / between
    pivots = np.maximum((SQUARES.sum() / sums - drawn) / 3, 0.0)
    ends = np.quantile(pivots, (0.1, 0.9), method="hazen")
    assert [found.between_low**2, found.between_high**2] == pytest.approx(ends, rel=1e-6, abs=1e-9)


def test_groups_of_unlike_size_meet_the_sum_that_is_asked():
    sizes, squares = np.array([2.0, 5.0, 3.0]), np.array([0.4, 1.5, 0.3])
    found = nested_scatter(sizes, squares, 0.6, 12)
    assert (squares / (0.05 + found.between**2 * sizes)).sum() == pytest.approx(3.0, rel=1e-9)


def test_without_a_contrast_or_anything_within_groups_there_is_no_answer():
    assert nested_scatter([1.0], [0.2], 0.0, 3) is None
    assert nested_scatter([1.0], [0.2], 0.1, 0) is None
    assert nested_scatter([], [], 0.1, 3) is None
    assert nested_scatter([1.0], [0.2], 0.1, 1).df_within == 1


def test_a_scatter_beyond_any_that_is_met_ends_at_the_largest():
    assert nested_scatter([1.0], [1e9], 0.1, 3).between == pytest.approx(10.0)
