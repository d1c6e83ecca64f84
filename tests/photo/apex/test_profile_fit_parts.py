"""Parts of the fit of many profiles: least squares got by another way."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.profile_fit import (
    Terms,
    _calm,
    _clipped,
    _eliminated,
    _normal_matrix,
    _robust_sd,
    _scale,
    _shared_step,
    _shared_u,
    band_model,
    fit_profiles,
    step_model,
)


def test_light_is_cut_off_with_its_derivatives():
    value = np.array([[0.2, 0.9, 1.4]])
    slope, by_blur = np.full((1, 2, 3), 2.0), np.full((1, 3), 3.0)
    cut, slopes, blurs = _clipped((value, slope, by_blur), 1.0)
    assert cut.tolist() == [[0.2, 0.9, 1.0]]
    assert slopes.tolist() == [[[2, 2, 0], [2, 2, 0]]]
    assert blurs.tolist() == [[3, 3, 0]]
    same = (value, slope, by_blur)
    assert _clipped(same, 1.4)[0] is value


def test_weights_fall_from_three_deviations_to_six():
    off = np.array([0.0, 2.9, -3.0, 4.5, -6.0, 9.0]) * 0.1
    assert_allclose(_calm(off, 0.1), [1, 1, 1, 0.5, 0, 0], atol=1e-6)


def test_a_robust_deviation_counts_what_has_weight():
    off = np.array([1.0, -1, 3, -3, 50])
    assert _robust_sd(off, np.array([1, 1, 1, 1, 0])) == pytest.approx(1.4826 * 2, rel=1e-5)
    assert _robust_sd(off, np.ones(5)) == pytest.approx(1.4826 * 3, rel=1e-5)
    assert _robust_sd(off, np.zeros(5)) == 1e-6


def joint(seed=1, profiles=4, n=30, own=5):
    rng = np.random.default_rng(seed)
    slope, by_blur = rng.standard_normal((profiles, own, n)), rng.standard_normal((profiles, n))
    residual, used = rng.standard_normal((profiles, n)), rng.random((profiles, n))
    return slope, by_blur, residual, used


def test_profiles_with_one_blur_are_solved_as_one_system():
    """The Schur complement's answer is that of all unknowns at once."""
    slope, by_blur, residual, used = joint()
    profiles, own, n = slope.shape
    weighted = slope * used[:, None]
    normal = _normal_matrix(weighted, slope, np.array([-1.0, 1, 0, 0, 0]), Terms())
    change, follow, gain, pull = _eliminated(normal, weighted, by_blur, residual, used)
    basis = np.stack([np.linspace(1, 0, profiles), np.linspace(0, 1, profiles)], axis=1)
    move, spread = _shared_step(gain, pull, basis, False)
    whole = np.zeros((profiles * n, profiles * own + 2))
    for k in range(profiles):
        rows = slice(k * n, (k + 1) * n)
        whole[rows, k * own : (k + 1) * own] = slope[k].T
        whole[rows, profiles * own :] = by_blur[k][:, None] * basis[k]
    weight = used.ravel()
    inverse = np.linalg.inv((whole.T * weight) @ whole)
    answer = inverse @ (whole.T @ (weight * residual.ravel()))
    assert_allclose(move, answer[-2:], rtol=1e-5)
    assert_allclose(spread, inverse[-2:, -2:], rtol=1e-5)
    each = change - follow * (basis @ move)[:, None]
    assert_allclose(each.ravel(), answer[:-2], rtol=1e-4, atol=1e-6)
    # The mean width's doubt through the blur: its share of the whole covariance.
    width = np.array([-1.0, 1, 0, 0, 0])
    by = -(follow @ width)[:, None] * basis
    expected = np.sqrt(by.mean(axis=0) @ inverse[-2:, -2:] @ by.mean(axis=0))
    assert _shared_u(gain, follow, spread, basis, width) == pytest.approx(expected, rel=1e-5)
    assert _shared_u(0 * gain, follow, spread, basis, width) == 0


