"""Rates of groups whose replicates scatter: exact limits without scatter, zeros, many counts."""

from math import exp, inf, log

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import betainc
from scipy.stats import norm

from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_rate, poisson_ratio
from edgetest.stats.replicate_scatter import UsualScatter, group_means
from edgetest.stats.scattered_rates import (
    _quantile,
    _share_below,
    _side,
    _step,
    scattered_counts,
    scattered_rate,
    scattered_ratio,
)

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


@pytest.mark.parametrize(
    ("count", "exposure", "words"),
    [
        ([1, 2], [1.0], "2 counts, 1 exposures"),
        ([], [], "0 counts, 0 exposures"),
        ([[1, 2]], [[1.0, 2.0]], "2 counts, 2 exposures"),
        ([1, float("inf")], [1.0, 1.0], "whole number"),
        ([1, 2], [1.0, 0.0], "not above zero"),
        ([1, 2], [1.0, float("nan")], "not above zero"),
    ],
)
def test_counts_and_exposures_that_do_not_fit_are_refused(count, exposure, words):
    with pytest.raises(UnusableInput, match=words):
        scattered_counts(count, exposure)
    assert scattered_counts([0, 3], [1.0, 2.0]).total == 3


@pytest.mark.parametrize("counts", [(3, 7), (12, 9), (40, 61)])
def test_without_scatter_the_chance_is_that_of_two_gammas_by_jeffreys(counts):
    """With Jeffreys' prior a / (a + b) is Beta(y1 + 1/2, y2 + 1/2): its chance below a half."""
    found = scattered_ratio(*(group(y) for y in counts), None)
    expected = betainc(counts[0] + 0.5, counts[1] + 0.5, 0.5)
    assert found.below == pytest.approx(expected, abs=2e-4)
    assert found.scatter == 0.0


def test_exposure_and_level_scale_rate_and_limits():
    counts = scattered_counts([4, 9], [2.0, 3.0])
    one, tenfold = scattered_rate(counts, USUAL), scattered_rate(counts, USUAL, per=10.0)
    assert (one.value, tenfold.value) == pytest.approx((13 / 5, 26.0))
    assert tenfold.high == pytest.approx(10 * one.high)
    narrow = scattered_rate(counts, USUAL, level=0.8)
    assert one.low < narrow.low < narrow.high < one.high
    nothing = scattered_rate(group(0, exposure=4.0), None, level=0.9)
    assert nothing.high == pytest.approx(-log(0.1) / 4, rel=1e-3)


def test_replicates_that_differ_show_their_scatter():
    usual = UsualScatter(0.3, 1.0)
    even = scattered_ratio(group(50, 52, 49, 51), group(50, 48, 53, 50), usual)
    uneven = scattered_ratio(group(20, 110, 30, 60), group(90, 25, 15, 70), usual)
    assert even.scatter < 0.2 < 0.5 < uneven.scatter < 1.2
    assert uneven.ratio.high / uneven.ratio.low > 2 * even.ratio.high / even.ratio.low
    assert even.ratio.value == pytest.approx(202 / 201, rel=0.01)


def test_with_scatter_the_upper_end_has_the_information_s_prior():
    """Likelihood times mean / (1 + sd² mean), the mean of log-normal rates sd²/2 higher."""
    sd = 0.5
    ours = scattered_rate(group(7), UsualScatter(sd, 1e-9))
    shift = np.linspace(-5, 5, 2001)
    rate = np.linspace(log(0.02), log(900), 2001)
    mean = np.exp(rate[:, None] + shift)
    held = (np.exp(7 * np.log(mean) - mean) * np.exp(-(shift**2) / 2 / sd**2)).sum(axis=1)
    held *= np.exp(rate) / (1 + sd**2 * np.exp(rate))
    high = np.interp(0.975, np.cumsum(held) / held.sum(), rate)
    assert ours.high == pytest.approx(exp(high + sd**2 / 2), rel=0.01)


NORMAL = np.arange(-9.0, 9.0001, 0.02)


