"""The fit of band, lens and mask: its curve, what is known beforehand, and its slopes."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.mask_model import (
    AMOUNT,
    AMOUNT_PRIOR,
    LAND,
    RADIUS,
    RADIUS_PRIOR,
    RING,
    SIZE,
    WIDTH,
    MaskModel,
    curve_of,
)


@pytest.mark.parametrize("tone", ["srgb", "linear", "gamma 2.2", "own curve"])
def test_a_curve_and_its_inverse_return_the_light(tone):
    light = np.linspace(0.01, 0.99, 50)
    curve = curve_of(tone)
    assert curve.decode(curve.encode(light)) == pytest.approx(light, abs=1e-5)


def model(width=16.0, blur=1.4, ground=(0.1, 0.2), land=0.6, tone="linear", noise=0.002):
    """A band on two grounds behind a Gaussian."""
    t = np.arange(-24, 24.5, 0.5)
    light = ground[0] + (land - ground[0]) * ndtr((t + width / 2) / blur)
    light = light + (ground[1] - land) * ndtr((t - width / 2) / blur)
    return MaskModel(t, light, np.full(t.size, noise), land - np.mean(ground), blur, curve_of(tone))


def test_what_is_known_beforehand_is_counted_in_its_deviations():
    made = model(blur=1.4)
    theta = made.start(16.0, 3.0)
    theta[AMOUNT] = AMOUNT_PRIOR[0] + 2 * AMOUNT_PRIOR[1]
    theta[RADIUS] = RADIUS_PRIOR[0] - RADIUS_PRIOR[1]
    theta[RING] = np.log(2.2 * 1.4) + 0.5  # of a standard deviation of 1
    misses, stiff = made.prior(theta)
    expected = np.zeros(SIZE)
    expected[[AMOUNT, RADIUS, RING]] = 2, -1, 0.5
    assert_allclose(misses, expected, atol=1e-12)
    # Information is one over the variance: by differences of the misses.
    for k in (AMOUNT, RADIUS, RING):
        step = np.zeros(SIZE)
        step[k] = 1e-4
        slope = (made.prior(theta + step)[0] - made.prior(theta - step)[0])[k] / 2e-4
        assert stiff[k, k] == pytest.approx(slope**2)
    assert np.count_nonzero(stiff) == 3


def test_the_gradient_is_half_the_slope_of_the_cost():
    made = model()
    theta = made.start(15.0, 3.0)
    total, gradient, normal, data, data_gradient, data_normal = made.state_of(theta)
    misses, stiff = made.prior(theta)
    assert total - data == pytest.approx(misses @ misses)
    assert_allclose(
        gradient - data_gradient, np.sqrt(np.diag(stiff)) * misses, rtol=1e-6, atol=1e-6
    )
    assert_allclose(normal - data_normal, stiff, atol=1e-6 * np.abs(normal).max())
    for k, step in ((0, 0.01), (WIDTH, 0.01), (LAND, 1e-3), (RING, 0.02), (AMOUNT, 0.02)):
        change = np.zeros(SIZE)
        change[k] = step
        slope = (made.state_of(theta + change)[3] - made.state_of(theta - change)[3]) / (4 * step)
        scale = np.sqrt(data_normal[k, k] * data)
        assert data_gradient[k] == pytest.approx(slope, abs=0.03 * scale)


@pytest.mark.parametrize("tone", ["linear", "srgb"])
def test_a_band_behind_a_gaussian_comes_back(tone):
    """Width and levels as drawn; the pixels' own half pixel of interpolation is in the blur."""
    made = model(tone=tone)
    theta, state = made.fitted(made.start(14.0, 2.0))
    assert theta[WIDTH] == pytest.approx(16.0, abs=0.08)
    assert theta[0] == pytest.approx(0, abs=0.02)
    assert_allclose(theta[[LAND - 1, LAND, LAND + 1]], [0.1, 0.6, 0.2], atol=0.01)
    assert state[3] / made.t.size < 1
    shifted = MaskModel(made.t - 0.7, made.light, made.noise, 0.45, 1.4, made.curve)
    assert shifted.fitted(shifted.start(14.0, 2.0))[0][0] == pytest.approx(-0.7, abs=0.02)
