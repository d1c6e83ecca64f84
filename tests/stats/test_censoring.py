"""A normal from values known exactly or only between bounds, against scipy's censored fit."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import CensoredData, gumbel_l, norm

from edgetest.stats.censoring import (
    LAWS,
    Constraint,
    Lives,
    _newton_step,
    fit_line,
    log_likelihood,
    normal_log_between,
)


def fitted(low, high):
    """Mean and standard deviation of the normal, from the line of one group."""
    n = len(low)
    lives = Lives(np.array(low), np.array(high), np.zeros(n, int), np.ones(n))
    slope, height = fit_line(LAWS["lognormal"], lives, 1).theta
    return height / slope, 1 / slope


def test_exact_values_give_their_mean_and_standard_deviation():
    x = np.array([58.0, 60.0, 61.0, 63.0])
    assert fitted(x, x) == pytest.approx((x.mean(), x.std()), rel=1e-8)


@pytest.mark.parametrize(("seed", "n"), [(1, 12), (2, 30), (3, 100)])
def test_brackets_and_open_ends_meet_scipys_maximum(seed, n):
    # Invented hardness readings: two fifths known as a bracket of 5, those above 60 as such.
    rng = np.random.default_rng(seed)
    low = rng.normal(58, 2.5, n)
    high = low.copy()
    bracket = rng.random(n) < 0.4
    low[bracket] = 5 * np.floor(high[bracket] / 5)
    high[bracket] = low[bracket] + 5
    above = high > 60
    low[above], high[above] = 60, np.inf
    between = bracket & ~above
    theirs = norm.fit(
        CensoredData(
            uncensored=low[low == high],
            right=low[above],
            interval=np.column_stack([low[between], high[between]]),
        )
    )
    # Its simplex stops within 1e-4 of the maximum.
    assert fitted(low, high) == pytest.approx(theirs, abs=1e-3)


ENDS = [
    (2.0, 2.0), (2.3, 2.3), (1.5, 2.5), (-np.inf, 1.8), (2.4, np.inf),
    (3.0, 3.0), (2.5, 3.5), (3.3, np.inf), (-np.inf, 2.9), (2.8, 2.8),
]  # fmt: skip
MIXED = Lives(*np.transpose(ENDS), np.repeat([0, 1], 5), np.array([1.0, 2, 1, 3, 1, 1, 2, 1, 1, 1]))
LAW_OF = {"lognormal": norm, "weibull": gumbel_l}


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("theta", [(2.0, 4.5, 6.0), (0.7, 1.5, 2.5)])
def test_the_likelihood_and_its_slopes_are_those_of_scipys_law(name, theta):
    """Log life on the normal or the smallest extreme value law; a life's density is in cuts."""
    law, theta = LAW_OF[name], np.array(theta)

    def by_hand(theta):
        value, scale = 0.0, 1 / theta[0]
        for (low, high), group, weight in zip(ENDS, MIXED.group, MIXED.weight, strict=True):
            of = law(theta[1 + group] * scale, scale)
            told = of.logpdf(low) - low if low == high else np.log(of.cdf(high) - of.cdf(low))
            value += weight * told
        return value

    value, gradient, hessian = log_likelihood(LAWS[name], MIXED, theta)
    assert value == pytest.approx(by_hand(theta), rel=1e-10)
    step = 1e-5 * np.eye(3)
    slopes = [(by_hand(theta + h) - by_hand(theta - h)) / 2e-5 for h in step]
    assert gradient == pytest.approx(np.array(slopes), rel=1e-5, abs=1e-6)
    bend = [
        (log_likelihood(LAWS[name], MIXED, theta + h)[1]
         - log_likelihood(LAWS[name], MIXED, theta - h)[1]) / 2e-5
        for h in step
    ]  # fmt: skip
    assert hessian == pytest.approx(np.array(bend), rel=1e-4, abs=1e-5)
    assert LAWS[name].median == pytest.approx(law.median(), abs=1e-12)


@pytest.mark.parametrize("name", LAWS)
def test_the_line_ends_where_nothing_climbs_any_more(name):
    found = fit_line(LAWS[name], MIXED, 2)
    value, gradient, _ = log_likelihood(LAWS[name], MIXED, found.theta)
    assert found.log_likelihood == pytest.approx(value)
    assert gradient == pytest.approx(np.zeros(3), abs=1e-4)
    assert not found.at_bound


def test_far_tails_keep_their_digits():
    """log(Φ(b) - Φ(a)) from the smaller tail: a scipy's logsf where the upper end is open."""
    assert normal_log_between(10.0, np.inf) == pytest.approx(norm.logsf(10.0))
    assert normal_log_between(-np.inf, -30.0) == pytest.approx(norm.logcdf(-30.0))
    assert normal_log_between(8.0, 9.0) == pytest.approx(np.log(norm.sf(8.0) - norm.sf(9.0)))
    assert normal_log_between(-1.0, 2.0) == pytest.approx(np.log(norm.cdf(2.0) - norm.cdf(-1.0)))
    assert normal_log_between(-np.inf, np.inf) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("name", LAWS)