@pytest.mark.parametrize("share", [1e-4, 0.025, 0.5, 0.8, 0.9999])
def test_a_quantile_of_a_density_on_a_grid_is_the_normals(share):
    assert _quantile(NORMAL, 7 * norm.pdf(NORMAL), share) == pytest.approx(
        norm.ppf(share), abs=1e-6
    )
    assert _share_below(NORMAL, 7 * norm.pdf(NORMAL), norm.ppf(share)) == pytest.approx(
        share, abs=1e-8
    )
    assert _share_below(NORMAL, norm.pdf(NORMAL), -99.0) == 0.0
    assert _share_below(NORMAL, norm.pdf(NORMAL), 99.0) == 1.0


def test_a_density_that_stands_at_one_end_of_its_grid_has_its_quantile_there():
    """An exponential from the first place of the grid on."""
    x = np.arange(0.0, 60.0, 0.01)
    for share in (1e-3, 0.5, 0.99):
        assert _quantile(x, np.exp(-x), share) == pytest.approx(-log(1 - share), abs=1e-5)


def test_a_groups_likelihood_and_information_replicate_by_replicate():
    """y log m - m of each, smeared by a normal of the scatter; m / (1 + sd² m) of information."""
    counts, sd = scattered_counts([4, 9], [2.0, 3.0]), np.array([0.0, 0.4])
    log_rate, held, information = _side(counts, sd, 0.02)
    assert log_rate[len(log_rate) // 2] == pytest.approx(log(13 / 5))
    assert log_rate[[0, -1]] == pytest.approx([log(13 / 5) - 13, log(13 / 5) + 13])
    assert np.diff(log_rate) == pytest.approx(0.02)
    shift = np.linspace(-3.2, 3.2, 1281)
    weight = norm.pdf(shift / 0.4) / norm.pdf(shift / 0.4).sum()
    middle = len(log_rate) // 2
    for k in (middle - 30, middle, middle + 25):
        plain = smeared = told = 0.0
        for y, e in ((4, 2.0), (9, 3.0)):
            mean = e * exp(log_rate[k])
            plain += y * log(mean) - mean - (y * log(y) - y)
            moved = mean * np.exp(shift)
            smeared += log(np.exp(y * np.log(moved) - moved - (y * log(y) - y)) @ weight)
            told += mean / (1 + 0.16 * mean)
        assert held[0, k] == pytest.approx(plain, abs=1e-3)
        assert held[1, k] == pytest.approx(smeared, abs=2e-3)
        assert information[:, k] == pytest.approx([5 * exp(log_rate[k]), told], rel=1e-9)


def test_the_step_follows_the_group_with_the_most_counts():
    assert _step([group(3), group(40)]) == pytest.approx(0.04)
    assert _step([group(3), group(899, 0)]) == pytest.approx(0.3 / 30)
    middle = _side(group(0, 0, exposure=4.0), np.zeros(1), 0.04)[0]
    assert np.median(middle) == pytest.approx(log(0.5 / 8))


def test_a_known_scatter_is_told_as_it_is_and_ratios_turn_round():
    first, second = group(9, 14), group(20, 31, 25)
    one = scattered_ratio(first, second, UsualScatter(0.3, 1e-9))
    other = scattered_ratio(second, first, UsualScatter(0.3, 1e-9), level=0.95)
    assert one.scatter == pytest.approx(0.3)
    assert one.ratio.low == pytest.approx(1 / other.ratio.high, rel=1e-6)
    assert one.below == pytest.approx(1 - other.below, abs=1e-6)
    assert one.ratio.value == pytest.approx(1 / other.ratio.value, rel=1e-9)
    narrow = scattered_ratio(first, second, UsualScatter(0.3, 1e-9), level=0.5).ratio
    assert one.ratio.low < narrow.low < narrow.high < one.ratio.high
    assert (narrow.level, narrow.unit) == (0.5, "")
    none = scattered_ratio(group(0, 0), first, None).ratio
    assert (none.value, none.low) == (0.0, 0.0)
