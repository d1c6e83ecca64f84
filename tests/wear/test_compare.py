"""The comparison of heat treatments by their blades."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.compare import compare_lives

SIX = np.log([410.0, 455.0, 432.0, 540.0, 590.0, 561.0])


def compare(log_life=SIX, se=None, first=3, **options):
    n = len(log_life)
    blade = [f"blade {i}" for i in range(n)]
    treatment = ["A"] * first + ["B"] * (n - first)
    return compare_lives(blade, treatment, log_life, se, **options)


def test_ratio_is_that_of_the_geometric_means():
    found = compare()
    assert_allclose(found.ratio.estimate, np.exp(SIX[3:].mean() - SIX[:3].mean()), rtol=1e-12)


def test_swapping_the_reference_inverts_the_ratio():
    there, back = compare(), compare(reference="B")
    ends = 1 / np.array([back.ratio.estimate, back.ratio.high, back.ratio.low])
    assert_allclose([there.ratio.estimate, there.ratio.low, there.ratio.high], ends, rtol=1e-12)
    assert_allclose(there.probability_longer, 1 - back.probability_longer, rtol=1e-9)
    assert (there.practical.verdict, back.practical.verdict) == ("longer", "shorter")


def test_one_blade_each_speaks_of_the_blades_only():
    found = compare(SIX[[0, 3]], [0.03, 0.04], first=1)
    half_width = 1.959963984540054 * 0.05
    assert found.scope == "blades"
    assert "one_blade_per_treatment" in found.warnings
    assert_allclose(np.log(found.ratio.high / found.ratio.estimate), half_width, rtol=1e-9)
    assert found.probability_longer is None
    assert found.blades_needed >= 2


def test_unequal_lengths_are_named():
    with pytest.raises(UnusableInput, match="log_life_se: 2 values for 6 blades"):
        compare(se=[0.1, 0.1])
