"""How many blades does a pooled t take, by its own formula?"""

from math import inf

import numpy as np
import pytest
from scipy.stats import chi2, nct
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.power import Power
from edgetest.wear.plan import pooled_blades as module
from edgetest.wear.plan.design_result import Curve
from edgetest.wear.plan.pooled_blades import (
    blades_to_tell,
    interval_factor,
    power_to_tell,
    scatter_like,
)
from edgetest.wear.plan.study_design import Goal


def chance(n, ratio, sd, level=0.95):
    df, shift = 2 * n - 2, abs(np.log(ratio)) / (sd * np.sqrt(2 / n))
    at = student.ppf(0.5 + level / 2, df)
    return nct.sf(at, df, shift) + nct.cdf(-at, df, shift)


@pytest.mark.parametrize("level", [0.95, 0.8])
@pytest.mark.parametrize(("n", "ratio", "sd"), [(3, 1.3, 0.15), (5, 0.8, 0.2), (2, 1.5, 0.1)])
def test_the_chance_is_that_of_the_noncentral_t(n, ratio, sd, level):
    expected = chance(n, ratio, sd, level)
    assert power_to_tell(n, ratio, sd, level=level) == pytest.approx(expected, abs=2e-3)


def test_blades_needed_have_just_that_chance():
    n = blades_to_tell(1.3, 0.15)
    assert 2 < n < 20
    assert power_to_tell(n, 1.3, 0.15) == pytest.approx(0.8, abs=1e-6)
    surer = blades_to_tell(1.3, 0.15, power=0.9, level=0.99)
    assert power_to_tell(surer, 1.3, 0.15, level=0.99) == pytest.approx(0.9, abs=1e-6)
    assert blades_to_tell(1 / 1.3, 0.15) == pytest.approx(n)
    assert blades_to_tell(4.0, 0.05) == 2.0
    assert blades_to_tell(1.01, 0.5) == inf


@pytest.mark.parametrize(
    ("ratio", "sd", "power", "says"),
    [
        (1, 0.1, 0.8, "a ratio of 1"),
        (0, 0.1, 0.8, "a ratio of 0"),
        (1.2, 0, 0.8, "a scatter of 0"),
        (1.2, 0.1, 1, "a power of 1"),
        (1.2, 0.1, 0.05, "a power of 0.05"),
    ],
)
def test_what_is_no_question_is_refused(ratio, sd, power, says):
    with pytest.raises(UnusableInput, match=says):
        blades_to_tell(ratio, sd, power=power)


def test_an_interval_reaches_by_the_median_scatter():
    sd = 0.2 * np.sqrt(chi2.median(4) / 4)
    factor = np.exp(student.ppf(0.975, 4) * sd * np.sqrt(2 / 3))
    assert interval_factor(3, 0.2) == pytest.approx(factor)
    assert interval_factor(3, 0.2, level=0.8) == pytest.approx(
        np.exp(student.ppf(0.9, 4) * sd * np.sqrt(2 / 3))
    )


def test_a_scatter_is_found_again_from_the_chances_that_it_has():
    blades = (2, 3, 5, 8)
    powers = tuple(
        Power(float(power_to_tell(n, 1.4, 0.24)), 0.01, "exact", None, "t") for n in blades
    )
    found = scatter_like(Curve(blades, powers), 1.4, 0.15)
    assert found == pytest.approx(0.24, rel=0.01)


def test_a_chance_known_exactly_outweighs_chances_simulated_few_times():
    """Weighted by their variances, three off by a third count next to nothing beside one exact."""
    blades = (5, 2, 3, 8)
    exact = Power(float(power_to_tell(5, 1.4, 0.24)), 0.0, "exact", None, "t")
    off = (Power(float(power_to_tell(n, 1.4, 0.4)), 0.5, "exact", None, "t") for n in blades[1:])
    found = scatter_like(Curve(blades, (exact, *off)), 1.4, 0.15)
    assert found == pytest.approx(0.24, rel=0.01)


@pytest.mark.parametrize(
    ("found", "blades"), [(5.0, 5), (5.2, 6), (5.0 + 1e-12, 5), (np.inf, None)]
)
def test_blades_are_rounded_up_to_whole_ones(monkeypatch, found, blades):
    monkeypatch.setattr(module, "scatter_like", lambda *given, **more: 0.2)
    monkeypatch.setattr(module, "blades_to_tell", lambda *given, **more: found)
    assert module.blades_by_curve(Goal(1.3, 0.8, 0.95), None, 0.2, 0.2) == blades
