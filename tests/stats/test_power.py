"""Power counted, and power by the widths of simulated intervals, where all is known."""

import numpy as np
import pytest
from scipy.stats import nct, norm
from scipy.stats import t as student

from edgetest.stats.power import Power, noncentral_power, power_by_count, power_by_width


def test_a_share_of_studies_and_its_standard_error():
    """Agresti and Coull's kind: one study more of either kind in the error alone."""
    found = power_by_count([True] * 30 + [False] * 10, method="t")
    assert found.value == 0.75
    near = 31 / 42
    assert found.stderr == pytest.approx((near * (1 - near) / 40) ** 0.5)
    assert (found.how, found.method, found.df) == ("simulated", "t", None)
    assert power_by_count([False] * 10).stderr > 0


@pytest.mark.parametrize("shift", [0.5, -0.5])
def test_of_one_width_the_power_is_the_normals(shift):
    middles, halves = np.tile([-0.2, 0.2], 200), np.full(400, 0.4)
    found = power_by_width(middles, halves, shift)
    assert found.value == pytest.approx(norm.cdf((0.5 - 0.4) / 0.2))
    # All of one width: what is unsure is the spread alone, known to sqrt(1 / 2n).
    wider = norm.cdf((0.5 - 0.4) / (0.2 * (1 + (0.5 / 400) ** 0.5)))
    assert found.stderr == pytest.approx(found.value - wider)
    assert found.factor == pytest.approx(np.exp(0.4))


def test_widths_that_differ_are_averaged_and_add_their_own_error():
    halves = np.tile([0.3, 0.6], 50)
    found = power_by_width(np.tile([-0.2, 0.2], 50), halves, 0.5)
    chances = norm.cdf((0.5 - halves) / 0.2)
    assert found.value == pytest.approx(chances.mean())
    wider = norm.cdf((0.5 - halves) / (0.2 * (1 + (0.5 / 100) ** 0.5)))
    by_spread = wider.mean() - chances.mean()
    assert found.stderr == pytest.approx(np.hypot(chances.std(ddof=1) / 10, by_spread))
    assert found.half_width == pytest.approx(0.45)


def test_studies_that_show_nothing_have_no_power_and_no_width():
    found = power_by_width([np.nan] * 5, [np.inf] * 5, 0.5, method="t")
    assert (found.value, found.stderr, found.factor) == (0.0, 0.0, None)
    some = power_by_width([0.2, -0.2, np.nan, np.nan], [0.1, 0.1, np.inf, np.inf], 0.5)
    assert some.value == pytest.approx(norm.cdf(0.4 / 0.2) / 2)


def test_the_power_is_told_in_plain_values():
    told = Power(0.8, 0.0, "exact", 4.0, "pooled t", 0.1).to_dict()
    assert told == {
        "power": 0.8, "stderr": 0.0, "how": "exact", "df": 4.0,
        "factor": pytest.approx(np.exp(0.1)), "method": "pooled t",
    }  # fmt: skip
    assert Power(0.8, 0.0, "exact", None, "", 1e9).factor < np.inf


@pytest.mark.parametrize(("shift", "df", "critical"), [
    (2.0, 4, 2.776), (-2.0, 4, 2.776), (36.9, 10, 2.228), (0.0, 7, 2.365),
])  # fmt: skip
def test_power_of_a_t_interval_is_scipys_noncentral_t(shift, df, critical):
    expected = nct.sf(critical, df, abs(shift)) if shift else student.sf(critical, df)
    assert noncentral_power(shift, df, critical) == pytest.approx(expected, abs=1e-9)


def test_differences_beyond_the_range_of_the_series_are_always_seen():
    found = noncentral_power([38.0, -400.0, 1.0], 5, [2.571, 2.571, 2.571])
    assert found[:2].tolist() == [1.0, 1.0]
    assert found[2] == pytest.approx(nct.sf(2.571, 5, 1.0), abs=1e-9)
    # One that the interval hardly reaches is no certainty, though its shift is large.
    assert noncentral_power(36.5, 2, 60.0) < 0.5


def test_estimates_that_never_stray_see_what_is_wider_than_their_reach():
    found = power_by_width([0.0] * 4, [0.1, 0.2, 0.6, 0.7], 0.5, method="t")
    assert found.value == pytest.approx(0.5)
    assert found.half_width == pytest.approx(0.4)
    assert (found.how, found.df, found.method) == ("simulated", None, "t")
    none = Power(0.8, 0.0, "exact", None, "")
    assert (none.factor, none.to_dict()["factor"], none.to_dict()["df"]) == (None, None, None)