def test_a_blur_that_is_held_does_not_move():
    slope, by_blur, residual, used = joint()
    weighted = slope * used[:, None]
    normal = _normal_matrix(weighted, slope, np.array([-1.0, 1, 0, 0, 0]), Terms())
    _, _, gain, pull = _eliminated(normal, weighted, by_blur, residual, used)
    move, spread = _shared_step(gain, pull, np.ones((4, 1)), True)
    assert abs(move[0]) < 1e-9
    assert spread[0, 0] < 1e-11


def test_a_width_that_is_held_does_not_move():
    slope, by_blur, residual, used = joint()
    weighted, width = slope * used[:, None], np.array([-1.0, 1, 0, 0, 0])
    normal = _normal_matrix(weighted, slope, width, Terms(hold_width=True))
    change = _eliminated(normal, weighted, by_blur, residual, used)[0]
    assert np.abs(change @ width).max() < 1e-4
    assert np.abs(change).max() > 0.01


X = np.arange(-20.0, 21.0)


@pytest.mark.parametrize("model", ["band", "step"])
def test_land_and_grounds_have_noise_of_their_own(model):
    """0.03 on the land, 0.01 on the grounds, by their shares of the light: with 41 samples."""
    rng = np.random.default_rng(1)
    count = 600
    x = np.broadcast_to(X, (count, X.size))
    if model == "band":
        params = np.tile([-6.0, 7.0, 0.7, 0.1, 0.1], (count, 1))
        slope = band_model(x, params, np.full(count, 0.6))[1]
        land = (X > -6) & (X < 7)
    else:
        params = np.tile([0.5, 0.1, 0.7], (count, 1))
        slope = step_model(x, params, np.full(count, 0.6))[1]
        land = X > 0.5
    noise = np.where(land, 0.03, 0.01) * rng.standard_normal(x.shape)
    scale = _scale(noise.astype(np.float32), np.ones_like(noise), slope, params).mean(axis=0)
    more = np.sqrt(41 / (41 - params.shape[1]))
    inner = land & (np.abs(X - 0.5) < 4) if model == "band" else X > 4
    outer = np.abs(X) > 11 if model == "band" else X < -4
    assert_allclose(scale[inner], 0.03 * more, rtol=0.05)
    assert_allclose(scale[outer], 0.01 * more, rtol=0.05)


def test_a_brighter_land_is_noisier():
    """In proportion to its light, between a fifth and five times the usual."""
    rng = np.random.default_rng(2)
    x = np.broadcast_to(X, (90, X.size))
    params = np.tile([-6.0, 7.0, 0.5, 0.1, 0.1], (90, 1))
    params[:30, 2], params[60:, 2] = 0.25, 5.0
    slope = band_model(x, params, np.full(90, 0.6))[1]
    noise = 0.02 * rng.standard_normal(x.shape).astype(np.float32)
    scale = _scale(noise, np.ones_like(noise), slope, params)[:, 20]
    assert scale[:30] / scale[45] == pytest.approx(0.5, rel=1e-3)
    assert scale[60:] / scale[45] == pytest.approx(5.0, rel=1e-3)


def test_a_clipped_land_is_fitted_by_what_lies_below_the_clip():
    truth = np.tile([-6.0, 5.0, 1.3, 0.1, 0.2], (30, 1))
    x = np.broadcast_to(X, (30, X.size))
    y = np.minimum(band_model(x, truth, np.full(30, 1.7))[0], 1.0)
    start = truth + np.array([0.3, -0.3, 0.0, 0.02, 0.02])
    terms = Terms(steps=20, clip=1.0)
    fit = fit_profiles(band_model, x, y, np.ones_like(y), start, 1.5, terms=terms)
    assert_allclose(fit.params[:, :2], truth[:, :2], atol=0.02)
    assert fit.noise < 1e-4


def test_samples_without_weight_do_not_count():
    truth = np.tile([-6.0, 5.0, 0.7, 0.1, 0.2], (30, 1))
    x = np.broadcast_to(X, (30, X.size))
    y = band_model(x, truth, np.full(30, 1.7))[0].copy()
    weight = np.ones_like(y)
    y[:, 30:], weight[:, 30:] = 9.0, 0.0
    fit = fit_profiles(band_model, x, y, weight, truth + 0.1, 1.5, terms=Terms(steps=15))
    assert_allclose(fit.params[:, :2], truth[:, :2], atol=1e-3)
    assert not fit.residual[:, 30:].any()
