import numpy as np
import pytest

from edgetest.steel.belief import (
    LifeEvidence,
    life_belief,
)
from edgetest.steel.decision import Losses, Test, expected_loss, value_of_test


def test_value_of_a_test_against_simulation():
    # Preposterior analysis by brute force: draw the truth, the reading, act, average.
    belief = life_belief((LifeEvidence(-0.15, 0.2),), full=0.8, light=0.5, lot=False)
    table = Losses().matrix()
    noise = 0.2
    rng = np.random.default_rng(3)
    truth = rng.normal(belief.mean, np.sqrt(belief.sd**2 - belief.fixed_sd**2), 400_000)
    seen = truth + rng.normal(0, noise, truth.size)
    known = belief.sd**2 - belief.fixed_sd**2
    left = 1 / (1 / known + 1 / noise**2)
    after = left * (belief.mean / known + seen / noise**2)
    after_sd = np.sqrt(left + belief.fixed_sd**2)
    fit = belief.probability(belief.full, after, after_sd)
    light = belief.probability(belief.light, after, after_sd)
    losses = expected_loss(table, fit, light)
    saved = losses.mean(axis=1).min() - losses.min(axis=0).mean()
    test = Test("blade", "a blade", 8.0, {"life": noise})
    assert value_of_test(test, (belief,), table, "piece").saves_h == pytest.approx(saved, abs=0.6)
