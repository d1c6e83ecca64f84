import numpy as np
import pytest
from scipy.stats import chi2, poisson
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.regression import (
    LogContrast,
    NormalPrior,
    _at_least,
    _expected,
    _used_df,
    exponential,
    fit_rate,
    log_contrast,
)


def test_censored_counts_are_maximum_likelihood():
    from scipy.optimize import minimize_scalar
    from scipy.stats import poisson

    def loss(log_mean):
        mean = np.exp(log_mean)
        return -poisson.logpmf([20, 25, 18], mean).sum() - poisson.logsf(40, mean)

    best = minimize_scalar(loss, bounds=(2, 5), method="bounded", options={"xatol": 1e-10})
    fit = fit_rate(
        np.ones((4, 1)),
        [20, 25, 18, 40],
        np.ones(4),
        spread="poisson",
        unfinished=[False, False, False, True],
    )
    assert fit.params[0] == pytest.approx(best.x, abs=1e-6)
    step = 1e-3
    curve = (loss(best.x + step) + loss(best.x - step) - 2 * loss(best.x)) / step**2
    assert fit.cov[0, 0] == pytest.approx(1 / curve, rel=1e-4)


def test_interval_wider_than_all_numbers_has_an_open_end():
    """Pieces that nearly all still stood bound a rate from below alone."""
    told = LogContrast(2.0, 400.0, 5.0).factor("chops", 0.95, "test")
    assert told.value == pytest.approx(np.exp(2.0))
    assert told.low == 0
    assert told.high == np.inf
    assert told.to_dict()["high"] is None


COUNTS, AREA = np.array([20.0, 31, 26, 45, 38, 52]), np.array([1.0, 1.5, 1.0, 2.0, 1.5, 2.0])
DESIGN = np.column_stack([np.repeat([1.0, 0], 3), np.repeat([0.0, 1], 3)])


def test_each_spread_widens_by_its_own_rule():
    """Poisson: 1; estimated: Pearson's X² over df; moderated: 3 usual billets among the df."""
    rates = np.array([77 / 3.5, 135 / 5.5])
    fitted = AREA * np.repeat(rates, 3)
    pearson = ((COUNTS - fitted) ** 2 / fitted).sum()
    plain = fit_rate(DESIGN, COUNTS, AREA, spread="poisson")
    assert np.exp(plain.params) == pytest.approx(rates)
    assert np.diag(plain.cov) == pytest.approx([1 / 77, 1 / 135])
    assert (plain.dispersion, plain.df, plain.df_interval) == (1.0, 4.0, np.inf)
    assert plain.pearson == pytest.approx(pearson)
    estimated = fit_rate(DESIGN, COUNTS, AREA, spread="estimated")
    assert estimated.dispersion == pytest.approx(pearson / 4)
    assert estimated.df_interval == pytest.approx(4.0)
    moderated = fit_rate(DESIGN, COUNTS, AREA)
    usual = 1 + 0.15**2 * fitted.mean()
    assert moderated.dispersion == pytest.approx((3 * usual + pearson) / 7)
    assert moderated.df_interval == pytest.approx(7.0)
    assert np.diag(moderated.cov) == pytest.approx(moderated.dispersion / np.array([77, 135]))
    assert moderated.p_over == pytest.approx(chi2.sf(pearson, 4))
    assert moderated.p_under == pytest.approx(chi2.cdf(pearson, 4))


def test_a_normal_prior_enters_as_its_density():
    """One rate: the maximum of n log m - m A - (log m - mean)² / 2 sd², and its curvature."""
    prior = NormalPrior(np.array([3.0]), np.array([0.1]))
    fit = fit_rate(np.ones((2, 1)), [10, 14], [1.0, 1.0], spread="poisson", prior=prior)
    at = fit.params[0]
    assert 24 - 2 * np.exp(at) - (at - 3.0) / 0.01 == pytest.approx(0.0, abs=1e-6)
    assert fit.cov[0, 0] == pytest.approx(1 / (2 * np.exp(at) + 100))
    # Degrees of freedom that the counts, not the prior, spent.
    told = 2 * np.exp(at)
    assert fit.df == pytest.approx(2 - told / (told + 100), rel=1e-6)


