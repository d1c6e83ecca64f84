"""Readings that stand out: which, on which side, and what cannot be asked."""

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.outliers import grubbs, name_outliers


def bound(n, error):
    """Grubbs (1969): (n - 1) / sqrt(n) times sqrt(t² / (n - 2 + t²))."""
    t = student.isf(error / n, n - 2)
    return (n - 1) / n**0.5 * (t**2 / (n - 2 + t**2)) ** 0.5


def test_the_farthest_on_either_side_is_looked_at_unless_one_is_asked_for():
    values = [5.0, 5.1, 4.9, 5.2, 5.0, 3.0]
    at, statistic, critical = grubbs(values)
    assert at == 5
    assert statistic == pytest.approx((np.mean(values) - 3.0) / np.std(values, ddof=1))
    assert critical == pytest.approx(bound(6, 0.025))
    at, statistic, critical = grubbs(values, two_sided=False, level=0.99)
    assert at == 3
    assert statistic == pytest.approx((5.2 - np.mean(values)) / np.std(values, ddof=1))
    assert critical == pytest.approx(bound(6, 0.01))


def test_of_three_values_one_can_be_asked_about_and_of_two_none():
    assert grubbs([1.0, 1.1, 3.0])[0] == 2
    with pytest.raises(UnusableInput, match="give 3 or more"):
        grubbs([1.0, 3.0])
    with pytest.raises(UnusableInput, match="all of them numbers"):
        grubbs([1.0, 2.0, np.nan])
    with pytest.raises(UnusableInput, match="give 5 or more"):
        name_outliers([1.0, 2.0, 3.0, 4.0], 2)


def test_values_all_alike_have_none():
    assert grubbs([2.0, 2.0, 2.0])[1] == 0.0
    outliers, statistics, _ = name_outliers([2.0] * 6, 2)
    assert outliers == ()
    assert statistics.tolist() == [0.0, 0.0]


def test_two_that_hide_each_other_are_named_the_farthest_first():
    values = [10.1, 9.9, 10.0, 10.2, 9.8, 10.0, 10.1, 9.9, 14.0, 14.5]
    assert grubbs(values)[1] < grubbs(values)[2]
    outliers, statistics, critical = name_outliers(values, 3)
    assert outliers == (9, 8)
    assert critical == pytest.approx([bound(n, 0.025) for n in (10, 9, 8)])
    assert statistics[0] == pytest.approx((14.5 - np.mean(values)) / np.std(values, ddof=1))


def test_levels_and_places_of_both_tests_by_their_definition():
    values = np.array([10.1, 9.9, 10.0, 10.2, 9.8, 10.0, 10.1, 6.0])
    _, statistics, critical = name_outliers(values, 1, level=0.8)
    assert statistics == pytest.approx([(values.mean() - 6.0) / values.std(ddof=1)])
    assert critical == pytest.approx([bound(8, 0.1)])
    assert name_outliers(values, 2)[0] == (7,)
    assert len(name_outliers(values, 5)[1]) == 5
    assert grubbs([1.0, 5.0, 5.1], two_sided=False)[0] == 2
    assert grubbs(values, level=0.8)[2] == pytest.approx(bound(8, 0.1))
