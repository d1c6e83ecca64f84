"""What most single items reach at least: factors against printed tables, and coverage."""

import numpy as np
import pytest
from scipy.stats import nct

from edgetest.errors import UnusableInput
from edgetest.stats.tolerance import tolerance_factor


# Natrella, "Experimental Statistics", NBS Handbook 91 (1963), table A-7 (P = 0.90, gamma =
# 0.95), and the same in ISO 16269-6; the values are from memory. The table's own 6.158 for
# three items is 0.05 % off the exact 6.155.
@pytest.mark.parametrize(
    ("n", "k"), [(2, 20.581), (3, 6.155), (5, 3.407), (8, 2.582), (10, 2.355), (20, 1.926)]
)
def test_factors_of_the_printed_table(n, k):
    assert tolerance_factor(n, n - 1) == pytest.approx(k, abs=6e-4)


def test_example_of_the_engineering_statistics_handbook():
    """NIST/SEMATECH e-Handbook, 7.2.6.3: n = 43, 90 %, confidence 99 %, k = 1.8740; from memory."""
    assert tolerance_factor(43, 42, share=0.9, confidence=0.99) == pytest.approx(1.8740, abs=1e-4)


def test_a_scatter_that_is_known_leaves_the_doubt_of_the_mean_alone():
    """The normal quantile of the share, and that of the confidence over the root of n."""
    assert tolerance_factor(4, np.inf) == pytest.approx(1.281552 + 1.644854 / 2, abs=1e-4)


def test_the_bound_holds_in_19_of_20_samples_with_a_pooled_scatter_too():
    rng = np.random.default_rng(5)
    mean = rng.normal(0, 1 / np.sqrt(4), 20_000)
    for df in (3, 20):
        sd = np.sqrt(rng.chisquare(df, 20_000) / df)
        held = mean - tolerance_factor(4, df) * sd <= -1.281552
        assert held.mean() == pytest.approx(0.95, abs=0.005)


@pytest.mark.parametrize(("n", "df", "share"), [(0, 5, 0.9), (5, 0, 0.9), (5, 4, 0.5), (5, 4, 1.0)])
def test_refuses_what_is_no_sample_or_no_share(n, df, share):
    with pytest.raises(UnusableInput):
        tolerance_factor(n, df, share=share)


@pytest.mark.parametrize(("n", "df", "share", "confidence"), [
    (0.9, 5, 0.9, 0.9), (5, -1, 0.9, 0.9), (5, np.nan, 0.9, 0.9), (5, 4, 0.9, 0.5),
    (5, 4, 0.9, 1.0), (5, 4, 1.2, 0.9),
])  # fmt: skip
def test_what_is_out_of_range_is_refused_each_by_itself(n, df, share, confidence):
    with pytest.raises(UnusableInput):
        tolerance_factor(n, df, share=share, confidence=confidence)


def test_one_item_with_a_scatter_from_elsewhere_has_a_factor():
    """The noncentral t itself, its root of n being 1; half a degree of freedom is one still."""
    assert tolerance_factor(1, 9) == pytest.approx(nct.ppf(0.95, 9, 1.281552), rel=1e-5)
    assert tolerance_factor(1, 0.5) > tolerance_factor(1, 1) > tolerance_factor(1, 9)
    assert tolerance_factor(4, 1e8) == pytest.approx(tolerance_factor(4, np.inf), abs=1e-5)
