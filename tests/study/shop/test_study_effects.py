"""Scatter of blades and of the control blade's runs, each from what its own runs leave over."""

import numpy as np
import pytest

from edgetest.study.shop.study_effects import effects_of, scatters_of, tails_of, within_study
from edgetest.study.shop.study_lives import ArmLife

CONTROL = "control blade K"


def study(rng, blade_sd, control_sd, *, rolls=3, arms="ab", control=True, runs=1):
    """Lives about their rolls; each blade is run on `runs` rolls' worth of the same life."""
    lives = []
    for roll in range(rolls):
        shared = 0.3 * rng.normal()
        for arm in arms:
            life = 5 + shared + blade_sd * rng.normal()
            lives += [ArmLife(arm, f"{arm}{roll}", f"roll {roll}", life, 0.02)] * runs
        if control:
            life = 5 + shared + control_sd * rng.normal()
            lives.append(ArmLife(CONTROL, "K", f"roll {roll}", life, 0.02))
    return within_study(lives, CONTROL if control else "")


def test_runs_of_one_blade_count_as_one_in_the_effect():
    lives = [
        ArmLife("a", "a1", "roll 1", 5.0, 0.02), ArmLife("a", "a1", "roll 1", 5.2, 0.02),
        ArmLife("a", "a2", "roll 1", 5.5, 0.02), ArmLife("b", "b1", "roll 1", 6.0, 0.02),
    ]  # fmt: skip
    assert within_study(lives).log_effects == pytest.approx([6.0 - (5.1 + 5.5) / 2])


def test_what_tells_the_tails_by_hand():
    residual = np.array([[0.5, 0.1], [0.2, 0.25]])
    fourth = 0.5**4 + 0.1**4 + 0.2**4 + 0.25**4
    expected = [1 + 16, 0.5**2 + 0.25**2, fourth, 0.75]
    assert tails_of(np.array([1.0, -2.0]), residual) == pytest.approx(expected)


def test_the_control_s_scatter_is_told_from_the_blades():
    rng = np.random.default_rng(4)
    found = [study(rng, 0.20, 0.05) for _ in range(2000)]
    blades, control, df = scatters_of(found)
    assert blades == pytest.approx(0.20, rel=0.03)
    assert control == pytest.approx(0.05, abs=0.02)
    assert df == 2000 * 4


def test_covariance_is_that_of_the_effects():
    """Against the scatter of the effects over many studies, which all have the same truth."""
    rng = np.random.default_rng(5)
    found = [study(rng, 0.20, 0.05) for _ in range(3000)]
    seen = np.cov(np.array([each.log_effects for each in found]).T)
    told = effects_of(found[0], (0.20, 0.05)).covariance
    assert told == pytest.approx(seen, rel=0.12)


def test_without_a_control_blade_one_scatter_is_pooled():
    rng = np.random.default_rng(6)
    found = [study(rng, 0.1, 0.1, control=False) for _ in range(50)]
    blades, control, df = scatters_of(found)
    assert blades == control
    assert blades**2 == pytest.approx(sum(each.squares.sum() for each in found) / df)


def test_a_blade_run_twice_counts_once():
    once, twice = (
        scatters_of([study(np.random.default_rng(7), 0.1, 0.1, control=False, runs=runs)])
        for runs in (1, 2)
    )
    assert twice == pytest.approx(once)


def test_one_blade_of_each_tells_no_scatter():
    sd, control, df = scatters_of([study(np.random.default_rng(8), 0.1, 0.1, rolls=1)])
    assert np.isnan([sd, control]).all()
    assert df == 0
