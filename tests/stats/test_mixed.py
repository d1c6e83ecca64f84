"""The mixed model: closed forms of balanced layouts, slopes by differences, and refusals."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize_scalar
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.mixed import (
    MixedFit,
    fit_mixed,
    nested_shifts,
    random_coefficients,
    restricted_likelihood,
)


def test_a_balanced_one_way_layout_has_the_textbook_variances():
    """REML of a balanced layout is the analysis of variance where that is above nothing."""
    rng = np.random.default_rng(2)
    y = rng.normal(0, 0.5, 8).repeat(5) + rng.normal(0, 0.2, 40)
    table = y.reshape(8, 5)
    inside = table.var(axis=1, ddof=1).mean()
    between = table.mean(axis=1).var(ddof=1) - inside / 5
    fit = fit_mixed(y, np.ones((40, 1)), nested_shifts({"blade": np.arange(8).repeat(5)}))
    assert_allclose([fit.sd["blade"], fit.sd["residual"]], np.sqrt([between, inside]), rtol=1e-6)
    told = fit.contrast([1.0])
    assert_allclose(told.difference, y.mean())
    assert_allclose(told.stderr**2, (between + inside / 5) / 8, rtol=1e-6)
    assert_allclose(told.df, 7, rtol=1e-5)
    assert fit.to_dict()["sd"]["blade"] == pytest.approx(between**0.5)


def test_blades_that_differ_less_than_readings_have_no_scatter_of_their_own():
    y = np.tile([1.0, 2.0, 3.0], 4)
    fit = fit_mixed(y, np.ones((12, 1)), nested_shifts({"blade": np.arange(4).repeat(3)}))
    assert fit.sd["blade"] == 0.0
    assert fit.sd["residual"] == pytest.approx(y.std(ddof=1))


def test_inner_labels_belong_to_the_outer_one_they_stand_with():
    parts = nested_shifts({"lot": list("aabb"), "wafer": [1, 2, 1, 1]})
    assert_allclose(parts["lot"], np.kron(np.eye(2), np.ones((2, 2))))
    assert_allclose(parts["wafer"], [[1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 1], [0, 0, 1, 1]])
    slopes = random_coefficients(list("aab"), {"cuts": [1.0, 2.0, 3.0]})
    assert_allclose(slopes["cuts"], [[1, 2, 0], [2, 4, 0], [0, 0, 9]])


def test_score_information_and_slopes_are_those_of_the_likelihood():
    rng = np.random.default_rng(5)
    y, x = rng.standard_normal(9), np.column_stack([np.ones(9), rng.standard_normal(9)])
    levels = nested_shifts({"blade": list("aaabbbccc")})
    parts = np.array([levels["blade"], np.eye(9)])
    known, at = np.diag(rng.uniform(0.1, 0.3, 9)), np.array([0.6, 0.4])

    def likelihood(variances):
        """Patterson and Thompson's, by its definition: the density of what the effects leave."""
        left = np.linalg.svd(x)[0][:, 2:].T
        total = left @ (known + np.tensordot(variances, parts, axes=1)) @ left.T
        z = left @ y
        of_effects = np.linalg.slogdet(x.T @ x)[1]
        sign, size = np.linalg.slogdet(total)
        log_density = -0.5 * (7 * np.log(2 * np.pi) + size + z @ np.linalg.solve(total, z))
        return sign * (log_density - 0.5 * of_effects)

    value, score, information, (effects, cov, slopes) = restricted_likelihood(
        y, x, parts, known, at
    )
    assert_allclose(value, likelihood(at), rtol=1e-10)
    step = 1e-5 * np.eye(2)
    by_difference = [(likelihood(at + h) - likelihood(at - h)) / 2e-5 for h in step]
    assert_allclose(score, by_difference, rtol=1e-6)
    total = known + np.tensordot(at, parts, axes=1)
    weighed = np.linalg.inv(x.T @ np.linalg.solve(total, x))
    assert_allclose(cov, weighed, rtol=1e-9)
    assert_allclose(effects, weighed @ x.T @ np.linalg.solve(total, y), rtol=1e-9)
    for k in (0, 1):
        ahead, behind = (
            restricted_likelihood(y, x, parts, known, at + sign * step[k])[3][1] for sign in (1, -1)
        )
        assert_allclose(slopes[k], (ahead - behind) / 2e-5, rtol=1e-5, atol=1e-9)
    # Expected information: half the trace of (B V_k)(B V_l), B the inverse of what is left.
    left = np.linalg.svd(x)[0][:, 2:].T
    beyond = left.T @ np.linalg.solve(left @ total @ left.T, left)
    traces = [[np.trace(beyond @ k @ beyond @ other) / 2 for other in parts] for k in parts]
    assert_allclose(information, traces, rtol=1e-9)


