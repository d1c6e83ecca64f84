"""Levenberg-Marquardt within bounds: it comes to the least there is, at a border too."""

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from edgetest.photo.descent import Damping, descend, least_within


def _box(rng, size):
    low = -rng.exponential(0.5, size) * (rng.random(size) > 0.3)
    high = rng.exponential(0.5, size) * (rng.random(size) > 0.3)
    return low, np.maximum(high, low + 0.01)


@pytest.mark.parametrize("seed", range(20))
def test_a_step_is_the_least_of_the_quadratic_within_its_box(seed):
    rng = np.random.default_rng(seed)
    size = int(rng.integers(2, 10))
    slopes, target = rng.standard_normal((size + 2, size)), 3 * rng.standard_normal(size + 2)
    low, high = _box(rng, size)
    step = least_within(slopes.T @ slopes, -slopes.T @ target, low, high)
    best = lsq_linear(slopes, target, (low, high), method="bvls")
    assert 0.5 * np.sum((slopes @ step - target) ** 2) == pytest.approx(best.cost, rel=1e-6)


@pytest.mark.parametrize("seed", range(10))
def test_a_parameter_at_its_bound_does_not_hold_up_the_others(seed):
    rng = np.random.default_rng(seed)
    # Two parameters alike but for a little: what one may not do, the other must.
    slopes = rng.standard_normal((12, 3))
    slopes[:, 1] = 0.95 * slopes[:, 0] + 0.1 * slopes[:, 1]
    target = slopes @ np.array([-2.0, 3.0, 1.0])
    bounds = np.array([0.0, -9, -9]), np.array([9.0, 9, 9])

    def state_of(theta):
        off = slopes @ theta - target
        return off @ off, slopes.T @ off, slopes.T @ slopes

    damping = Damping(turns=12, ease=5, press=8, most=1e4)
    theta, state = descend(state_of, np.ones(3), np.full(3, 1.0), bounds, damping)
    best = lsq_linear(slopes, target, bounds, method="bvls")
    assert theta[0] == 0
    assert state[0] == pytest.approx(2 * best.cost, rel=1e-3)
