"""Laws compared by AICc: the true one leads, and a choice that cannot be made is not made."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.curve.law_choice import rank_laws
from edgetest.wear.curve.stage_cells import wear_readings

STAGES = np.array([0, 5, 10, 20, 40, 80, 120, 160, 240, 320.0])


def rows(curve, blades=4, cv=0.02, seed=1):
    rng = np.random.default_rng(seed)
    blade = np.repeat([f"{b}" for b in range(blades)], len(STAGES))
    value = np.tile(curve, blades) * np.exp(cv * rng.standard_normal(len(blade)))
    return blade, np.tile(STAGES, blades), value


@pytest.mark.parametrize(
    ("curve", "law"),
    [
        (np.sqrt(4 + 0.3 * STAGES), "wedge, p = 2"),
        (2 + 0.03 * STAGES, "wedge, p = 1"),
        ((2**3.2 + 5 * STAGES) ** (1 / 3.2), "wedge, p shared"),
        (200 * (1 + 1.4 * (1 - np.exp(-STAGES / 30))), "saturating"),
    ],
)
def test_the_true_law_leads(curve, law):
    ranked = rank_laws(wear_readings(*rows(curve)))
    assert ranked[0].law == law
    assert ranked[0].behind == 0
    assert sum(s.weight for s in ranked) == pytest.approx(1)


def test_falling_laws():
    ranked = rank_laws(wear_readings(*rows(20 * (1 + STAGES / 9) ** -0.6)), direction=-1)
    assert ranked[0].law == "falling_power"
    assert ranked[0].to_dict()["law"] == "falling_power"


@pytest.mark.parametrize(("blades", "k"), [(1, 3), (2, 5), (3, 7)])
def test_the_criterion_by_hand(blades, k):
    """Hurvich and Tsai (1989): a scale and a rate of each blade, and the residual variance."""
    blade, cuts, value = rows(np.sqrt(4 + 0.3 * STAGES), blades=blades, cv=0.05, seed=3)
    score = next(s for s in rank_laws(wear_readings(blade, cuts, value)) if s.law == "wedge, p = 2")
    n = 10 * blades
    sse = score.residual_sd**2 * (n - k + 1)
    by_hand = n * np.log(sse / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1)
    assert score.aicc == pytest.approx(by_hand, rel=1e-12)


def test_refuses_to_choose_from_four_stages():
    with pytest.raises(UnusableInput, match="six stages a blade"):
        rank_laws(wear_readings(["A"] * 4, [0, 10, 20, 40], [2, 3, 4, 5]))
