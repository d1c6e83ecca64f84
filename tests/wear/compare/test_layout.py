"""Which analysis does the layout of a study call for, and what does it give, worked by hand?"""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.contrast import by_design, pooled_t, welch_t
from edgetest.stats.multiple_comparisons import Family
from edgetest.wear.compare.layout import (
    SINGLE,
    between,
    by_scatter,
    family_of,
    known_variance,
    lay_out,
    one_scatter,
    scope,
    with_history,
)
from edgetest.wear.compare.replicates import independent_results
from edgetest.wear.compare.shop_history import ShopHistory
from tests.wear.columns import blade_lives, codes


def laid_out(treatment, log_life, se=None, *, blade=None, reference=None, own=False, **columns):
    """A layout of blades named b0, b1 and on unless they are named."""
    blade = [f"b{i}" for i in range(len(treatment))] if blade is None else list(blade)
    lives = blade_lives(blade, list(treatment), np.array(log_life, float), se, **columns)
    return replace(lay_out(independent_results(lives), reference), own_scatter=own)


def half_width(found, level=0.95, family=SINGLE):
    low, high = found.limits(level, family)
    assert (low + high) / 2 == pytest.approx(float(found.difference))
    return (high - low) / 2


def test_the_reference_comes_first_and_the_others_as_they_appear():
    lives = [1.0, 2, 3, 4, 5, 6]
    assert laid_out("CBACBA", lives).names == ("C", "B", "A")
    assert laid_out("CBACBA", lives, reference="A").names == ("A", "C", "B")


@pytest.mark.parametrize(
    ("treatment", "reference", "says"),
    [
        ("AA", None, "1 heat treatment with a life"),
        ("AB", "Z", 'no heat treatment "Z".*name one of: A, B'),
    ],
)
def test_one_heat_treatment_or_an_unknown_reference_is_no_comparison(treatment, reference, says):
    with pytest.raises(UnusableInput, match=says):
        laid_out(treatment, [1.0, 2], reference=reference)


def test_no_heat_treatment_with_a_life_is_no_comparison_either():
    nobody = replace(laid_out("AB", [1.0, 2]).replicates, treatment=np.array([], dtype=str))
    with pytest.raises(UnusableInput, match="0 heat treatments with a life"):
        lay_out(nobody, None)


def test_what_a_layout_tells_of_a_group():
    law = [[0.1, 0], [0.3, 0], [0, 0.5], [0, 0.5], [0, -0.4]]
    design = laid_out("AABBB", [1.0, 2, 3, 5, 10], [0.3, 0.4, 0.1, 0, 0.1], law_u=law)
    assert design.sizes == (2, 3)
    assert not design.balanced
    assert (design.mean("A"), design.variance("A")) == pytest.approx((1.5, 0.5))
    assert (design.mean("B"), design.variance("B")) == pytest.approx((6.0, 13.0))
    assert design.measurement("A") == pytest.approx(0.25 / 4)
    assert np.isnan(design.measurement("B"))  # of one blade no uncertainty is known
    assert_allclose(design.law_u("A"), [0.2, 0.0])
    assert_allclose(design.law_u("B"), [0.0, 0.2])
    assert known_variance(design, "A", "B") == pytest.approx(0.04 + 0.04)
    assert np.isnan(laid_out("AAB", [1.0, 2, 3]).variance("B"))
    assert laid_out("AABB", [1.0, 2, 3, 4]).balanced


def test_one_blade_speaks_of_blades_two_of_their_heat_treatments():
    design = laid_out("AABBC", [1.0, 2, 3, 4, 5])
    assert scope(design, "A", "B") == "heat_treatments"
    assert scope(design, "A", "C") == scope(design, "C", "B") == "blades"
    lots = laid_out("AABB", [1.0, 2, 3, 4], batch=["1", "1", "2", "2"])
    assert scope(lots, "A", "B") == "batches"


def test_equal_numbers_share_the_scatter_of_all_heat_treatments():
    """Variances 0.01, 0.04 and 0.09 of three blades each: their mean, six degrees of freedom."""
    lives = np.concatenate([at + s * np.array([-1, 0, 1]) for at, s in enumerate((1, 2, 3))])
    design = laid_out("AAABBBCCC", 0.1 * lives)
    found = by_scatter(design, "A", "C", 0.95)
    assert found.difference == pytest.approx(0.2)
    assert found.stderr == pytest.approx(np.sqrt(0.14 / 3 * 2 / 3))
    assert found.df == 6
    variance, df, unscaled = one_scatter(design, "A", "C")
    assert (variance, df, unscaled) == pytest.approx((0.14 / 3, 6.0, 2 / 3))
    alone = laid_out("AAACCC", 0.1 * lives[[0, 1, 2, 6, 7, 8]])
    assert by_scatter(alone, "A", "C", 0.95).df == 4
    own = by_scatter(replace(design, own_scatter=True), "A", "C", 0.95)
    assert own.method == "Welch t"
    assert own.stderr == pytest.approx(np.sqrt(0.10 / 3))
    assert own.df == pytest.approx(0.10**2 / (0.01**2 / 2 + 0.09**2 / 2))