def test_held_to_a_ratio_the_line_is_the_best_of_those_that_keep_it(name):
    """µ2 - µ1 held at log 1.5: theta2 = theta1 + log 1.5 · theta0."""
    hold = Constraint(2, np.array([np.log(1.5), 1.0]))
    found = fit_line(LAWS[name], MIXED, 2, hold=hold).theta
    assert (found[2] - found[1]) / found[0] == pytest.approx(np.log(1.5))

    def loss(pair):
        theta = np.array([np.exp(pair[0]), pair[1], pair[1] + np.log(1.5) * np.exp(pair[0])])
        return -log_likelihood(LAWS[name], MIXED, theta)[0]

    best = minimize(loss, [0.0, 2.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    assert found[:2] == pytest.approx([np.exp(best.x[0]), best.x[1]], rel=1e-5)
    # A median held on the scale of theta: µ1 = 2.2.
    held = fit_line(LAWS[name], MIXED, 2, hold=Constraint(1, np.array([2.2, 0.0]))).theta
    assert held[1] / held[0] == pytest.approx(2.2)


def test_a_scatter_held_or_beyond_belief_stays_where_it_is_put():
    held = fit_line(LAWS["lognormal"], MIXED, 2, scatter=0.4)
    assert held.theta[0] == pytest.approx(2.5)
    assert held.at_bound
    slope = log_likelihood(LAWS["lognormal"], MIXED, held.theta)[1]
    assert slope[1:] == pytest.approx([0.0, 0.0], abs=1e-6)
    x = np.array([2.0, 2.001, 1.999, 2.0])
    tight = fit_line(LAWS["lognormal"], Lives(x, x, np.zeros(4, int), np.ones(4)), 1)
    assert 1 / tight.theta[0] == pytest.approx(0.01)
    assert tight.at_bound
    x = np.array([-90.0, 80.0, -70.0, 95.0])
    wild = fit_line(LAWS["lognormal"], Lives(x, x, np.zeros(4, int), np.ones(4)), 1)
    assert 1 / wild.theta[0] == pytest.approx(30.0)
    assert wild.at_bound
    assert wild.theta[1] / wild.theta[0] == pytest.approx(x.mean())


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("spread", [1e-9, 1000.0])
def test_at_the_end_of_its_scatter_the_medians_still_climb(name, spread):
    """Three lives a group, unevenly weighed, spread less or more than any scatter believed."""
    away = spread * np.array([-1.0, 0.2, 1.1])
    log_lives = np.r_[2.0 + away, 5.0 + away]
    lives = Lives(log_lives, log_lives, np.repeat([0, 1], 3), np.array([1.0, 3, 2, 2, 1, 1]))
    found = fit_line(LAWS[name], lives, 2)
    assert found.at_bound
    _, gradient, _ = log_likelihood(LAWS[name], lives, found.theta)
    assert gradient[1:] == pytest.approx([0, 0], abs=1e-3)
    assert (gradient[0] > 0) == (spread < 1)  # it would go further than it may


def test_a_step_uphill_is_newtons_and_one_in_a_flat_direction_is_held():
    bend, slope = np.array([[-4.0, 1.0], [1.0, -100.0]]), np.array([1.0, 2.0])
    assert _newton_step(bend, slope) == pytest.approx(-np.linalg.solve(bend, slope), rel=1e-8)
    flat = _newton_step(np.array([[-2.0, -2.0], [-2.0, -2.0]]), np.array([1.0, 1.0]))
    assert flat == pytest.approx([0.25, 0.25], rel=1e-4)
    # A curvature turned the wrong way is climbed against by a ridge, uphill all the same.
    assert _newton_step(np.array([[-1.0, 2.0], [2.0, -1.0]]), slope) @ slope > 0


def test_chances_between_far_bounds_of_the_extreme_value_law_keep_their_digits():
    between = LAWS["weibull"].log_between
    assert between(-40.0, -39.0) == pytest.approx(-40.0 + np.log(np.e - 1), rel=1e-9)
    assert between(-np.inf, 1.0) == pytest.approx(gumbel_l.logcdf(1.0))
    assert between(3.0, np.inf) == pytest.approx(gumbel_l.logsf(3.0))


def test_rows_are_taken_with_their_group_and_weight():
    part = MIXED.take(np.array([1, 6]))
    assert (part.low.tolist(), part.high.tolist()) == ([2.3, 2.5], [2.3, 3.5])
    assert (part.group.tolist(), part.weight.tolist()) == ([0, 1], [2.0, 2.0])
    assert part.exact.tolist() == [True, False]


@pytest.mark.parametrize("name", LAWS)
def test_log_lives_moved_and_stretched_move_and_stretch_the_line(name):
    """µ follows, σ is stretched, and of the density of each known life a log goes off."""
    plain = fit_line(LAWS[name], MIXED, 2)
    moved = Lives(3 * MIXED.low + 40, 3 * MIXED.high + 40, MIXED.group, MIXED.weight)
    found = fit_line(LAWS[name], moved, 2)
    assert plain.theta[0] / found.theta[0] == pytest.approx(3.0, rel=1e-6)
    places = [line.theta[1:] / line.theta[0] for line in (plain, found)]
    assert places[1] == pytest.approx(3 * places[0] + 40, rel=1e-6)
    known, weight = MIXED.low[MIXED.exact], MIXED.weight[MIXED.exact]
    lost = weight @ (np.log(3) + 2 * known + 40)  # densities are of lives in cuts
    assert found.log_likelihood == pytest.approx(plain.log_likelihood - lost)


def test_groups_far_apart_that_hardly_scatter_end_at_the_least_scatter():
    """Log lives 10 apart: place over scatter grows far beyond 1/σ itself on the way there."""
    away = 1e-9 * np.array([-1.0, 0.2, 1.1])
    log_lives = np.r_[2.0 + away, 12.0 + away]
    lives = Lives(log_lives, log_lives, np.repeat([0, 1], 3), np.ones(6))
    found = fit_line(LAWS["lognormal"], lives, 2)
    assert found.at_bound
    assert 1 / found.theta[0] == pytest.approx(0.01)
    assert found.theta[1:] / found.theta[0] == pytest.approx([2.0, 12.0])
