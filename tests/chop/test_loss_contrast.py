"""Loss of depth compared: against draws of the two slopes, and the ends that stay open."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.loss_contrast import loss_compared
from edgetest.chop.treatment_pairs import BladeValues, TreatmentPair

PAIR = TreatmentPair("x", "y", ("x1",), ("y1", "y2"))


def of(slopes, cov, df=np.inf, level=0.95):
    return loss_compared(PAIR, BladeValues(("x1", "y1", "y2"), np.array(slopes), cov, df), level)


def test_ends_and_chance_are_those_of_a_million_draws():
    slopes, cov = [-0.10, -0.25, -0.31], np.diag([0.02, 0.03, 0.04]) ** 2 + 1e-4
    rng = np.random.default_rng(1)
    drawn = rng.multivariate_normal(slopes, cov, 1_000_000)
    first, second = 1 - np.exp(drawn[:, 0]), 1 - np.exp(drawn[:, 1:].mean(axis=1))
    found = of(slopes, cov)
    ends = [found.difference.low, found.difference.high]
    assert_allclose(ends, 100 * np.quantile(first - second, [0.025, 0.975]), atol=0.03)
    assert_allclose(
        [found.ratio.low, found.ratio.high], np.quantile(first / second, [0.025, 0.975]), atol=2e-3
    )
    plain = 1 - np.exp(-0.10), 1 - np.exp(-0.28)
    assert found.difference.value == pytest.approx(100 * (plain[0] - plain[1]))
    assert found.ratio.value == pytest.approx(plain[0] / plain[1])
    assert found.probability_less == pytest.approx((first < second).mean(), abs=1e-4)
    near = of([-0.26, -0.25, -0.31], cov)
    first = 1 - np.exp(drawn[:, 0] - 0.16)
    assert near.probability_less == pytest.approx((first < second).mean(), abs=2e-3)
    assert (found.scope, found.df, found.scatter) == ("tools", None, None)
    assert found.ratio.level == found.difference.level == 0.95


def test_few_degrees_of_freedom_widen_as_students_t_does():
    cov = np.diag([1e-4, 1e-4, 1e-4])
    known, few = (of([-0.1, -0.2, -0.2], cov, df).difference for df in (np.inf, 3.0))
    assert (few.high - few.low) / (known.high - known.low) == pytest.approx(3.182 / 1.960, rel=0.02)


def test_a_ratio_is_open_where_the_second_may_lose_nothing_and_none_where_the_first_may():
    cov = np.diag([0.02, 0.03, 0.03]) ** 2
    open_above = of([-0.10, -0.01, -0.02], cov).ratio
    assert open_above.high == np.inf
    assert open_above.low > 0
    none_below = of([-0.01, -0.2, -0.2], cov).ratio
    assert none_below.low == 0.0
    assert 0 < none_below.high < 1
    gains = of([-0.10, 0.01, 0.02], cov).ratio
    assert gains.value == np.inf
