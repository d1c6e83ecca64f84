"""The fit of many profiles: exact on its own model, and as sure as its noise allows."""

import numpy as np
import pytest

from edgetest.photo.apex.profile_fit import Terms, band_model, fit_profiles, step_model

X = np.broadcast_to(np.arange(-20.0, 21.0), (40, 41))


@pytest.mark.parametrize("model", [band_model, step_model])
def test_slopes_are_the_derivatives(model):
    rng = np.random.default_rng(1)
    if model is band_model:
        params = np.array([-5.2, 4.9, 0.7, 0.1, 0.2]) + 0.05 * rng.standard_normal((40, 5))
    else:
        params = np.array([0.4, 0.1, 0.7]) + 0.05 * rng.standard_normal((40, 3))
    blur = np.full(40, 1.4)
    _, slope, by_blur = model(X, params, blur)
    for index in range(params.shape[1]):
        step = np.zeros(params.shape[1])
        step[index] = 1e-3
        near = (model(X, params + step, blur)[0] - model(X, params - step, blur)[0]) / 2e-3
        np.testing.assert_allclose(slope[:, index], near, atol=2e-4)
    near = (model(X, params, blur + 1e-3)[0] - model(X, params, blur - 1e-3)[0]) / 2e-3
    np.testing.assert_allclose(by_blur, near, atol=2e-4)


def test_recovers_its_own_parameters_without_noise():
    truth = np.array([-6.0, 5.0, 0.7, 0.1, 0.2]) + np.linspace(0, 1, 40)[:, None] * [
        1,
        1.5,
        0,
        0,
        0,
    ]
    y, _, _ = band_model(X, truth, np.full(40, 1.7))
    start = truth + np.array([0.8, -0.7, -0.1, 0.05, -0.05])
    fit = fit_profiles(band_model, X, y, np.ones_like(y), start, 1.1, terms=Terms(steps=15))
    np.testing.assert_allclose(fit.params, truth, atol=2e-4)
    np.testing.assert_allclose(fit.blur_px, 1.7, atol=2e-4)


def test_standard_error_is_what_repeats_scatter_by():
    rng = np.random.default_rng(7)
    truth = np.tile([-6.0, 5.0, 0.7, 0.1, 0.2], (3000, 1))
    x = np.broadcast_to(X[0], (3000, 41))
    y, _, _ = band_model(x, truth, np.full(3000, 1.5))
    noisy = y + 0.01 * rng.standard_normal(y.shape)
    fit = fit_profiles(band_model, x, noisy, np.ones_like(y), truth, 1.5, terms=Terms(steps=8))
    width = fit.params[:, 1] - fit.params[:, 0]
    # 3000 repeats tell a standard deviation to 1.3 %.
    assert np.std(width) == pytest.approx(fit.stderr_width.mean(), rel=0.05)
    assert width.mean() == pytest.approx(11.0, abs=4 * np.std(width) / np.sqrt(3000))


def test_outliers_are_set_aside():
    truth = np.tile([-6.0, 5.0, 0.7, 0.1, 0.2], (40, 1))
    y, _, _ = band_model(X, truth, np.full(40, 1.5))
    y = y.copy()
    y[5:9, 8:11] += 0.5
    fit = fit_profiles(band_model, X, y, np.ones_like(y), truth + 0.1, 1.5, terms=Terms(steps=12))
    np.testing.assert_allclose(fit.params[:, :2], truth[:, :2], atol=0.01)
