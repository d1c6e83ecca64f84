"""Lives from pass and fail."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import stdtrit

from edgetest.errors import UnusableInput
from edgetest.stats.censoring import LAWS, Lives, fit_line
from edgetest.wear.graded.life_distributions import fit_lives
from tests.wear.columns import codes

INF = np.inf
PASSED, FAILED = [50, 50, 75, 75, 100, 100], [75, 75, 100, 100, 150, INF]


def test_lives_known_exactly_give_the_t_interval_of_their_mean():
    life = np.exp(np.random.default_rng(2).normal(5, 0.2, 4))
    median = fit_lives(life, life).groups[0].median
    log_life = np.log(life)
    half = stdtrit(3, 0.975) * log_life.std(ddof=1) / 2
    ends = log_life.mean() - half, log_life.mean() + half
    assert_allclose(np.log([median.low, median.high]), ends, rtol=1e-6)


@pytest.mark.parametrize("law", ["lognormal", "weibull"])
def test_a_median_goes_with_the_unit(law):
    plain = fit_lives(PASSED, FAILED, group=list("AABABB"), law=law)
    scaled = fit_lives(
        np.array(PASSED) * 0.3, np.array(FAILED) * 0.3, group=list("AABABB"), law=law
    )
    for one, other in zip(plain.groups, scaled.groups, strict=True):
        ends = [0.3 * x for x in (one.median.value, one.median.low, one.median.high)]
        met = [other.median.value, other.median.low, other.median.high]
        assert_allclose(met, ends, rtol=1e-5)


def test_counted_rows_are_that_many_blades():
    counted = fit_lives([50, 75], [75, INF], count=[3, 2])
    listed = fit_lives([50] * 3 + [75] * 2, [75] * 3 + [INF] * 2)
    assert_allclose(counted.log_likelihood, listed.log_likelihood, rtol=1e-9)
    assert counted.groups[0].n == 5


def test_a_group_that_never_dulled_has_a_least_life():
    fit = fit_lives([50, 50, 75, 75], [75, 75, INF, INF], group=list("AABB"))
    assert "never_dulled" in codes(fit)
    assert fit.groups[1].median.high == INF
    assert fit.groups[1].median.low > 50
    assert "or more" in fit.summary()
    json.dumps(fit.to_dict(), allow_nan=False)


def test_a_group_dull_at_its_first_check_has_a_most_life():
    fit = fit_lives([0, 0, 75, 50], [50, 50, 100, 75], group=list("AABB"))
    assert "dull_at_first_check" in codes(fit)
    assert fit.groups[0].median.low == 0


def test_checks_too_far_apart_to_show_scatter_are_named():
    fit = fit_lives([50] * 3, [75] * 3)
    median = fit.groups[0].median
    assert "scatter_not_seen" in codes(fit)
    assert median.low < 50 < 75 < median.high
    assert 50 < median.value < 75


def test_wider_checks_widen_the_interval():
    close = fit_lives([60, 65, 70], [62, 67, 72]).groups[0].median
    wide = fit_lives([50, 55, 60], [72, 77, 82]).groups[0].median
    assert wide.high / wide.low > close.high / close.low


def test_missing_bounds_mean_no_bound():
    blank = fit_lives([50, np.nan, 75], [75, 50, np.nan])
    spelled = fit_lives([50, 0, 75], [75, 50, INF])
    assert blank == spelled


@pytest.mark.parametrize(
    ("lower", "upper", "message"),
    [
        ([75], [50], "row 1 ends at 50, before it begins at 75"),
        ([50], [INF], "no blade reached its end"),
        ([-1], [50], "a life is not above 0"),
        ([50, 60], [75], "columns of different lengths"),
        ([0], [50], "no group has a blade between a pass and a fail"),
    ],
)
def test_unusable_lives_are_named(lower, upper, message):
    with pytest.raises(UnusableInput, match=message):
        fit_lives(lower, upper)


def test_unknown_law_is_named():
    with pytest.raises(UnusableInput, match='no law "gamma"'):
        fit_lives([50], [75], law="gamma")


@pytest.mark.parametrize("law", ["lognormal", "weibull"])
def test_the_scatter_s_interval_ends_where_the_likelihood_has_fallen_alike(law):
    low, high = [90.0, 120, 150, 200, 240], [100.0, 140, 180, 230, np.inf]
    fit = fit_lives(low, high, law=law)
    scatter = fit.scatter
    assert 0 < scatter.low < scatter.value < scatter.high
    lives = Lives(np.log(low), np.log(high), np.zeros(5, int), np.ones(5))
    best = fit_line(LAWS[law], lives, 1)
    assert 1 / best.theta[0] == pytest.approx(scatter.value, rel=1e-4)
    falls = [
        best.log_likelihood - fit_line(LAWS[law], lives, 1, scatter=end).log_likelihood
        for end in (scatter.low, scatter.high)
    ]
    assert falls[0] == pytest.approx(falls[1], rel=1e-3)
    assert falls[0] > 1
    large = fit_lives(low, high, law=law, small_sample=False).scatter
    for end in (large.low, large.high):  # half the 95 % point of chi-squared with 1 df
        fall = best.log_likelihood - fit_line(LAWS[law], lives, 1, scatter=end).log_likelihood
        assert fall == pytest.approx(3.8415 / 2, rel=1e-3)


def test_a_group_of_which_nothing_is_known_is_not_among_the_groups():
    lower, upper = [100.0, 120.0, 0.0, 90.0], [100.0, 120.0, np.inf, 90.0]
    found = fit_lives(lower, upper, group=["A", "A", "B", "C"])
    assert [each.group for each in found.groups] == ["A", "C"]
    alone = fit_lives(lower[:2], upper[:2], group=["A", "A"], count=[1, 0])
    assert alone.threshold == "chi-square"  # one life: no scatter, no t
    assert fit_lives(lower[:2], upper[:2], group=["A", "A"]).threshold == "t"
