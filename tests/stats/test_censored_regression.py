"""A contrast of log lives known exactly or to an interval, against least squares and scipy."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize
from scipy.special import stdtrit
from scipy.stats import norm
from scipy.stats import t as student

from edgetest.stats.censored_regression import (
    CensoredContrast,
    T,
    _alike,
    _inverted,
    _joined,
    censored_contrast,
)
from edgetest.stats.contrast import guarded_t, pooled_t, welch_t
from edgetest.stats.interval_likelihood import highest
from edgetest.stats.multiple_comparisons import Family

SINGLE = Family("sidak", 1)
A, B = np.log([400, 455, 430.0]), np.log([520, 590, 561.0])


def of_groups(*groups):
    """Design with a mean for each group."""
    return np.repeat(np.eye(len(groups)), [len(group) for group in groups], axis=0)


def checked(y, stages):
    """Ends between which lives lie that were looked at after each of these stages."""
    ends = np.log(np.r_[0.0, stages, np.inf], where=np.r_[0.0, stages, np.inf] > 0,
                  out=np.full(len(stages) + 2, -np.inf))  # fmt: skip
    place = np.searchsorted(ends, y)
    return ends[place - 1], ends[place]


@pytest.mark.parametrize("width", [0.0, 1e-5])
def test_lives_known_give_the_t_interval_of_least_squares(width):
    y, t = np.r_[A, B], pooled_t(A, B)
    found = censored_contrast(of_groups(A, B), y - width / 2, y + width / 2, [-1, 1])
    # Through the likelihood (width above 0) the curve is interpolated: 1e-6 of the half width.
    close = {"rtol": 1e-12 if width == 0 else 1e-6}
    assert_allclose(found.limits(0.95, SINGLE), [t.low, t.high], **close)
    assert_allclose(found.limits(0.95, Family("range", 3)), t.limits(0.95, Family("range", 3)),
                    **close)  # fmt: skip
    assert_allclose([found.difference, found.stderr, found.df], [t.difference, t.stderr, 4.0],
                    rtol=1e-6)  # fmt: skip
    assert_allclose(found.probability_above(0.1), t.probability_above(0.1), rtol=1e-4)


@pytest.mark.parametrize(("short", "rule"), [(2, guarded_t), (3, welch_t)])
def test_a_scatter_each_gives_welchs_t_and_guards_a_group_of_two(short, rule):
    first, second = A[:short], np.r_[B, np.log([640, 601.0])]
    y, groups = np.r_[first, second], np.repeat([0, 1], [short, 5])
    for width, rtol in ((0.0, 1e-9), (1e-5, 1e-4)):
        found = censored_contrast(
            of_groups(first, second), y - width / 2, y + width / 2, [-1, 1], scatter=groups
        )
        t = rule(first, second)
        assert_allclose(found.df, t.df, rtol=rtol)
        assert_allclose(found.limits(0.95, SINGLE), [t.low, t.high], rtol=10 * rtol)


def test_the_limits_are_where_the_likelihood_has_fallen_by_t():
    design = np.column_stack([of_groups(A, B), np.tile([0, 1, 0.0], 2)])  # a block beside
    low = np.log([400, 450, 420, 500, 550, 540.0])
    high = np.r_[np.log([420, 475, 440, 540]), np.inf, np.log(580)]

    def lost(params, held=None):
        mean = design @ (params[1:] if held is None else np.r_[params[1], params[1] + held,
                                                               params[2]])  # fmt: skip
        ends = (low - mean) / np.exp(params[0]), (high - mean) / np.exp(params[0])
        return -np.log(norm.cdf(ends[1]) - norm.cdf(ends[0])).sum()

    found = censored_contrast(design, low, high, [-1, 1, 0])
    assert found.df == 5 - 3
    best = minimize(lost, [-2.5, 6.05, 6.3, 0.1], method="Nelder-Mead",
                    options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 9000})  # fmt: skip
    for end in found.limits(0.95, SINGLE):
        there = minimize(lost, [-2.0, 6.05, 0.1], args=(end,), method="Nelder-Mead",
                         options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 9000})  # fmt: skip
        t = np.sqrt(found.df * np.expm1(2 * (there.fun - best.fun) / 5))
        assert_allclose(t, stdtrit(2.0, 0.975), rtol=2e-3)


def test_lives_in_one_check_each_are_no_narrower_than_the_checks():
    # All of the first between 200 and 400, all of the second between 400 and 800 cuts: any
    # ratio from 1 to 4 is met with certainty.
    low, high = np.log([200, 200, 400, 400.0]), np.log([400, 400, 800, 800.0])
    found = censored_contrast(of_groups([1, 1], [1, 1]), low, high, [-1, 1])
    ends = found.limits(0.95, SINGLE)
    assert ends[0] < 0
    assert ends[1] > np.log(4)
    assert_allclose(found.difference, np.log(2), atol=1e-3)


def test_a_group_that_ran_on_leaves_one_end_open():
    low, high = np.r_[A, B], np.r_[A, np.full(3, np.inf)]
    found = censored_contrast(of_groups(A, B), low, high, [-1, 1])
    ends = found.limits(0.95, SINGLE)
    assert found.difference == np.inf
    assert ends[1] == np.inf
    assert 0 < ends[0] < B.mean() - A.mean()
    turned = censored_contrast(of_groups(A, B), low, high, [1, -1])
    assert_allclose(turned.limits(0.95, SINGLE)[1], -ends[0], atol=1e-6)
    assert found.probability_above() > 0.95


def test_one_life_each_tells_no_scatter_and_gives_no_limits():
    for high in ([5.0, 6.0], [5.2, 6.2], [5.5, np.inf]):
        low = [5.0, 6.0]
        found = censored_contrast(np.eye(2), low, high, [-1, 1])
        assert found.df < 1
        assert found.limits(0.95, SINGLE) == (-np.inf, np.inf)
        assert found.probability_above() == 0.5
    same = censored_contrast(of_groups([1, 1], [1, 1]), [5, 5, 6, 6], [5, 5, 6, 6], [-1, 1])
    assert same.limits(0.95, SINGLE) == (-np.inf, np.inf)


def test_nothing_known_has_no_limits():
    nothing = censored_contrast(np.eye(2), [-np.inf] * 2, [np.inf] * 2, [-1, 1])
    assert nothing.limits(0.95, SINGLE) == (-np.inf, np.inf)


def test_what_the_design_cannot_tell_has_no_limits():
    # Each heat treatment in a block of its own: block and heat treatment are one.
    design = np.column_stack([of_groups(A, B), of_groups(A, B)])
    y = np.r_[A, B]
    assert censored_contrast(design, y, y, [-1, 1, 0, 0]).df == 0
    assert censored_contrast(design, y, y, [-1, 1, -1, 1]).df == 4


def test_a_block_in_which_both_ran_on_says_nothing():
    rng = np.random.default_rng(6)
    block, second = np.tile(np.arange(4), 2), np.repeat([0.0, 1.0], 4)
    y = 5 + 0.2 * second + 0.3 * rng.standard_normal(4)[block] + 0.1 * rng.standard_normal(8)
    high, design = np.where(block == 3, np.inf, y), np.column_stack([np.eye(4)[block], second])
    found = censored_contrast(design, y, high, [0, 0, 0, 0, 1])
    kept = block < 3
    without = censored_contrast(design[kept], y[kept], y[kept], [0, 0, 0, 0, 1])
    assert_allclose(found.limits(0.95, SINGLE), without.limits(0.95, SINGLE), atol=1e-3)


def test_a_known_variance_widens_as_it_does_a_t_interval():
    y, t = np.r_[A, B], pooled_t(A, B)
    found = censored_contrast(of_groups(A, B), y, y, [-1, 1]).widened(0.01)
    half = np.sqrt(t.stderr**2 + 0.01) * stdtrit(4.0, 0.975)
    assert_allclose(found.limits(0.95, SINGLE), [t.difference - half, t.difference + half],
                    rtol=1e-3)  # fmt: skip


def coverage(rng, n, sd, stages, ratio, studies=2000):
    """Share of studies whose 95 % interval holds the true ratio, n blades a side."""
    design = of_groups(range(n), range(n))
    y = np.log(200) + np.log(ratio) * design[:, 1] + sd * rng.standard_normal((studies, 2 * n))
    low, high = checked(y, stages)
    top, _ = highest(design, low, high)
    held, _ = highest(np.ones((2 * n, 1)), low - np.log(ratio) * design[:, 1],
                      high - np.log(ratio) * design[:, 1])  # fmt: skip
    t = np.sqrt((2 * n - 2) * np.expm1(np.maximum(top - held, 0) / n))
    return (t < stdtrit(2 * n - 2, 0.975)).mean()


@pytest.mark.parametrize("n", [2, 3])
@pytest.mark.parametrize("stages", [np.arange(10, 3000, 10.0), 25 * 2.0 ** np.arange(9)])
def test_checks_of_any_spacing_cover_at_least_what_they_say(n, stages):
    rng = np.random.default_rng(31)
    found = [coverage(rng, n, sd, stages, ratio) for sd in (0.05, 0.3) for ratio in (1.0, 1.5)]
    assert min(found) > 0.935  # 2000 studies: standard error 0.005


def test_of_values_all_known_confidence_and_widening_are_those_of_the_t_interval():
    design = np.repeat(np.eye(2), 4, axis=0)
    y = np.array([6.0, 6.2, 6.1, 6.4, 6.5, 6.6, 6.3, 6.9])
    found = censored_contrast(design, y, y, [-1.0, 1.0])
    plain = pooled_t(y[:4], y[4:])
    for shift in (0.0, 0.2, 0.5):
        told = float(plain.probability_above(shift))
        assert found.probability_above(shift) == pytest.approx(told, abs=2e-3)
    assert found.probability_above() == found.probability_above(0.0)
    wide = found.widened(0.2**2)
    assert wide.stderr == pytest.approx(np.hypot(0.2, float(plain.stderr)), rel=1e-3)
    assert wide.difference == found.difference
    assert found.widened(0.0) is found


def test_bounds_alone_are_not_widened_and_tell_no_chance():
    design = np.repeat(np.eye(2), 2, axis=0)
    open_ends = np.full(4, np.inf)
    found = censored_contrast(design, [6.0, 6.1, 6.2, 6.3], open_ends, [-1.0, 1.0])
    assert found.df < 1
    assert found.probability_above() == 0.5
    assert found.widened(0.04) is found
    assert found.stderr == np.inf


def test_an_end_is_told_as_far_as_the_last_place_that_is_known():
    """Shifts known up to one place of the grid: a level just short of it has an end, one past it
    none.
    """
    last = T.size - 30
    shift = np.where(np.arange(T.size) <= last, 0.2 + 0.05 * T, np.inf)
    told = CensoredContrast(0.2, 8.0, shift, "test")
    for t in (0.4 * T[last - 1] + 0.6 * T[last], T[last] * 1.01):
        level = 2 * student.cdf(t, 8.0) - 1
        low, high = told.limits(level, SINGLE)
        assert_allclose(low, 0.2 - 0.05 * t, rtol=1e-6)
        assert_allclose(high, 0.2 + 0.05 * t if t < T[last] else np.inf, rtol=1e-6)


def test_without_a_degree_of_freedom_the_chance_is_a_half():
    told = CensoredContrast(0.2, 0.0, 0.2 + 0.05 * T, "test")
    assert told.probability_above(0.0) == 0.5
    assert told.limits(0.95, SINGLE) == (-np.inf, np.inf)
    assert told.stderr == np.inf


def test_fewer_values_than_effects_tell_a_difference_and_no_limits():
    y = np.log([400.0, 520.0])
    found = censored_contrast(np.eye(3)[:2], y, y, [-1, 1, 0])
    assert found.difference == pytest.approx(y[1] - y[0])
    assert found.limits(0.95, SINGLE) == (-np.inf, np.inf)


def test_groups_joined_add_their_arms_in_squares_and_share_their_degrees():
    """MOVER: each limit's distance is the root of both; df by Welch's shares, guarded of two."""
    first = CensoredContrast(-6.0, 2.0, -6.0 + 0.3 * T, "a")
    second = CensoredContrast(6.5, 4.0, 6.5 + 0.4 * T, "b")
    for least, power in ((2, 1), (3, 2)):
        found = _joined([(first, least), (second, 5)])
        shares = np.array([0.36, 0.64])
        assert found.df == pytest.approx(1 / (shares**power / [2.0, 4.0]).sum(), rel=1e-4)
        assert found.difference == pytest.approx(0.5)
        assert_allclose(found.shift, 0.5 + 0.5 * T, rtol=1e-9, atol=1e-12)
    unknown = CensoredContrast(6.5, 0.0, 6.5 + 0.4 * T, "b")
    assert _joined([(first, 3), (first, 3)]).df == pytest.approx(4.0)
    assert unknown.stderr == np.inf


def test_a_group_without_a_scatter_of_its_own_shares_the_others():
    """One life of the second: both have one scatter, and the t interval of least squares."""
    y = np.r_[A, B[:1]]
    found = censored_contrast(of_groups(A, B[:1]), y, y, [-1, 1], scatter=[0, 0, 0, 1])
    half = stdtrit(2.0, 0.975) * A.std(ddof=1) * (1 / 3 + 1) ** 0.5
    assert found.df == 2.0
    assert_allclose(found.limits(0.95, SINGLE), B[0] - A.mean() + np.array([-half, half]))


def test_effects_that_the_contrast_does_not_ask_for_lend_no_scatter():
    y, c = np.r_[A, B, 7.0, 9.0], np.repeat([0, 1, 2], [3, 3, 2])
    design = np.eye(3)[c]
    found = censored_contrast(design, y, y, [-1, 1, 0], scatter=c)
    plain = welch_t(A, B)
    assert_allclose(found.limits(0.95, SINGLE), [plain.low, plain.high], rtol=1e-9)


def test_values_met_to_all_digits_are_alike():
    design = np.column_stack([np.ones(3), [0.0, 1.0, 2.0]])
    assert _alike(design, np.array([1.0, 2.0, 3.0 + 1e-9]))
    assert not _alike(design, np.array([1.0, 2.0, 3.0 + 1e-8]))


def test_limits_follow_from_differences_and_their_t():
    """A t that is a straight line of the difference gives it back; beyond it all is open."""
    t = np.linspace(-3.0, 3.0, 61)
    found = _inverted(t, 0.2 + 0.1 * t, 5.0)
    near = np.abs(T) < 2.9
    assert_allclose(found.shift[near], 0.2 + 0.1 * T[near], atol=1e-6)
    assert (found.shift[T > 3.1] == np.inf).all()
    assert (found.shift[T < -3.1] == -np.inf).all()
    assert (found.difference, found.df) == (pytest.approx(0.2), 5.0)
    up = _inverted(np.linspace(-3.0, 0.0, 61), np.linspace(0.0, 1.0, 61), 5.0)
    assert up.difference == np.inf
    assert np.isnan(_inverted(np.full(9, 9.0), np.linspace(0.0, 1.0, 9), 5.0).difference)