def test_of_unequal_numbers_each_has_its_own_scatter():
    design = laid_out("AAABBBB", [0.0, 0.1, 0.2, 1.0, 1.1, 1.2, 1.3])
    assert by_scatter(design, "A", "B", 0.95).method == "Welch t"
    assert by_scatter(laid_out("AABBB", [0.0, 1, 2, 3, 5]), "A", "B", 0.95).method == (
        "t with guarded df"
    )
    variance, df, unscaled = one_scatter(design, "A", "B")
    assert variance == pytest.approx((2 * 0.01 + 3 * 0.05 / 3) / 5)
    assert (df, unscaled) == pytest.approx((5.0, 1 / 3 + 1 / 4))
    assert one_scatter(laid_out("AB", [1.0, 2]), "A", "B")[:2] == (0.0, 0.0)
    assert one_scatter(laid_out("AAB", [1.0, 2, 3]), "A", "B") == pytest.approx((0.5, 1.0, 1.5))


def test_lives_alike_to_all_digits_are_compared_by_their_readings():
    lives = [1.0, 1, 2, 2]
    read = by_scatter(laid_out("AABB", lives, [0.1] * 4), "A", "B", 0.95)
    assert read.method == "reading uncertainty"
    assert half_width(read) == pytest.approx(1.959964 * 0.1, rel=1e-6)
    unread = by_scatter(laid_out("AABB", lives), "A", "B", 0.95)
    assert np.isinf(unread.stderr)
    hardly = by_scatter(laid_out("AABB", [1.0, 1 + 4e-9, 2, 2], [0.1] * 4), "A", "B", 0.95)
    assert hardly.method == "pooled t"


@pytest.mark.parametrize(
    ("treatment", "df", "method"),
    [
        ("AABB", 2, "pooled t"),
        ("AABBCC", 3, "pooled t"),
        ("AABBCCC", 2, "pooled t of the two compared"),
    ],
)
def test_a_scatter_of_two_of_several_heat_treatments_is_said_to_be_of_the_two(
    treatment, df, method
):
    lives = [1.0, 1.2, 2.0, 2.4, 3.0, 3.3, 3.1][: len(treatment)]
    found = by_scatter(laid_out(treatment, lives), "A", "B", 0.95)
    assert (found.df, found.method) == (df, method)


def test_what_the_law_shares_widens_a_contrast_once():
    lives, law = [0.0, 0.2, 1.0, 1.2], [0.5, 0.5, 0.2, 0.2]
    found = between(laid_out("AABB", lives, law_u=law), "A", "B", 0.95)
    assert found.stderr**2 == pytest.approx(0.02 + 0.09)
    runs = laid_out("AABB", lives, blade="aabb", law_u=law)
    assert between(runs, "A", "B", 0.95).stderr ** 2 == pytest.approx(0.02 + 0.09)
    once = laid_out("AAB", lives[:3], blade="aab", law_u=law[:3])
    assert between(once, "A", "B", 0.95).stderr ** 2 == pytest.approx(0.02 * 1.5 + 0.09)
    single = laid_out("AB", [0.0, 1.0], [0.3, 0.4], law_u=[0.5, 0.2])
    assert between(single, "A", "B", 0.95).stderr ** 2 == pytest.approx(0.25 + 0.09)


@pytest.mark.parametrize(
    ("read", "method"),
    [(0.1, "pooled t"), (0.308, "pooled t"), (0.312, "reading uncertainty alone")],
)
def test_readings_hold_an_interval_up_from_where_theirs_is_the_wider(read, method):
    """Four blades, s = 0.1414: 4.3027 s against 1.96 of what they read, 0.3105 a blade."""
    design = laid_out("AABB", [0.0, 0.2, 1.0, 1.2], [read] * 4)
    found = between(design, "A", "B", 0.95)
    assert found.method == method
    wider = max(4.302653 * np.sqrt(0.02), 1.959964 * read)
    assert half_width(found) == pytest.approx(wider, rel=1e-6)
    assert by_scatter(design, "A", "B", 0.95).method == "pooled t"


def test_readings_that_hold_up_bear_the_law_too():
    design = laid_out("AABB", [0.0, 0.02, 1.0, 1.02], [0.3] * 4, law_u=[0.1, 0.1, 0.0, 0.0])
    found = between(design, "A", "B", 0.95)
    assert half_width(found) == pytest.approx(1.959964 * np.sqrt(0.09 + 0.01), rel=1e-6)


