"""Censored lives against published answers and an established survival library.

Sources: W. Nelson, Applied Life Data Analysis (1982), pages 409 (turbine wheels) and 415
(cracked parts), answers as printed in the SAS/QC guide and recomputed in R (survival);
NIST/SEMATECH e-Handbook, section 8.4 (Weibull with right censoring); Lieblein and Zelen
(1956), bearings; lifelines 0.30 data sets nh4 and diabetes, the latter with R's answers
(flexsurv, icenReg) as quoted in lifelines' own tests.
"""

import csv
from importlib.util import find_spec
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.graded.life_distributions import fit_lives

INF = np.inf


def test_right_censored_weibull_of_the_nist_handbook():
    failed = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
    fit = fit_lives(failed + [500] * 10, failed + [INF] * 10, law="weibull")
    assert_allclose([fit.shape, np.exp(fit.location[0])], [1.7208, 606.5280], rtol=1e-4)
    assert_allclose(fit.log_likelihood, -75.13462, atol=5e-6)


CRACKED_MONTHS = [0, 6.12, 19.92, 29.64, 35.40, 39.72, 45.24, 52.32, 63.48]
CRACKED = [5, 16, 12, 18, 18, 2, 6, 17, 73]


def test_cracked_parts_seen_at_common_inspections():
    fit = fit_lives(CRACKED_MONTHS, [*CRACKED_MONTHS[1:], INF], count=CRACKED, law="weibull")
    assert_allclose([np.exp(fit.location[0]), fit.shape], [71.6904, 1.4854], rtol=4e-5)
    assert_allclose(fit.log_likelihood, -309.66841, atol=1e-5)
    # Taking the middle of each interval for the life is not the same thing.
    middle = [(a + b) / 2 for a, b in pairwise(CRACKED_MONTHS)]
    short = fit_lives(
        [*middle, 63.48], [*middle, INF], count=CRACKED, law="weibull", small_sample=False
    )
    assert abs(short.shape - fit.shape) > 0.004


HUNDRED_HOURS = [4, 10, 14, 18, 22, 26, 30, 34, 38, 42, 46]
WHEELS_CRACKED = [0, 4, 2, 7, 5, 9, 9, 6, 22, 21, 21]
WHEELS_WHOLE = [39, 49, 31, 66, 25, 30, 33, 7, 12, 19, 15]


def wheels(law):
    lower, upper = [0] * 11 + HUNDRED_HOURS, HUNDRED_HOURS + [INF] * 11
    return fit_lives(lower, upper, count=WHEELS_CRACKED + WHEELS_WHOLE, law=law)


def test_turbine_wheels_looked_at_once_each():
    lognormal, weibull = wheels("lognormal"), wheels("weibull")
    assert_allclose(lognormal.location[0], 3.69991, atol=1e-5)
    assert_allclose(lognormal.scatter.value, 0.71989, atol=1e-5)
    assert_allclose(lognormal.groups[0].median.value, 40.44, atol=0.005)
    assert_allclose(lognormal.log_likelihood, -190.73155, atol=1e-5)
    assert_allclose([np.exp(weibull.location[0]), weibull.shape], [46.7772, 2.17578], rtol=2e-6)
    assert_allclose(weibull.log_likelihood, -189.28719, atol=1e-5)


def test_bearings_known_exactly():
    lives = [
        *[17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.40, 51.84, 51.96, 54.12, 55.56, 67.80],
        *[68.64, 68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40],
    ]
    fit = fit_lives(lives, lives, law="weibull")
    assert_allclose([np.exp(fit.location[0]), fit.shape], [81.8745, 2.10185], rtol=2e-6)


def data_set(name):
    """Rows of a data set that travels with lifelines, without importing it (5 s)."""
    found = find_spec("lifelines")
    if found is None:
        pytest.skip("lifelines is not installed")
    with open(f"{found.submodule_search_locations[0]}/datasets/{name}.csv") as file:
        return list(csv.DictReader(file))


