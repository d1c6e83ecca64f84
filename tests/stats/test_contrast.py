"""Two groups by the t interval: against scipy, closed forms, and the rule that picks one."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm, ttest_ind
from scipy.stats import t as student

from edgetest.stats.contrast import (
    Bounds,
    WiderOf,
    by_design,
    contrast,
    guarded_t,
    pooled_t,
    quantile,
    student_cdf,
    welch_t,
)
from edgetest.stats.multiple_comparisons import Family

A, B = np.array([6.0, 6.3, 6.1, 6.6]), np.array([6.9, 6.5, 7.1, 6.4, 7.4])
SINGLE = Family("sidak", 1)


@pytest.mark.parametrize(("rule", "equal"), [(pooled_t, True), (welch_t, False)])
@pytest.mark.parametrize("level", [0.9, 0.95])
def test_intervals_and_confidences_are_those_of_scipy(rule, equal, level):
    found, scipys = rule(A, B, level=level), ttest_ind(B, A, equal_var=equal)
    ends = scipys.confidence_interval(level)
    assert_allclose([found.low, found.high], [ends.low, ends.high], rtol=1e-10)
    assert_allclose(found.limits(level, SINGLE), [ends.low, ends.high], rtol=1e-10)
    assert_allclose(found.df, scipys.df, rtol=1e-10)
    assert_allclose(1 - found.probability_above(), scipys.pvalue / 2, rtol=1e-9)
    assert found.level == level


def test_the_guarded_interval_weighs_one_over_df_by_the_shares_of_the_variance():
    found = guarded_t(A[:2], B)
    parts = A[:2].var(ddof=1) / 2, B.var(ddof=1) / 5
    share = parts[0] / sum(parts)
    assert_allclose(found.df, 1 / (share / 1 + (1 - share) / 4), rtol=1e-12)
    assert_allclose(found.stderr, sum(parts) ** 0.5, rtol=1e-12)


def test_groups_without_any_scatter_share_the_degrees_of_freedom():
    assert_allclose(welch_t([1.0, 1.0], [2.0, 2.0, 2.0]).df, 1 / (0.25 / 1 + 0.25 / 2))


def test_the_design_alone_picks_the_rule():
    assert by_design(A, B[:4]).method == "pooled t"
    assert by_design(A[:2], B[:2]).method == "pooled t"
    assert by_design(A[:3], B).method == "Welch t"
    assert by_design(A[:2], B).method == "t with guarded df"
    assert by_design(A, B[:2]).method == "t with guarded df"
    assert by_design(A, B, level=0.8).level == 0.8


def test_a_known_variance_adds_in_squares():
    plain = contrast(0.4, 0.04, 5.0, 0.95, "")
    wide = plain.widened(0.05)
    assert_allclose(wide.stderr, 0.3)
    assert_allclose(wide.half_width, student.ppf(0.975, 5) * 0.3, rtol=1e-10)
    bounds = Bounds(0.1, 0.5, 0.3, 0.95).widened(0.16)
    assert_allclose(bounds.stderr, 0.5)
    assert_allclose(bounds.limits(0.95, SINGLE), [0.1 - 0.98, 0.5 + 0.98], atol=1e-4)
    assert bounds.difference == pytest.approx(0.3)
    assert bounds.probability_above(0.2) == 0.5


def test_confidence_of_more_than_a_shift_and_the_ends_of_student():
    found = contrast(0.4, 0.04, 5.0, 0.95, "")
    assert_allclose(found.probability_above(0.1), student.cdf(1.5, 5), rtol=1e-10)
    assert_allclose(student_cdf([0.7, 0.7], [3.0, np.inf]), [student.cdf(0.7, 3), norm.cdf(0.7)])
    assert_allclose(student_cdf([np.nan, np.inf, -np.inf], 3.0), [0.5, 1, 0], atol=1e-12)
    assert_allclose(quantile([4.0, np.inf], 0.95), [student.ppf(0.975, 4), norm.ppf(0.975)])
    assert contrast(0.0, 0.0, 3.0, 0.95, "").probability_above() == 0.5


@pytest.mark.parametrize("rule", [pooled_t, welch_t, guarded_t])
def test_many_studies_at_once_are_each_answered_as_alone(rule):
    rng = np.random.default_rng(1)
    first, second = rng.normal(0, 1, (5, 3)), rng.normal(0.5, 2, (5, 4))
    together = rule(first, second)
    for i in range(5):
        alone = rule(first[i], second[i])
        assert_allclose(together.low[i], alone.low)
        assert_allclose(together.high[i], alone.high)


def test_of_two_contrasts_every_interval_is_the_wider_one_at_every_level():
    """Fewer degrees of freedom widen high levels and families more than low ones."""
    few, sure = contrast(0.4, 0.05**2, 2.0, 0.95, "t"), contrast(0.4, 0.11**2, np.inf, 0.95, "z")
    both = WiderOf(few, sure)
    assert sure.half_width > few.half_width
    assert (both.method, both.df, both.half_width) == ("z", np.inf, sure.half_width)
    many = Family("sidak", 5)
    for level, family in ((0.95, SINGLE), (0.95, many), (0.9, SINGLE), (0.99, many)):
        ends = [each.limits(level, family) for each in (few, sure)]
        widest = max(ends, key=lambda end: end[1] - end[0])
        assert_allclose(both.limits(level, family), widest)
    assert few.limits(0.95, many)[1] > sure.limits(0.95, many)[1]


def test_of_two_contrasts_the_wider_one_lends_its_error_and_of_equal_ones_the_own():
    few, sure = contrast(0.4, 0.05**2, 2.0, 0.95, "t"), contrast(0.4, 0.2**2, np.inf, 0.95, "z")
    assert (WiderOf(few, sure).stderr, WiderOf(few, sure).difference) == (0.2, 0.4)
    assert WiderOf(sure, few).stderr == 0.2
    assert WiderOf(few, contrast(0.4, 0.05**2, 2.0, 0.95, "other")).method == "t"


def test_bounds_with_an_open_end_lie_there_and_their_errors_are_normal():
    up = Bounds(0.1, np.inf, 0.2, 0.9)
    assert (up.difference, up.df, up.method) == (np.inf, np.inf, "least lives")
    low, high = up.limits(0.9, Family("sidak", 3))
    assert low == pytest.approx(0.1 - 0.2 * norm.ppf((1 + 0.9 ** (1 / 3)) / 2))
    assert high == np.inf
    assert np.isnan(Bounds(-np.inf, np.inf, 0.2, 0.9).difference)


def test_pooled_groups_of_unlike_size_weigh_their_variances_by_degrees_of_freedom():
    """1, 3 about 2 and 2, 4, 6 about 4: (1·2 + 2·4) / 3, and 1/2 + 1/3 of it for the difference."""
    found = pooled_t([1.0, 3.0], [2.0, 4.0, 6.0], level=0.8)
    assert (found.difference, found.df, found.level) == (2.0, 3.0, 0.8)
    assert found.stderr**2 == pytest.approx(10 / 3 * 5 / 6)
    assert found.half_width == pytest.approx(student.ppf(0.9, 3) * found.stderr)
    assert (found.low, found.high) == pytest.approx((2 - found.half_width, 2 + found.half_width))