def test_in_a_family_the_wider_interval_is_that_of_the_family():
    """A scatter that is less wide than its readings of one pair, and wider of fifteen pairs.

    s = 0.087 with twelve degrees of freedom beside readings of 0.1: of one pair 2.1788 s is less
    than 1.96 * 0.1; of all pairs of six the studentized range is 4.75 with 12 degrees of freedom
    and 4.03 with all, and 4.75 s is more than 4.03 * 0.1.
    """
    lives = np.repeat(np.arange(6) * 0.5, 3) + 0.087 * np.tile([-1.0, 0.0, 1.0], 6)
    design = laid_out(np.repeat(list("ABCDEF"), 3), lives, [0.1] * 18)
    found = between(design, "A", "F", 0.95)
    alone = half_width(found), 1.959964 * 0.1 * np.sqrt(2 / 3)
    assert found.method == "reading uncertainty alone"
    assert alone[0] == pytest.approx(alone[1], rel=1e-6)
    among = half_width(found, family=Family("range", 6))
    assert among == pytest.approx(4.75 * 0.087 / np.sqrt(3), rel=1e-3)
    surer = replace(design, replicates=replace(design.replicates, log_life_se=np.full(18, 0.11)))
    wide = half_width(between(surer, "A", "F", 0.95), family=Family("range", 6))
    assert wide == pytest.approx(4.03 * 0.11 / np.sqrt(3), rel=1e-3)


@pytest.mark.parametrize(
    ("read", "method"),
    [
        (None, "pooled t, of runs"),
        (0.1, "pooled t, of runs"),
        (0.308, "pooled t, of runs"),
        (0.312, "reading uncertainty alone"),
    ],
)
def test_two_blades_that_ran_twice_are_held_up_as_four_blades_are(read, method):
    se = None if read is None else [read] * 4
    design = laid_out("AABB", [0.0, 0.2, 1.0, 1.2], se, blade="aabb")
    assert scope(design, "A", "B") == "blades"
    found = between(design, "A", "B", 0.95)
    assert found.method == method
    wider = max(4.302653 * np.sqrt(0.02), 1.959964 * (read or 0.0))
    assert half_width(found) == pytest.approx(wider, rel=1e-6)


@pytest.mark.parametrize(
    ("read", "wider"), [(0.01, 12.706205 * np.sqrt(0.02)), (1.2, 1.959964 * 1.2)]
)
def test_a_blade_that_ran_once_beside_two_runs_is_held_up_too(read, wider):
    """Runs of variance 0.02: one degree of freedom; readings of 1/2 + 1 variances."""
    design = laid_out("AAB", [0.0, 0.2, 1.0], [read] * 3, blade="aab")
    found = between(design, "A", "B", 0.95)
    assert found.difference == pytest.approx(0.9)
    assert half_width(found) == pytest.approx(wider * np.sqrt(1.5), rel=1e-6)


def test_single_runs_are_compared_by_their_readings():
    found = between(laid_out("AB", [1.0, 3.0], [0.3, 0.4]), "A", "B", 0.95)
    assert (found.method, found.df) == ("reading uncertainty", np.inf)
    assert (found.difference, found.stderr) == pytest.approx((2.0, 0.5))
    assert np.isinf(between(laid_out("AB", [1.0, 3.0]), "A", "B", 0.95).stderr)


def test_two_single_blades_of_which_one_was_stopped_have_one_end():
    stopped = laid_out("AB", [1.0, 3.0], [0.3, 0.4], censored=[False, True])
    low, high = between(stopped, "A", "B", 0.95).limits(0.95, SINGLE)
    assert (low, high) == (-np.inf, np.inf)  # nothing says how sure the bound is
    bounds = {"own_low": [np.nan, 2.5], "own_high": [np.nan, np.inf]}
    told = laid_out("AB", [1.0, 3.0], [0.3, 0.4], censored=[False, True], **bounds)
    low, high = between(told, "A", "B", 0.95).limits(0.95, SINGLE)
    assert low == pytest.approx(2.0 - 1.959964 * 0.5, rel=1e-6)
    assert high == np.inf


@pytest.mark.parametrize(
    ("treatment", "everything", "own", "family"),
    [
        ("AABB", True, False, Family("range", 2)),
        ("AABBCC", True, False, Family("range", 3)),
        ("AABBCC", False, False, Family("dunnett", 2, (0.5, 0.5))),
        ("AABBCC", False, True, Family("sidak", 2)),
        ("AAABBCC", False, False, Family("sidak", 2)),
        ("AAABBCC", True, False, Family("range", 3)),
        ("ABBCCDD", True, False, Family("sidak", 6)),
        ("ABBCCDD", False, False, Family("sidak", 3)),
    ],
)
def test_family_that_a_pair_belongs_to(treatment, everything, own, family):
    lives = np.arange(len(treatment)) ** 2 / 10
    assert family_of(laid_out(treatment, lives, own=own), "A", "B", everything) == family


