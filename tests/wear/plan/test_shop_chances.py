"""What a plan buys where differences are as the shop's: against studies drawn one by one."""

import numpy as np
import pytest

from edgetest.stats.contrast import pooled_t
from edgetest.stats.linked_studies import StudyEffects
from edgetest.stats.power import Power
from edgetest.stats.true_spread import learnt_spread
from edgetest.wear.plan.design_result import Curve
from edgetest.wear.plan.pooled_blades import power_to_tell
from edgetest.wear.plan.shop_chances import shop_chance

SCATTER = 0.15


@pytest.fixture(scope="module")
def spread():
    """Six studies whose treatments differ by some 25 %."""
    effects = (0.3, -0.2, 0.25, -0.35, 0.1, 0.2)
    return learnt_spread([
        StudyEffects((f"a{n}", f"b{n}"), np.array([each]), np.array([[0.005]]))
        for n, each in enumerate(effects)
    ])  # fmt: skip


@pytest.fixture(scope="module")
def chance(spread):
    """Of blades that share no roll."""
    numbers = (2, 4, 8)
    powers = tuple(Power(float(power_to_tell(n, 1.25, SCATTER)), 0.0, "exact", None, "t")
                   for n in numbers)  # fmt: skip
    return shop_chance(spread, 1.25, Curve(numbers, powers), 1.2 * SCATTER)


def test_share_shown_is_that_of_studies_drawn_from_the_spread(spread, chance):
    rng = np.random.default_rng(3)
    tau = rng.choice(spread.nodes, 40_000, p=spread.masses)
    truth = tau * rng.normal(size=40_000)
    for n, told in chance.shown.items():
        first = rng.normal(0, SCATTER, (len(truth), n))
        second = truth[:, None] + rng.normal(0, SCATTER, (len(truth), n))
        found = pooled_t(first, second)
        shown = np.mean(np.abs(found.difference) > found.half_width)
        assert told.value == pytest.approx(shown, abs=0.01)
        assert told.low < told.value < told.high
    assert chance.beyond.value == pytest.approx(np.mean(np.abs(truth) > np.log(1.25)), abs=0.01)


def test_more_blades_show_more_and_each_is_said_with_its_interval(chance):
    values = [each.value for each in chance.shown.values()]
    assert values == sorted(values)
    difference, tests = chance.sentences((2, 8))
    assert "25 % or more" in difference
    assert tests.count(" to ") == 2
