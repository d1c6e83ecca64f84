"""The likelihood of values known to intervals: its summit by another way, alone and together."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize
from scipy.stats import norm

from edgetest.stats.interval_likelihood import (
    _density_share,
    _likelihood,
    _newton,
    highest,
    middles,
)

DESIGN = np.column_stack([np.ones(8), np.repeat([0.0, 1.0], 4)])
LOW = np.array([1.0, 1.2, 0.7, 1.4, 2.0, 1.7, 2.2, -np.inf])
HIGH = np.array([1.0, 1.5, 1.1, np.inf, 2.0, 2.4, 2.2, 2.6])


def by_hand(design, low, high):
    """Least negative log-likelihood by the simplex, exact values by their density."""

    def loss(params):
        mean, sd = design @ params[1:], np.exp(params[0])
        exact = low == high
        told = norm.logpdf(low, mean, sd)[exact].sum()
        return -told - np.log((norm.cdf(high, mean, sd) - norm.cdf(low, mean, sd))[~exact]).sum()

    best = minimize(
        loss, [-1.0, 1.0, 0.5], method="Nelder-Mead",
        options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 20000, "maxfev": 20000},
    )  # fmt: skip
    return -best.fun, np.exp(best.x[0]), best.x[1:]


def test_the_summit_is_that_of_another_way():
    value, sd, effects = by_hand(DESIGN, LOW, HIGH)
    height, params = highest(DESIGN, LOW[None], HIGH[None])
    assert_allclose(height, [value], rtol=1e-8)
    assert_allclose(1 / params[0, 0], sd, rtol=1e-4)
    assert_allclose(params[0, 1:] / params[0, 0], effects, rtol=1e-4)


def test_many_sets_are_climbed_as_each_alone_and_follow_their_scale():
    sets = np.array([LOW, 3 * LOW + 5, LOW + 0.4]), np.array([HIGH, 3 * HIGH + 5, HIGH + 0.4])
    together, params = highest(DESIGN, *sets)
    alone, own = highest(DESIGN, LOW[None], HIGH[None])
    exact = 3
    assert_allclose(together - alone, [0, -exact * np.log(3), 0], atol=1e-7)
    assert_allclose(params[1, 0], own[0, 0] / 3, rtol=1e-5)
    assert_allclose(params[2, 1] / params[2, 0], own[0, 1] / own[0, 0] + 0.4, rtol=1e-5)


def test_values_all_exact_have_the_least_squares_summit():
    y = np.array([1.0, 1.3, 0.8, 1.1, 2.0, 1.9, 2.4, 2.2])
    rest = np.r_[y[:4] - y[:4].mean(), y[4:] - y[4:].mean()]
    variance = (rest**2).mean()
    height, params = highest(DESIGN, y[None], y[None])
    assert_allclose(height, [-4 * (np.log(2 * np.pi * variance) + 1)], rtol=1e-9)
    assert_allclose(1 / params[0, 0] ** 2, variance, rtol=1e-4)


def test_a_value_stands_in_its_middle_or_at_the_end_that_it_has():
    found = middles(np.array([1.0, -np.inf, 2.0]), np.array([3.0, 5.0, np.inf]))
    assert found.tolist() == [2.0, 5.0, 2.0]
    assert middles(np.array([-np.inf]), np.array([np.inf])) == pytest.approx(0.0)


@pytest.mark.parametrize("params", [(1.3, 1.2, 0.9), (0.4, 0.1, 2.0)])
def test_the_likelihood_is_scipys_and_its_slopes_and_bends_those_of_differences(params):
    exact, params = HIGH - LOW < 1e-6, np.array([params])

    def told(at):
        return _likelihood(DESIGN, LOW[None], HIGH[None], exact[None], at)

    value, gradient, bend = told(params)
    mean, sd = DESIGN @ params[0, 1:] / params[0, 0], 1 / params[0, 0]
    chance = norm.cdf(HIGH, mean, sd) - norm.cdf(LOW, mean, sd)
    by_hand = norm.logpdf(LOW, mean, sd)[exact].sum() + np.log(chance[~exact]).sum()
    assert_allclose(value, [by_hand], rtol=1e-12)
    steps = 1e-5 * np.eye(3)
    for i, h in enumerate(steps):
        ahead, behind = told(params + h), told(params - h)
        assert_allclose(gradient[0, i], (ahead[0] - behind[0])[0] / 2e-5, rtol=1e-6, atol=1e-8)
        assert_allclose(bend[0, i], -(ahead[1] - behind[1])[0] / 2e-5, rtol=1e-5, atol=1e-8)


def test_a_step_uphill_solves_the_curvature_and_a_flat_direction_is_not_gone():
    bend = np.array([[[4.0, 1.0], [1.0, 100.0]], [[2.0, 0.0], [0.0, 0.0]]])
    step = _newton(bend, np.array([[1.0, 2.0], [3.0, 0.0]]))
    assert_allclose(step[0], np.linalg.solve(bend[0], [1.0, 2.0]), rtol=1e-7)
    assert_allclose(step[1], [1.5, 0.0], rtol=1e-7)


def test_an_interval_is_a_value_where_it_is_narrower_than_a_millionth():
    """Its likelihood is then the density's, not the chance of a millionth."""
    y = np.array([1.0, 1.3, 0.8, 1.1, 2.0, 1.9, 2.4, 2.2])
    exact, _ = highest(DESIGN, y[None], y[None])
    for width, lost in ((9e-7, 0.0), (1.1e-6, -np.log(1.1e-6))):
        found, _ = highest(DESIGN, y[None], y[None] + width)
        assert_allclose(exact - found, [8 * lost], atol=1e-4)


def test_the_start_is_any_place_an_interval_names():
    assert middles(np.array([2.0]), np.array([6.0])).tolist() == [4.0]
    ends = np.array([[0.1, 2.0], [-1.5, -np.inf]])
    share = _density_share(ends, np.log(np.full((2, 2), 0.25)))
    assert_allclose(share[0], norm.pdf(ends[0]) / 0.25)
    assert_allclose(share[1, 0], norm.pdf(1.5) / 0.25)
