"""The mixed model: closed forms of balanced layouts, slopes by differences, and refusals."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.stats.mixed import (
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
