"""Two levels among readings, and scatters that differ: found where they are clear, by F by hand."""

import numpy as np
import pytest
from scipy.stats import f

from edgetest.wear.plan.levels_apart import scatter_differs, sizes_apart


def test_readings_of_two_blades_fall_into_two_levels_by_their_geometric_means():
    low, high = np.array([2.0, 2.1, 1.95]), np.array([8.0, 8.4, 7.8])
    found = sizes_apart(np.r_[high, low])
    assert found == pytest.approx((low.prod() ** (1 / 3), high.prod() ** (1 / 3)))


@pytest.mark.parametrize(
    "value",
    [[2.0, 2.1, 8.0], [2.0, 2.1, 8.0, -1.0], [2.0, 2.1, 1.95, 2.05, 2.02], [2.0, 2.1, 2.05, 9.0]],
)
def test_too_few_no_size_no_gap_or_one_alone_make_no_second_level(value):
    assert sizes_apart(value) is None


def test_scatters_differ_beyond_one_in_a_hundred_over_all_pairs():
    """Largest over smallest variance by F, times the ordered pairs."""
    df = np.array([6, 6, 6])
    edge = f.isf(0.01 / 6, 6, 6)
    assert scatter_differs(6 * np.array([1.0, 2.0, 1.01 * edge]), df)
    assert not scatter_differs(6 * np.array([1.0, 2.0, 0.99 * edge]), df)
    # Of unlike numbers each has its own degrees of freedom.
    edge = f.isf(0.01 / 2, 2, 20)
    assert scatter_differs([2 * 1.01 * edge, 20.0], [2, 20])
    assert not scatter_differs([2 * 0.99 * edge, 20.0], [2, 20])


def test_levels_that_tell_no_scatter_do_not_differ():
    assert not scatter_differs([0.0, 0.0], [4, 4])
    assert scatter_differs([0.0, 1.0], [4, 4])
    assert not scatter_differs([5.0, 1.0], [4, 0])
    assert not scatter_differs([], [])