def test_blocks_that_all_hold_the_same_unequal_numbers_are_weighed_each_by_its_scatter():
    treatment = "ABBC" * 3
    lives = np.array([0, 1, 1.2, 3, 0.3, 1.1, 1.5, 3.1, 0.1, 1.6, 1, 3.3])
    design = laid_out(treatment, lives, block=np.repeat(["r1", "r2", "r3"], 4))
    assert design.blocks.fit is not None
    assert family_of(design, "A", "C", False) == Family("sidak", 2)
    assert family_of(design, "A", "C", True) == Family("sidak", 3)
    _, df, unscaled = one_scatter(design, "A", "C")
    assert (df, unscaled) == pytest.approx((12 - 3 - 2, 2 / 3))
    found = by_scatter(design, "A", "C", 0.95)
    assert found.method == "t, blocks weighed"
    assert found.difference == pytest.approx(3.0, abs=0.01)


def test_a_lone_blade_beside_three_keeps_a_scatter_of_its_own_where_one_was_stopped_too():
    """B scatters six times as much as A; one scatter for both would leave 2.8 from end to end."""
    lives, stopped = [0.0, 0.05, -0.05, 0.3, -0.3, 0.25], [True, *[False] * 5]
    lone = laid_out("AAABBB", lives, block=list("111122"), censored=stopped)
    assert lone.sizes == (3, 3)
    low, high = by_scatter(lone, "A", "B", 0.95).limits(0.95, SINGLE)
    assert high - low > 4


def test_blocks_that_differ_in_what_they_hold_are_weighed_and_bounded():
    treatment, block = "ABBCCAAB", ["r1", "r1", "r2", "r2", "r3", "r3", "r4", "r4"]
    lives = [0.0, 1, 1.2, 2, 2.1, 0.2, 0.1, 0.9]
    design = laid_out(treatment, lives, block=block)
    assert design.blocks is not None
    assert design.blocks.fit is None
    assert "incomplete_block" in codes(design)
    assert family_of(design, "A", "B", True) == Family("sidak", 3)
    assert family_of(design, "A", "B", False) == Family("sidak", 2)
    assert with_history(design, "A", "B", 0.95, ShopHistory(0.1, 10.0, 3)) is None


def test_a_shop_s_history_is_joined_by_degrees_of_freedom():
    """0.02 of two degrees of freedom and 0.01 of eight: 0.012 of ten."""
    lives, history = [0.0, 0.2, 1.0, 1.2], ShopHistory(0.1, 8.0, 3)
    found = with_history(laid_out("AABB", lives), "A", "B", 0.95, history)
    assert (found.stderr, found.df) == pytest.approx((np.sqrt(0.012), 10.0))
    assert half_width(found) == pytest.approx(student.ppf(0.975, 10) * np.sqrt(0.012))
    law = with_history(laid_out("AABB", lives, law_u=[0.3, 0.3, 0, 0]), "A", "B", 0.95, history)
    assert law.stderr == pytest.approx(np.sqrt(0.012 + 0.09))
    read = with_history(laid_out("AABB", lives, [0.2] * 4), "A", "B", 0.95, history)
    assert half_width(read) == pytest.approx(1.959964 * 0.2, rel=1e-6)
    bound = laid_out("AABB", lives, censored=[False, False, False, True])
    assert with_history(bound, "A", "B", 0.95, history) is None


def test_the_rule_asked_for_is_the_rule_used():
    lives = [0.0, 0.2, 1.0, 1.6]
    design = laid_out("AABB", lives)
    assert between(design, "A", "B", 0.95, welch_t).method == "Welch t"
    assert between(design, "A", "B", 0.95, by_design).method == "pooled t"
    uneven = laid_out("AAABB", [0.0, 0.1, 0.2, 1.0, 1.6])
    assert between(uneven, "A", "B", 0.95, pooled_t).df == 3


def test_lives_between_ends_have_a_mean_and_a_scatter_of_their_group():
    design = laid_out("AABB", [0.0, 0.2, 1.0, 1.2], censored=[False] * 3 + [True])
    assert design.exact("A")
    assert not design.exact("B")
    assert not design.exact("A", "B")
    assert design.mean("A") == pytest.approx(0.1)
    level = design.level_of("B")
    assert design.mean("B") == float(level.difference)
    assert design.variance("B") == pytest.approx(float(level.stderr) ** 2 * 2)
    assert design.mean("B") > 1.1
    assert_allclose(design.lives("B"), [1.0, 1.2])
