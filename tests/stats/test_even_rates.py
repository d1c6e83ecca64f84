"""Counts on several exposures against one rate: by hand, by scipy, and how often it is found."""

import numpy as np
import pytest
from scipy.stats import chisquare, multinomial

from edgetest.stats.even_rates import MOST_WAYS, p_of_one_rate


def test_two_rolls_on_the_shorter_edge_are_a_product_of_shares():
    assert p_of_one_rate([2, 0], [88, 275]) == pytest.approx((88 / 363) ** 2, rel=1e-12)
    assert p_of_one_rate([0, 2], [88, 275]) == pytest.approx(1.0)


def test_every_way_to_share_three_out_is_weighed():
    """Of nine ways and more the multinomial of scipy gives the chance of each."""
    share = np.array([0.2, 0.3, 0.5])
    ways = [(a, b, 3 - a - b) for a in range(4) for b in range(4 - a)]
    chance = multinomial(3, share)

    def pearson(way):
        return ((np.array(way) - 3 * share) ** 2 / (3 * share)).sum()

    for seen in ways:
        told = sum(chance.pmf(way) for way in ways if pearson(way) >= pearson(seen) - 1e-9)
        assert p_of_one_rate(seen, 7 * share) == pytest.approx(told, rel=1e-9)


def test_many_counts_are_as_chi_square_has_them():
    count = np.array([4000, 4200, 3900])
    assert (count.sum() + 2) * (count.sum() + 1) / 2 > MOST_WAYS
    assert p_of_one_rate(count, [1, 1, 1]) == pytest.approx(chisquare(count).pvalue, rel=1e-9)
    few = np.array([90, 120, 102])
    assert (few.sum() + 2) * (few.sum() + 1) / 2 < MOST_WAYS
    assert p_of_one_rate(few, [1, 1, 1]) == pytest.approx(chisquare(few).pvalue, rel=0.05)


def test_one_rate_is_seldom_called_uneven():
    """Never more often than it says; 2,000 tests of two edges with one rate, invented."""
    rng = np.random.default_rng(4)
    length = np.array([90.0, 270.0])
    counts = rng.poisson(length / 100, (2000, 2))
    told = [p_of_one_rate(one, length) for one in counts if one.sum()]
    assert np.mean(np.array(told) < 0.05) <= 0.05