def test_readings_below_four_detection_limits():
    rain = data_set("nh4")
    value = np.array([float(row["NH4.mg.per.L"]) for row in rain])
    below = np.array([row["Censored"].upper() == "TRUE" for row in rain])
    assert below.sum() == 46
    fit = fit_lives(np.where(below, 0.0, value), value)
    assert_allclose([fit.location[0], fit.scatter.value], [-4.71450, 1.25335], atol=8e-6)
    assert_allclose(fit.log_likelihood, 88.1644, atol=5e-5)
    half = np.where(below, value / 2, value)  # a common shortcut, and not the same
    assert abs(fit_lives(half, half).location[0] - fit.location[0]) > 0.02


def test_interval_censored_groups_against_r():
    rows = data_set("interval_diabetes")
    ends = [[float(row[end]) for row in rows] for end in ("left", "right")]
    fit = fit_lives(*ends, group=[row["gender"] for row in rows], law="weibull")
    female, male = (
        fit.location[[g.group for g in fit.groups].index(x)] for x in ("female", "male")
    )
    assert_allclose(np.exp(female), 18.31971, rtol=1e-6)
    assert_allclose(male - female, 0.04576, atol=5e-6)
    assert_allclose(fit.shape, 2.82628, rtol=1e-6)
    assert_allclose(fit.log_likelihood, -2027.196, atol=5e-4)


def test_profile_interval_of_a_median_lies_where_the_likelihood_has_fallen():
    """Against lifelines: its Weibull log-likelihood at our ends, its other parameter refitted."""
    from scipy.optimize import minimize_scalar
    from scipy.stats import chi2, weibull_min

    failed = np.array([54, 187, 216, 240, 244, 335, 361, 373, 375, 386.0])
    fit = fit_lives(
        [*failed, *[500] * 10], [*failed, *[INF] * 10], law="weibull", small_sample=False
    )

    def best_at(median):
        def negative(shape):
            law = weibull_min(shape, scale=median / np.log(2) ** (1 / shape))
            return -(law.logpdf(failed).sum() + 10 * law.logsf(500))

        return -minimize_scalar(negative, bounds=(0.2, 8), method="bounded").fun

    fallen = chi2.ppf(0.95, 1) / 2
    life = fit.groups[0].median
    for end in (life.low, life.high):
        assert_allclose(fit.log_likelihood - best_at(end), fallen, atol=1e-5)


def bracketed(seed, n):
    """Invented log lives, two in five known only to an interval, some only as a bound."""
    rng = np.random.default_rng(seed)
    truth = rng.normal(0, 2.5, n)
    lower, upper = truth.copy(), truth.copy()
    bracket = rng.random(n) < 0.4
    lower[bracket] = 5 * np.floor(truth[bracket] / 5)
    upper[bracket] = lower[bracket] + 5
    still = truth > 2
    lower[still], upper[still] = 2, INF
    return np.exp(lower), np.exp(upper)


@pytest.mark.filterwarnings("ignore::Warning:lifelines")
@pytest.mark.parametrize(("seed", "n"), [(1, 12), (2, 30), (3, 100)])
def test_bracketed_lives_have_the_maximum_of_lifelines(seed, n):
    lifelines = pytest.importorskip("lifelines")
    lives = bracketed(seed, n)
    ours = fit_lives(*lives, small_sample=False)
    theirs = lifelines.LogNormalFitter().fit_interval_censoring(*lives)
    assert ours.location[0] == pytest.approx(theirs.mu_, abs=1e-3)
    assert ours.scatter.value == pytest.approx(theirs.sigma_, abs=1e-3)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-4)
    # The profile interval is about that of the standard error where there are many lives.
    half = np.log(ours.groups[0].median.high / ours.groups[0].median.low) / 2
    wald = 1.959964 * theirs.summary["se(coef)"]["mu_"]
    assert half == pytest.approx(wald, rel=0.5 / np.sqrt(n))