def test_a_contrast_has_students_interval_and_confidence():
    told = LogContrast(0.3, 0.2, 6.0)
    assert told.half(0.95) == pytest.approx(student.ppf(0.975, 6) * 0.2)
    found = told.factor("x", 0.9, "m")
    assert found.low == pytest.approx(np.exp(0.3 - student.ppf(0.95, 6) * 0.2))
    assert told.probability_below() == pytest.approx(student.cdf(-1.5, 6))
    assert LogContrast(0.3, 0.2, np.inf).half(0.95) == pytest.approx(1.959964 * 0.2, rel=1e-6)
    assert (exponential(800.0), exponential(1.0)) == (np.inf, pytest.approx(np.e))
    wide = log_contrast(np.array([1.0, -1.0]), np.array([2.0, 1.5]), np.diag([0.04, 0.05]), 9.0,
                        extra_variance=0.16)  # fmt: skip
    assert (wide.value, wide.stderr, wide.df) == pytest.approx((0.5, 0.5, 9.0))


@pytest.mark.parametrize(
    ("count", "exposure", "words"),
    [
        ([3, -1], [1, 1], "a count is missing or below zero"),
        ([3, np.nan], [1, 1], "a count is missing or below zero"),
        ([0, 0], [1, 1], "all are zero"),
        ([3, 1], [1, 0], "exposure is missing or not above zero"),
        ([3, 1], [1, np.nan], "exposure is missing or not above zero"),
    ],
)
def test_what_is_no_count_is_named(count, exposure, words):
    with pytest.raises(UnusableInput, match=words):
        fit_rate(np.ones((2, 1)), count, exposure)


def test_blades_that_the_billets_do_not_tell_apart_are_refused():
    with pytest.raises(UnusableInput, match="do not tell the blades"):
        fit_rate(np.ones((3, 2)), [3, 4, 5], np.ones(3))
    with pytest.raises(UnusableInput, match="nothing to estimate the spread from"):
        fit_rate(np.ones((1, 1)), [3], [1.0], spread="estimated")


def test_a_contrast_has_the_variance_of_its_fit_and_what_is_added():
    weights, cov = np.array([1.0, -1.0]), np.array([[0.04, 0.01], [0.01, 0.09]])
    own = log_contrast(weights, np.array([0.5, 0.2]), cov, 8.0)
    assert own.value == pytest.approx(0.3)
    assert own.stderr == pytest.approx(np.sqrt(0.04 + 0.09 - 2 * 0.01))
    more = log_contrast(weights, np.array([0.5, 0.2]), cov, 8.0, extra_variance=0.14)
    assert more.stderr == pytest.approx(0.5)


@pytest.mark.parametrize("least", [0, 1, 2, 25])
@pytest.mark.parametrize("mean", [0.7, 3.0, 30.0])
def test_a_lower_bound_counts_as_its_expectation_and_lacks_its_variance(least, mean):
    """Of a Poisson count known to be larger than `least`: plain sums over what it may be."""
    counts = np.arange(least + 1, 300)
    weight = poisson.pmf(counts, mean)
    expected = counts @ weight / weight.sum()
    variance = (counts - expected) ** 2 @ weight / weight.sum()
    seen, lost = _expected(np.array([5.0, least]), np.array([9.0, mean]), np.array([False, True]))
    assert seen == pytest.approx([5.0, expected], rel=1e-9)
    assert lost == pytest.approx([0.0, variance], rel=1e-6, abs=1e-9)
    assert _at_least(np.array([0.0, 1, 4]), mean) == pytest.approx(poisson.sf([-1, 0, 3], mean))


