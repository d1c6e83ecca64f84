"""Rates of groups whose replicates scatter: exact limits without scatter, zeros, many counts."""

from math import exp, inf, log

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_rate, poisson_ratio
from edgetest.stats.replicate_scatter import UsualScatter, group_means
from edgetest.stats.scattered_rates import scattered_counts, scattered_rate, scattered_ratio

USUAL = UsualScatter(0.5, 0.8)


def group(*counts, exposure=1.0):
    return scattered_counts(counts, [exposure] * len(counts))


@pytest.mark.parametrize("count", [1, 3, 21, 137])
def test_without_scatter_one_rate_has_garwoods_limits(count):
    ours = scattered_rate(group(count, exposure=24.0), None)
    exact = poisson_rate(count, 24.0)
    assert_allclose([ours.value, ours.low, ours.high], [exact.value, exact.low, exact.high], 2e-4)


@pytest.mark.parametrize("counts", [(11, 21), (0, 5), (5, 0), (1, 1), (60, 80)])
def test_without_scatter_a_ratio_has_the_conditional_exact_limits(counts):
    ours = scattered_ratio(*(group(y) for y in counts), None).ratio
    exact = poisson_ratio(counts[0], 1.0, counts[1], 1.0)
    assert_allclose([ours.value, ours.low, ours.high], [exact.value, exact.low, exact.high], 1e-4)


def test_nothing_counted_is_a_bound_that_scatter_widens():
    bound = scattered_rate(group(0, 0, 0), USUAL)
    assert bound.value == bound.low == 0
    assert bound.high > poisson_rate(0, 3.0).high


def test_a_ratio_to_nothing_counted_is_open_above():
    ratio = scattered_ratio(group(4, 6), group(0, 0), USUAL).ratio
    assert (ratio.value, ratio.high) == (inf, inf)
    assert 1 < ratio.low < poisson_ratio(10, 2.0, 0, 2.0).low


def test_many_counts_are_the_normal_means_of_their_logs():
    first, second = (3000, 5000), (5000, 8000)
    ours = scattered_ratio(group(*first), group(*second), USUAL).ratio
    values = np.log([*first, *second])
    means = group_means(values, np.diag(np.exp(-values)), "aabb", USUAL)
    normal = means.difference("a", "b").factor("", 0.95, "")
    assert_allclose([ours.low, ours.high], [normal.low, normal.high], rtol=0.03)


def test_likelihood_is_the_integral_over_the_blades_own_rate():
    """A plain sum over a blade's own shift; the mean of log-normal rates lies sd²/2 higher."""
    ours = scattered_rate(group(7), UsualScatter(0.5, 1e-9))
    shift = np.linspace(-5, 5, 2001)
    weight = np.exp(-(shift**2) / 2 / 0.25)
    rate = np.linspace(log(0.02), log(900), 2001)
    mean = np.exp(rate[:, None] + shift)
    held = (np.exp(7 * np.log(mean) - mean) * weight).sum(axis=1)
    low = np.interp(0.025, np.cumsum(held) / held.sum(), rate)
    assert ours.low == pytest.approx(exp(low + 0.125), rel=0.01)


def test_no_count_at_all_says_nothing_of_a_ratio():
    with pytest.raises(UnusableInput, match="both counts are zero"):
        scattered_ratio(group(0, 0), group(0, 0), USUAL)


@pytest.mark.parametrize("counts", [(1.5, 2), (-1, 2), (float("nan"), 1)])
def test_what_is_no_count_is_refused(counts):
    with pytest.raises(UnusableInput, match="whole number"):
        group(*counts)