def test_effects_that_depend_on_each_other_are_refused():
    with pytest.raises(UnusableInput, match="2 effects of 3 readings"):
        fit_mixed([1.0, 2.0, 3.0], np.ones((3, 2)))
    with pytest.raises(UnusableInput, match="2 effects of 2 readings"):
        fit_mixed([1.0, 2.0], np.eye(2))


def test_readings_of_known_doubt_leave_what_they_differ_by_beyond_it():
    """REML of y about one mean with known variances: its score is nothing at the end."""
    y, known = np.array([0.1, 0.9, 0.4, 1.3, 0.2]), np.array([0.01, 0.04, 0.02, 0.03, 0.05])
    fit = fit_mixed(y, np.ones((5, 1)), known_variance=known)

    def loss(variance):
        total = known + variance
        mean = (y / total).sum() / (1 / total).sum()
        return np.log(total).sum() + np.log((1 / total).sum()) + ((y - mean) ** 2 / total).sum()

    best = minimize_scalar(loss, bounds=(1e-6, 3.0), method="bounded", options={"xatol": 1e-10})
    assert fit.sd["residual"] ** 2 == pytest.approx(best.x, rel=1e-5)
    assert fit.log_likelihood == pytest.approx(-0.5 * (best.fun + 4 * np.log(2 * np.pi)), rel=1e-9)
    same = fit_mixed([1.0, 1.0001, 0.9999], np.ones((3, 1)), known_variance=[0.01] * 3)
    assert same.sd["residual"] == 0.0
    assert_allclose(same.cov, [[0.01 / 3]])


def test_without_levels_it_is_least_squares():
    x = np.column_stack([np.ones(5), np.arange(5.0)])
    y = np.array([1.0, 2.9, 5.2, 6.8, 9.3])
    fit = fit_mixed(y, x)
    params, squares, _, _ = np.linalg.lstsq(x, y, rcond=None)
    assert_allclose(fit.effects, params)
    assert fit.sd == {"residual": pytest.approx((squares[0] / 3) ** 0.5)}
    assert_allclose(fit.cov, squares[0] / 3 * np.linalg.inv(x.T @ x))
    slope = fit.contrast([0.0, 2.0], level=0.8)
    assert (slope.difference, slope.df) == (pytest.approx(2 * params[1]), pytest.approx(3.0))
    assert slope.half_width == pytest.approx(student.ppf(0.9, 3) * slope.stderr)
    assert slope.level == 0.8
    told = fit.to_dict()
    assert told["effects"] == pytest.approx(params.tolist())
    assert told["log_likelihood"] == pytest.approx(fit.log_likelihood)


def test_satterthwaites_degrees_of_freedom_by_their_definition():
    """2 V² over the variance of V, with its slopes and the inverse information: 1 at the least."""
    slopes, information = np.array([[[0.5]], [[0.2]]]), np.array([[8.0, 1.0], [1.0, 20.0]])
    fit = MixedFit(np.array([0.3]), np.array([[0.4]]), {}, 0.0, information, slopes)
    slope = np.array([0.5, 0.2])
    expected = 2 * 0.4**2 / (slope @ np.linalg.inv(information) @ slope)
    assert fit.contrast([1.0]).df == pytest.approx(expected)
    assert fit.contrast([3.0]).df == pytest.approx(expected)
    assert replace(fit, information=information / 100).contrast([1.0]).df == 1.0
    assert replace(fit, slopes=0 * slopes).contrast([1.0]).df == np.inf


def test_a_covariance_that_is_none_has_no_likelihood():
    parts = np.array([np.eye(2)])
    found = restricted_likelihood(np.ones(2), np.ones((2, 1)), parts, np.zeros((2, 2)), np.zeros(1))
    assert found == (-np.inf, None, None, None)
