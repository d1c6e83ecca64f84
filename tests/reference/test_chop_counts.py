"""Against published counts and intervals: ships, cloth, Poisson rates, statsmodels.

Ships: McCullagh & Nelder, Generalized Linear Models, 2nd ed. (1989), section 6.3.2, data as in
R's MASS::ships. Cloth: Bissell, Biometrika 59 (1972) 435-441, data as in R's boot::cloth.
Rates: R's poisson.test documentation; 15 / 400 from statsmodels' tests (R DescTools).
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import xlogy

from edgetest.stats.mixed import fit_mixed, random_coefficients
from edgetest.stats.rates import poisson_rate, poisson_ratio
from edgetest.stats.regression import fit_rate

# type, built, period of service, months of service, incidents
SHIPS = """A 60 60 127 0|A 60 75 63 0|A 65 60 1095 3|A 65 75 1095 4|A 70 60 1512 6|
A 70 75 3353 18|A 75 75 2244 11|B 60 60 44882 39|B 60 75 17176 29|B 65 60 28609 58|
B 65 75 20370 53|B 70 60 7064 12|B 70 75 13099 44|B 75 75 7117 18|C 60 60 1179 1|
C 60 75 552 1|C 65 60 781 0|C 65 75 676 1|C 70 60 783 6|C 70 75 1948 2|C 75 75 274 1|
D 60 60 251 0|D 60 75 105 0|D 65 60 288 0|D 65 75 192 0|D 70 60 349 2|D 70 75 1208 11|
D 75 75 2051 4|E 60 60 45 0|E 65 60 789 7|E 65 75 437 7|E 70 60 1157 5|E 70 75 2161 12|
E 75 75 542 1"""
CLOTH = np.fromstring(
    """1.22 1 1.7 4 2.71 5 3.71 14 3.72 7 3.75 9 4.17 2 4.41 8 4.58 4 4.91 7 4.92 4 4.95 7 5.22 6
    5.42 9 5.43 8 5.51 6 6.3 7 6.42 10 6.45 6 6.51 4 6.57 9 7.15 14 7.16 3 7.35 17 7.38 9 7.49 10
    8.32 17 8.42 9 8.68 8 8.95 28 9.05 23 9.52 9""",
    sep=" ",
).reshape(-1, 2)
RAIL = [55, 53, 54, 26, 37, 32, 78, 91, 85, 92, 100, 96, 49, 51, 50, 80, 85, 83]


@pytest.fixture
def ships():
    rows = [row.split() for row in SHIPS.replace("\n", "").split("|")]
    kind, built, period, months, incidents = zip(*rows, strict=True)
    columns = [np.ones(len(rows))]
    columns += [np.array(kind) == name for name in "BCDE"]
    columns += [np.array(built) == year for year in ("65", "70", "75")]
    columns += [np.array(period) == "75"]
    design = np.column_stack(columns).astype(float)
    return design, np.array(incidents, float), np.array(months, float)


def test_ships_coefficients_and_dispersion(ships):
    fit = fit_rate(*ships, spread="estimated")
    expected = [-6.4059, -0.5433, -0.6874, -0.0760, 0.3256, 0.6971, 0.8184, 0.4534, 0.3845]
    assert_allclose(fit.params, expected, atol=6e-5)
    design, count, months = ships
    fitted = months * np.exp(design @ fit.params)
    deviance = 2 * np.sum(xlogy(count, count / fitted) - count + fitted)
    assert deviance == pytest.approx(38.695, abs=6e-4)
    assert fit.df == pytest.approx(25)
    assert fit.dispersion == pytest.approx(1.691, abs=6e-4)
    assert fit.p_over < 0.05


def test_ships_against_statsmodels(ships):
    import statsmodels.api as sm

    design, count, months = ships
    model = sm.GLM(count, design, family=sm.families.Poisson(), exposure=months)
    plain = model.fit()
    fit = fit_rate(design, count, months, spread="poisson")
    assert_allclose(fit.params, plain.params, rtol=1e-7)
    assert_allclose(np.sqrt(np.diag(fit.cov)), plain.bse, rtol=1e-6)
    scaled = fit_rate(design, count, months, spread="estimated")
    assert_allclose(np.sqrt(np.diag(scaled.cov)), model.fit(scale="X2").bse, rtol=1e-6)


def test_cloth_is_overdispersed():
    length, faults = CLOTH.T
    fit = fit_rate(np.ones((32, 1)), faults, length, spread="estimated")
    assert fit.dispersion == pytest.approx(2.194, abs=6e-4)
    assert fit.p_over < 0.001


def test_cloth_exposure_is_proportional():
    length, faults = CLOTH.T
    design = np.column_stack([np.ones(32), np.log(length)])
    fit = fit_rate(design, faults, np.ones(32), spread="poisson")
    assert fit.params[1] == pytest.approx(0.9969, abs=6e-5)
    assert np.sqrt(fit.cov[1, 1]) == pytest.approx(0.176, abs=6e-4)


def test_one_rate():
    rate = poisson_rate(137, 24.19893)
    assert_allclose([rate.value, rate.low, rate.high], [5.661407, 4.753125, 6.692709], atol=6e-7)
    few = poisson_rate(15, 400)
    assert_allclose([few.low, few.high], [0.0209884653, 0.0618505472], atol=6e-11)


def test_two_rates():
    ratio = poisson_ratio(11, 800, 21, 3011)
    assert_allclose(
        [ratio.value, ratio.low, ratio.high], [1.971488, 0.8584264, 4.277266], rtol=4e-7
    )
    # Gu et al. (2008): 60 / 51477.5 against 30 / 54308.7, ratio 2.1099976.
    assert poisson_ratio(60, 51477.5, 30, 54308.7).value == pytest.approx(2.1099976, abs=6e-8)


def test_rail_mixed_model():
    # Pinheiro & Bates (2000), section 1.1: REML 24.805, 4.0208, log-likelihood -61.0885.
    rails = random_coefficients(np.repeat(range(6), 3), {"rail": np.ones(18)})
    fit = fit_mixed(RAIL, np.ones((18, 1)), rails)
    assert fit.effects[0] == pytest.approx(66.5)
    assert fit.sd["rail"] == pytest.approx(24.805, abs=6e-4)
    assert fit.sd["residual"] == pytest.approx(4.0208, abs=6e-5)
    assert fit.log_likelihood == pytest.approx(-61.0885, abs=6e-5)
    assert np.sqrt(fit.cov[0, 0]) == pytest.approx(10.17, abs=6e-3)


def test_random_slopes_against_statsmodels():
    import statsmodels.api as sm

    rng = np.random.default_rng(5)
    blade = np.repeat(np.arange(8), 12)
    x = np.tile(np.linspace(-1, 1, 12), 8)
    shift, tilt = rng.normal(0, 0.5, 8), rng.normal(0, 0.4, 8)
    y = 2 + shift[blade] + (0.3 + tilt[blade]) * x + rng.normal(0, 0.2, 96)
    design = np.column_stack([np.ones(96), x])
    fit = fit_mixed(y, design, random_coefficients(blade, {"shift": np.ones(96), "tilt": x}))
    free = sm.regression.mixed_linear_model.MixedLMParams.from_components(
        fe_params=np.ones(2), cov_re=np.eye(2)
    )
    other = sm.MixedLM(y, design, groups=blade, exog_re=design).fit(free=free, reml=True)
    assert_allclose(fit.effects, other.fe_params, rtol=1e-4)
    assert_allclose([fit.sd["shift"], fit.sd["tilt"]], np.sqrt(np.diag(other.cov_re)), rtol=2e-3)
    assert fit.sd["residual"] == pytest.approx(np.sqrt(other.scale), rel=1e-3)
    assert_allclose(np.sqrt(np.diag(fit.cov)), other.bse_fe, rtol=3e-3)
