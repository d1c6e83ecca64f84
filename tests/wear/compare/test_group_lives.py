"""What is said of one heat treatment's life, worked by hand?"""

from math import exp, inf, nan

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.wear.compare.group_lives import group_of
from edgetest.wear.compare.layout import lay_out
from edgetest.wear.compare.replicates import independent_results
from edgetest.wear.compare.shop_history import ShopHistory
from tests.wear.columns import blade_lives


def group(treatment, log_life, se=None, *, name="A", level=0.95, shared=0.0, history=None, **more):
    blade = more.pop("blade", [f"b{i}" for i in range(len(treatment))])
    lives = blade_lives(list(blade), list(treatment), np.array(log_life, float), se, **more)
    design = lay_out(independent_results(lives), None)
    return group_of(design, name, level, shared_se=shared, history=history)


def reach(found):
    """Log of how far the interval goes up; as far down."""
    up = np.log(found.life.high / found.life.value)
    assert np.log(found.life.value / found.life.low) == pytest.approx(up)
    return up


def test_blades_of_equal_numbers_lend_each_other_their_scatter():
    """Variances 0.02 and 0.08 of two blades each: 0.05 of two degrees of freedom."""
    found = group("AABB", [1.0, 1.2, 2.0, 2.4])
    assert found.life.value == pytest.approx(exp(1.1))
    assert reach(found) == pytest.approx(student.ppf(0.975, 2) * np.sqrt(0.05 / 2))
    assert found.sd_log_life == pytest.approx(np.sqrt(0.02))
    assert (found.n, found.replicates, found.blades) == (2, 2, ("b0", "b1"))
    assert found.life.method == "median, t on log lives"
    assert found.log_life == pytest.approx(1.1)


def test_of_unequal_numbers_each_has_its_own():
    found = group("AABBB", [1.0, 1.2, 2.0, 2.4, 2.5])
    assert reach(found) == pytest.approx(student.ppf(0.975, 1) * np.sqrt(0.02 / 2))
    narrower = group("AABBB", [1.0, 1.2, 2.0, 2.4, 2.5], level=0.8)
    assert reach(narrower) == pytest.approx(student.ppf(0.9, 1) * 0.1)
    assert narrower.life.level == 0.8


@pytest.mark.parametrize(("read", "by_readings"), [(0.3, False), (0.32, True)])
def test_readings_hold_a_life_up_from_where_theirs_is_the_wider(read, by_readings):
    """4.3027 sqrt(0.02 / 2) is 1.96 of 0.3105 a blade over the root of two."""
    found = group("AABB", [1.0, 1.2, 2.0, 2.2], [read] * 4)
    wider = max(4.302653 * 0.1, 1.959964 * read / 2**0.5)
    assert reach(found) == pytest.approx(wider, rel=1e-6)
    assert (found.life.method == "median, reading uncertainty alone") == by_readings


def test_what_all_blades_share_is_added_by_squares():
    """A scale of 0.03, and two things of the law: 0.04 and 0.12; 0.13 together."""
    law = [[0.04, 0.12]] * 4
    alone = reach(group("AABB", [1.0, 1.2, 2.0, 2.2]))
    found = group("AABB", [1.0, 1.2, 2.0, 2.2], law_u=law, shared=0.03)
    shared = np.sqrt(0.0009 + 0.0016 + 0.0144)
    assert reach(found) == pytest.approx(np.hypot(alone, 1.959964 * shared), rel=1e-6)


def test_one_blade_has_its_readings_or_its_own_interval_or_none():
    read = group("ABB", [1.0, 2.0, 2.1], [0.2] * 3)
    assert (read.life.method, read.sd_log_life) == ("one blade, reading uncertainty", None)
    assert reach(read) == pytest.approx(1.959964 * 0.2, rel=1e-6)
    shared = group("ABB", [1.0, 2.0, 2.1], [0.2] * 3, shared=0.15)
    assert reach(shared) == pytest.approx(1.959964 * 0.25, rel=1e-6)
    ends = {"own_low": [0.5, nan, nan], "own_high": [2.5, nan, nan]}
    own = group("ABB", [1.0, 2.0, 2.1], [0.2] * 3, **ends)
    assert own.life.method == "one blade, its own interval"
    assert_allclose([own.life.low, own.life.high], np.exp([0.5, 2.5]))
    bare = group("ABB", [1.0, 2.0, 2.1])
    assert (bare.life.low, bare.life.high) == (0.0, inf)


def test_one_blade_that_was_stopped_lives_at_least_as_long():
    found = group("ABB", [1.0, 2.0, 2.1], censored=[True, False, False])
    assert found.life.method == "one blade, its life between two ends"
    assert (found.life.low, found.life.high) == (pytest.approx(exp(1.0)), inf)
    assert np.isnan(found.life.value)  # a bound is no life


def test_blades_that_were_all_stopped_have_no_life():
    found = group("AABB", [1.0, 1.2, 2.0, 2.2], censored=[True, True, False, False])
    assert found.life.method == "median, lives known to intervals"
    assert found.life.high == inf
    assert found.reliable is None


def test_from_eight_blades_on_a_customer_is_told_what_to_rely_on():
    eight = np.linspace(1.0, 1.7, 8)
    found = group("A" * 8 + "BB", [*eight, 2.0, 2.2]).reliable
    assert found.scatter.df == 7
    assert found.scatter.sd == pytest.approx(eight.std(ddof=1))
    assert group("A" * 7 + "BB", [*eight[:7], 2.0, 2.2]).reliable is None
    stopped = [True, *[False] * 9]
    assert group("A" * 8 + "BB", [*eight, 2.0, 2.2], censored=stopped).reliable is None


def test_the_study_s_other_blades_lend_their_scatter_by_degrees_of_freedom():
    """Eleven blades of variance v and ten of variance w: (10 v + 9 w) / 19; 21 in all: 20."""
    b, c = np.linspace(2.0, 2.5, 11), np.linspace(3.0, 3.9, 11)
    found = group("AA" + "B" * 11 + "C" * 11, [1.0, 1.1, *b, *c]).reliable
    assert found.scatter.whose == "this study's other heat treatments"
    assert found.scatter.df == 20
    assert found.scatter.sd == pytest.approx(np.sqrt((b.var(ddof=1) + c.var(ddof=1)) / 2))
    fewer = group("AA" + "B" * 11 + "C" * 10, [1.0, 1.1, *b, *c[:10]])
    assert fewer.reliable is None


def test_a_shop_s_history_lends_its_own():
    found = group("AABB", [1.0, 1.1, 2.0, 2.2], history=ShopHistory(0.2, 30.0, 5)).reliable
    assert (found.scatter.sd, found.scatter.df) == (0.2, 30.0)
    assert found.scatter.whose == "the shop's earlier studies"
    lots = {"batch": ["1", "1", "2", "2"], "history": ShopHistory(0.2, 30.0, 5)}
    assert group("AABB", [1.0, 1.1, 2.0, 2.2], **lots).reliable is None
