"""Bounds in the likelihood: slopes and curvatures, and fits that meet the exact maximum."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize
from scipy.stats import norm

from edgetest.wear.curve.bounded_readings import normal_bounds
from edgetest.wear.curve.laws import LAWS
from tests.wear.columns import fit_study

INTERVALS = [(-np.inf, 0.3), (-np.inf, -4.0), (1.2, np.inf), (5.0, np.inf), (-0.5, 1.0), (3.0, 4.0)]


@pytest.mark.parametrize(("low", "high"), INTERVALS)
def test_slope_and_curvature_of_a_bound(low, high):
    def log_mass(mean):
        a, b = low - mean, high - mean
        return np.log(norm.cdf(b) - norm.cdf(a) if b < 2 else norm.sf(a) - norm.sf(b))

    h = 1e-4
    slope = (log_mass(h) - log_mass(-h)) / (2 * h)
    curvature = -(log_mass(h) - 2 * log_mass(0.0) + log_mass(-h)) / h**2
    found = normal_bounds(np.array([low]), np.array([high]))
    assert_allclose(np.concatenate(found), [slope, curvature], rtol=1e-5, atol=1e-6)


def test_bounds_far_off_stay_finite():
    low = np.array([-np.inf, 60.0, -60.0, 40.0, -np.inf])
    high = np.array([-50.0, np.inf, np.inf, 41.0, 80.0])
    slope, curvature = normal_bounds(low, high)
    assert np.isfinite(slope).all()
    assert np.isfinite(curvature).all()
    assert_allclose(slope[:2], [-50, 60], rtol=1e-3)
    assert_allclose(curvature[[0, 1]], 1, rtol=1e-2)
    assert_allclose(slope[[2, 4]], 0, atol=1e-12)


def readings():
    """Cuts, widths, bounds: first stage below 2 µm, one stage between, last above 11 µm."""
    cuts = np.array([0.0, 10, 20, 40, 80, 120, 160, 240])
    value = np.array([np.nan, 3.1, 4.0, 5.2, np.nan, 8.8, 9.7, np.nan])
    lower = np.array([np.nan] * 4 + [6.5] + [np.nan] * 2 + [11.0])
    upper = np.array([2.0] + [np.nan] * 3 + [8.0] + [np.nan] * 3)
    return cuts, value, lower, upper


def test_fit_with_bounds_is_the_maximum_of_the_exact_likelihood():
    cuts, value, lower, upper = readings()
    fit = fit_study(["A"] * 8, cuts, value, lower=lower, upper=upper, limit=10.0, power=2.0)
    curve = fit["A"]
    # The scatter is taken from the numbers; given it, curve and bounds must be at the top.
    from edgetest.wear.curve.joint_fit import fit_blades
    from edgetest.wear.curve.stage_cells import stage_cells, wear_readings

    made = stage_cells(wear_readings(["A"] * 8, cuts, value, lower=lower, upper=upper))
    sd = np.sqrt(fit_blades(LAWS["wedge"], [made], log_power=np.log(2.0)).scatter.residual_var)

    def minus_log_likelihood(theta):
        mean = theta[0] + LAWS["wedge"].log_shape(cuts, np.array([theta[1], np.log(2.0)]))
        number = np.isfinite(value)
        total = norm.logpdf(np.log(value[number]), mean[number], sd).sum()
        total += norm.logcdf(np.log(2.0), mean[0], sd)
        total += norm.logsf(np.log(11.0), mean[7], sd)
        between = norm.cdf(np.log(8.0), mean[4], sd) - norm.cdf(np.log(6.5), mean[4], sd)
        return -total - np.log(between)

    start = np.array([curve.log_scale + 0.02, curve.psi[0] - 0.05])
    tight = {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000}
    best = minimize(minus_log_likelihood, start, method="Nelder-Mead", options=tight)
    assert_allclose([curve.log_scale, curve.psi[0]], best.x, atol=2e-4)


def test_a_bound_is_not_its_limit_and_not_half_of_it():
    cuts, value, lower, upper = readings()

    def fresh(first, bound):
        v, u = value.copy(), upper.copy()
        v[0], u[0] = first, bound
        fit = fit_study(["A"] * 8, cuts, v, lower=lower, upper=u, limit=10.0, power=2.0)
        return fit["A"].parameters["w0"].value

    as_bound = fresh(np.nan, 2.0)
    assert as_bound < fresh(2.0, np.nan)
    assert abs(as_bound / fresh(1.0, np.nan) - 1) > 0.05


def test_a_bound_met_by_far_says_nothing():
    cuts, value, lower, upper = readings()
    with_it = fit_study(
        ["A"] * 8,
        cuts,
        value,
        lower=lower,
        upper=np.where(upper == 2, 40, upper),
        limit=10.0,
        power=2.0,
    )
    keep = np.arange(1, 8)
    without = fit_study(
        ["A"] * 7,
        cuts[keep],
        value[keep],
        lower=lower[keep],
        upper=upper[keep],
        limit=10.0,
        power=2.0,
    )
    assert with_it["A"].life.cuts == pytest.approx(without["A"].life.cuts, rel=1e-4)


def test_lognormal_mean_with_several_detection_limits():
    """Ammonium in rain, 46 of 102 readings below four limits: mu -4.71450 at sigma 1.25335.

    Data and values: lifelines 0.30.3, `lifelines.datasets.load_nh4` (recomputed with R survival).
    """
    from dataclasses import replace

    from lifelines.datasets import load_nh4

    from edgetest.wear.curve.bounded_readings import update_bounds
    from edgetest.wear.curve.stage_cells import stage_cells, wear_readings

    data = load_nh4()
    level = data["NH4.mg.per.L"].to_numpy(dtype=float)
    censored = data["Censored"].to_numpy(dtype=bool)
    n, sigma = len(level), 1.25335
    stage = np.arange(n, dtype=float)
    made = stage_cells(
        wear_readings(
            ["rain"] * n,
            stage,
            np.where(censored, np.nan, level),
            upper=np.where(censored, level, np.nan),
        )
    )
    mean = -4.0
    for _ in range(60):
        made = update_bounds(made, np.full(n, mean), sigma**2)
        weight = 1 / (sigma**2 + made.known_var)
        mean = float((weight * made.log_value).sum() / weight.sum())
    assert mean == pytest.approx(-4.71450, abs=2e-4)
    at_limit = replace(made, log_value=np.log(level))
    assert abs(at_limit.log_value.mean() - mean) > 0.1
