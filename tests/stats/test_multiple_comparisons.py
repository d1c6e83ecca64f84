"""Comparisons that hold jointly: printed tables, scipy, and what a family of one must be."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import dunnett, norm
from scipy.stats import t as student

from edgetest.stats.multiple_comparisons import (
    Family,
    _scale_nodes,
    _solve,
    dunnett_coverage,
    dunnett_quantile,
    range_coverage,
    studentized_range_quantile,
)


@pytest.mark.parametrize(
    ("groups", "df", "q"),
    # Upper 5 % points of the studentized range, Pearson and Hartley's table (from memory;
    # scipy.stats.studentized_range gives the same).
    [(2, 1, 17.97), (3, 4, 5.040), (3, 10, 3.877), (5, 20, 4.232), (4, np.inf, 3.633)],
)
def test_printed_points_of_the_studentized_range(groups, df, q):
    assert studentized_range_quantile(0.95, groups, df) == pytest.approx(q, abs=6e-3)
    assert range_coverage(q, groups, df) == pytest.approx(0.95, abs=1e-3)
    family = Family("range", groups)
    assert family.quantile(0.95, df) == pytest.approx(q / 2**0.5, abs=5e-3)
    assert family.coverage(q / 2**0.5, df) == pytest.approx(0.95, abs=1e-3)


@pytest.mark.parametrize(
    ("compared", "df", "t"),
    # Dunnett's two-sided 5 % points for equal groups (1964 table, from memory).
    [(2, 10, 2.57), (3, 16, 2.59), (4, 20, 2.65), (2, np.inf, 2.21)],
)
def test_printed_points_of_dunnett(compared, df, t):
    shares = (0.5,) * compared
    assert dunnett_quantile(0.95, shares, df) == pytest.approx(t, abs=6e-3)
    family = Family("dunnett", compared, shares)
    assert family.quantile(0.95, df) == pytest.approx(t, abs=6e-3)
    assert family.coverage(t, df) == pytest.approx(0.95, abs=2e-3)


def test_unlike_sizes_are_those_of_scipys_integral():
    rng = np.random.default_rng(1)
    groups = [rng.standard_normal(n) + shift for n, shift in ((4, 0.3), (7, 0.9))]
    control = rng.standard_normal(5)
    scipys = dunnett(*groups, control=control, random_state=2)
    shares = tuple(n / (n + 5) for n in (4, 7))
    told = [1 - dunnett_coverage(abs(t), shares, 13) for t in scipys.statistic]
    assert_allclose(told, scipys.pvalue, atol=2e-3)


def test_a_family_of_one_is_students_t_and_sidaks_is_the_product():
    for family in (Family("sidak", 1), Family("range", 2), Family("dunnett", 1, (0.5,))):
        assert family.quantile(0.95, 7) == pytest.approx(student.ppf(0.975, 7), abs=1e-6)
        assert family.coverage(1.3, 7) == pytest.approx(2 * student.cdf(1.3, 7) - 1, abs=1e-6)
    three = Family("sidak", 3)
    assert three.quantile(0.95, np.inf) == pytest.approx(norm.ppf(0.5 + 0.95 ** (1 / 3) / 2))
    assert three.coverage(2.0, np.inf) == pytest.approx((2 * norm.cdf(2.0) - 1) ** 3)


@pytest.mark.parametrize("df", [1, 2, 3.5, 30, 400])
def test_the_scatter_that_is_averaged_over_is_a_chi_squares_root(df):
    """Its square over the truth has the mean 1 and the variance 2 / df."""
    scale, mass = _scale_nodes(df)
    assert mass.sum() == pytest.approx(1.0, abs=1e-6)
    assert mass @ scale**2 == pytest.approx(1.0, abs=1e-6)
    assert mass @ scale**4 == pytest.approx(1 + 2 / df, rel=1e-4)


def test_a_scatter_that_is_known_is_averaged_over_at_one_place():
    scale, mass = _scale_nodes(np.inf)
    assert (scale.tolist(), mass.tolist()) == ([1.0], [1.0])


def test_the_range_of_two_known_means_is_the_normals():
    """|z| of one difference: the range over the root of 2."""
    assert range_coverage(2.0 * 2**0.5, 2, np.inf) == pytest.approx(2 * norm.cdf(2.0) - 1, abs=1e-9)
    grid = np.linspace(-8, 8, 4001)
    step = grid[1] - grid[0]
    for groups, q in ((3, 2.5), (6, 4.0)):
        inside = norm.pdf(grid) * (norm.cdf(grid) - norm.cdf(grid - q)) ** (groups - 1)
        expected = groups * inside.sum() * step
        assert range_coverage(q, groups, np.inf) == pytest.approx(expected, abs=1e-7)


def test_dunnetts_chance_is_the_integral_over_the_common_group():
    grid = np.linspace(-8, 8, 4001)
    step, shares = grid[1] - grid[0], (0.3, 0.6, 0.3)
    inside = norm.pdf(grid)
    for share in shares:
        up, down = ((x - share**0.5 * grid) / (1 - share) ** 0.5 for x in (2.2, -2.2))
        inside = inside * (norm.cdf(up) - norm.cdf(down))
    assert dunnett_coverage(2.2, shares, np.inf) == pytest.approx(inside.sum() * step, abs=1e-7)


@pytest.mark.parametrize("level", [0.5, 0.9, 0.999])
def test_a_quantile_has_its_level_and_beyond_what_can_be_told_it_is_the_middle(level):
    for df in (1, 9, np.inf):
        assert range_coverage(studentized_range_quantile(level, 4, df), 4, df) == pytest.approx(
            level, abs=1e-9
        )
        assert dunnett_coverage(dunnett_quantile(level, (0.5, 0.4), df), (0.5, 0.4), df) == (
            pytest.approx(level, abs=1e-9)
        )
    assert _solve(lambda _: 0.99, level) == pytest.approx(100**0.5)  # of 0.05 and 2000