def test_counts_without_bounds_are_taken_as_they_are():
    count = np.array([3.0, 4.0])
    seen, lost = _expected(count, np.array([9.0, 9.0]), np.array([False, False]))
    assert seen is count
    assert lost == 0.0


def test_bounds_tell_nothing_of_the_spread():
    """Pearson's sum and its degrees of freedom are of the counts that ended."""
    off = np.array([False, False, False, True])
    fit = fit_rate(np.ones((4, 1)), [20, 25, 18, 40], np.ones(4), unfinished=off)
    fitted = np.exp(fit_rate(np.ones((4, 1)), [20, 25, 18, 40], np.ones(4), spread="poisson",
                             unfinished=off).params[0])  # fmt: skip
    pearson = ((np.array([20, 25, 18]) - fitted) ** 2).sum() / fitted
    assert fit.df == pytest.approx(2.0)
    assert fit.pearson == pytest.approx(pearson, rel=1e-6)
    usual = 1 + 0.15**2 * fitted
    assert fit.dispersion == pytest.approx((3 * usual + pearson) / 5, rel=1e-6)
    assert fit.spread == "moderated"


def test_one_count_leaves_nothing_to_judge_its_spread_by():
    alone = fit_rate(np.ones((1, 1)), [9], [2.0], spread="poisson")
    assert np.isnan([alone.p_over, alone.p_under]).all()
    assert alone.df == pytest.approx(0.0, abs=1e-9)
    assert np.exp(alone.params[0]) == pytest.approx(4.5)
    # Two that agree to all digits leave a thousandth of chance, not nothing.
    same = fit_rate(np.ones((2, 1)), [9, 9], [2.0, 2.0], spread="estimated")
    assert same.dispersion == 1e-3
    assert same.cov[0, 0] == pytest.approx(1e-3 / 18)
    with pytest.raises(UnusableInput, match="use one of"):
        fit_rate(np.ones((2, 1)), [9, 9], [2.0, 2.0], spread="other")


def test_an_end_is_open_from_the_last_number_that_a_float_holds():
    assert exponential(699.9) == pytest.approx(np.exp(699.9))
    assert exponential(700.0) == np.inf
    told = LogContrast(-0.3, 0.2, np.inf)
    assert told.probability_below() == pytest.approx(0.9331928, abs=1e-6)
    found = told.factor("x", 0.9, "m")
    assert (found.unit, found.level, found.method) == ("x", 0.9, "m")
    assert (found.value, found.high) == pytest.approx((np.exp(-0.3), np.exp(-0.3 + 0.2 * 1.644854)))


def test_a_prior_of_one_coefficient_leaves_the_others_degrees_to_the_counts():
    """Trace of (X'WX + 1/sd²)⁻¹ X'WX: of two columns of which one has a prior."""
    design, fitted = np.array([[1.0, 0.0], [1.0, 1.0]]), np.array([4.0, 9.0])
    data = design.T @ np.diag(fitted) @ design
    prior = NormalPrior(np.zeros(2), np.array([np.inf, 0.5]))
    expected = np.trace(np.linalg.inv(data + np.diag([0.0, 4.0])) @ data)
    assert _used_df(design, fitted, prior) == pytest.approx(expected)
    none = NormalPrior(np.zeros(2), np.full(2, np.inf))
    assert _used_df(design, fitted, none) == pytest.approx(2.0)


def test_less_than_half_a_degree_of_freedom_tells_nothing_of_the_spread():
    # A count of 7 with a prior worth 3 leaves 1 - 7 / (7 + 3) of a degree of freedom.
    prior = NormalPrior(np.array([np.log(7.0)]), np.array([3**-0.5]))
    fit = fit_rate([[1.0]], [7], [1.0], prior=prior)
    assert fit.df == pytest.approx(0.3)
    assert np.isnan(fit.p_over)
    assert np.isnan(fit.p_under)
