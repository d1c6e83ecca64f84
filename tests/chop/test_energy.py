import json

import numpy as np
import pytest

from edgetest.chop.balance import Hold, balance_of
from edgetest.chop.energy import (
    Swing,
    depth_per_joule,
    joules_per_cm2,
    product,
    quotient,
    standard_blow,
)
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate


def tool(mass=0.52, balance_m=0.165, inertia=0.0072, *, strike_mm=310.0):
    draws = np.outer([mass, balance_m, inertia, 0.060, strike_mm / 1e3], np.ones(100))
    best = (mass, balance_m, inertia)
    return balance_of(best, draws, Hold(60, strike_mm), source="measured")


def test_all_energy_is_given_at_the_swings_centre_of_percussion():
    elbow = 0.060 - 0.350
    arm = 0.165 - elbow
    centre_mm = 1e3 * (elbow + (0.0072 + 0.52 * arm**2) / (0.52 * arm))
    at, beyond = standard_blow(tool(strike_mm=centre_mm)), standard_blow(tool(strike_mm=380))
    assert at.share_delivered.value == pytest.approx(1)
    assert beyond.share_delivered.value < 0.9
    assert beyond.speed_m_s.value > at.speed_m_s.value
    assert beyond.energy_j.value < at.energy_j.value


def test_energy_never_exceeds_the_work():
    """Tool and arm share the work; without an arm's inertia the tool takes it all."""
    swing = Swing(work_j=40, arm_inertia_kg_m2=0.0)
    elbow = 0.060 - 0.350
    arm = 0.165 - elbow
    centre_mm = 1e3 * (elbow + (0.0072 + 0.52 * arm**2) / (0.52 * arm))
    blow = standard_blow(tool(strike_mm=centre_mm), swing)
    assert blow.energy_j.value == pytest.approx(40)
    assert standard_blow(tool()).energy_j.value < 40


def test_heavier_tool_is_slower_and_hits_harder():
    light, heavy = (standard_blow(tool(mass, inertia=mass * 0.0138)) for mass in (0.4, 0.8))
    assert heavy.speed_m_s.value < light.speed_m_s.value
    assert heavy.energy_j.value > light.energy_j.value


def test_depth_and_wood_per_joule():
    blow = standard_blow(tool())
    depth = Estimate(12.0, 10.8, 13.3333333, "mm per chop")
    per = depth_per_joule(depth, blow)
    assert per.value == pytest.approx(12 / blow.energy_j.value)
    # The blow is drawn without spread, so the relative interval is the depth's own.
    assert per.high / per.value == pytest.approx(1 / 0.9, rel=1e-6)
    wood = joules_per_cm2(Estimate(70.0, 60.0, 80.0, "chops per 100 cm²"), blow)
    assert wood.value == pytest.approx(0.7 * blow.energy_j.value)


def test_relative_intervals_add_in_quadrature():
    one = Estimate(2.0, 2 / 1.3, 2 * 1.3, "a")
    other = Estimate(5.0, 5 / 1.4, 5 * 1.4, "b")
    expected = np.exp(np.hypot(np.log(1.3), np.log(1.4)))
    for combined, value in ((quotient(one, other, ""), 0.4), (product(one, other, ""), 10.0)):
        assert combined.value == pytest.approx(value)
        assert combined.high / combined.value == pytest.approx(expected)
    with pytest.raises(UnusableInput, match="above zero"):
        quotient(Estimate(1.0, 0.0, 2.0, ""), other, "mm per J")


def test_assumptions_travel_with_the_figure():
    blow = standard_blow(tool())
    assert "40 J of work" in blow.summary()
    assert blow.to_dict()["warnings"][0]["code"] == "assumed_swing"
    json.dumps(blow.to_dict(), allow_nan=False)
    with pytest.raises(UnusableInput, match="work above zero"):
        standard_blow(tool(), Swing(work_j=0))


def test_speed_and_energy_of_a_blow_by_hand():
    """Work shared by arm and tool about the elbow; the mass that acts at the strike point."""
    mass, balance, inertia, grip, strike = 0.52, 0.165, 0.0072, 0.060, 0.310
    swing, found = Swing(), standard_blow(tool())
    elbow = grip - swing.elbow_to_grip_mm / 1000
    whole = swing.arm_inertia_kg_m2 + inertia + mass * (balance - elbow) ** 2
    speed = (2 * swing.work_j / whole) ** 0.5 * (strike - elbow)
    acting = 1 / (1 / mass + (strike - balance) ** 2 / inertia)
    assert found.speed_m_s.value == pytest.approx(speed, rel=1e-12)
    assert found.energy_j.value == pytest.approx(acting * speed**2 / 2, rel=1e-12)
