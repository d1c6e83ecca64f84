"""The form of damage: its slopes, what is known of it beforehand, and its sizes in closed form."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.chip_model import (
    Form,
    form_prior,
    form_sizes,
    form_slopes,
    misfit_covariance,
    shape,
    with_summit,
)
from edgetest.photo.departures import Stretch

# Centre, and the logs of left, right, depth, p and q.
THETA = np.array([20.3, np.log(9.0), np.log(6.0), np.log(4.0), np.log(2.0), 0.0])
_, LEFT, RIGHT, DEPTH, P, Q = np.eye(6)


def by_differences(function, theta, step=1e-6):
    """Slopes of a function by each parameter, from both sides."""
    return np.array([
        (function(theta + change) - function(theta - change)) / (2 * step)
        for change in step * np.eye(theta.size)
    ])  # fmt: skip


@pytest.mark.parametrize("p", [1.3, 2.0, 4.0])
@pytest.mark.parametrize("q", [0.6, 1.0, 2.2])
def test_slopes_are_those_of_the_form(p, q):
    theta = np.array([*THETA[:4], np.log(p), np.log(q)])
    x = np.array([12.1, 14.0, 17.5, 19.9, 20.9, 22.0, 24.4, 25.9])
    value, slopes = form_slopes(x, theta)
    assert_allclose(value, shape(x, theta[0], *np.exp(theta[1:])), rtol=1e-9)
    expected = by_differences(lambda at: shape(x, at[0], *np.exp(at[1:])), theta)
    assert_allclose(slopes, expected, rtol=1e-5, atol=1e-6)
    outside, still = form_slopes(np.array([11.0, 26.5]), theta)
    assert_allclose(outside, 0)
    assert_allclose(still, 0)


def test_a_usual_form_misses_nothing_that_is_known_beforehand():
    """p = 2, q = 1, as deep as 0.35 of its length, even; then each a standard deviation off."""
    usual = np.array([20.0, np.log(8), np.log(8), np.log(0.35 * 16), np.log(2), 0.0])
    assert_allclose(form_prior(usual)[0], 0, atol=1e-12)
    assert_allclose(form_prior(usual + 0.6 * P)[0], [1, 0, 0, 0], atol=1e-12)
    assert_allclose(form_prior(usual + 0.45 * Q)[0], [0, 1, 0, 0], atol=1e-12)
    assert_allclose(form_prior(usual + 0.8 * DEPTH)[0], [0, 0, 1, 0], atol=1e-12)
    lean = usual + np.log(12 / 8) * LEFT + np.log(4 / 8) * RIGHT  # 16 px together as before
    assert_allclose(form_prior(lean)[0], [0, 0, 0, np.log(3) / 0.7], atol=1e-12)
    theta = THETA + np.array([0.4, 0.2, -0.3, 0.5, 0.1, -0.2])
    expected = by_differences(lambda at: form_prior(at)[0], theta).T
    assert_allclose(form_prior(theta)[1], expected, rtol=1e-6, atol=1e-8)


def form(**other):
    """A parabola 15 px long and 4 px deep."""
    cov = np.diag([0.04, 0.01, 0.0225, 0.0016, 0.01, 0.01])
    at = np.arange(8, 30)
    heights = -shape(at, THETA[0], *np.exp(THETA[1:]))
    bounds = THETA - 1, THETA + 1
    held = Form(8, 30, heights, THETA, cov, bounds, misfit_covariance(22, 0.1, 15))
    return replace(held, **other)


STRETCH = Stretch(11, 27, 20, -1)


def test_sizes_are_those_of_a_parabola():
    """Depth 4, area 2/3 of depth times length; it passes a tenth of its depth at sqrt(0.9)."""
    found = form_sizes(form(), STRETCH, 0.2, 5.0, 0.15)
    length = np.sqrt(0.9) * 15
    assert found["length"] == pytest.approx(length)
    assert found["depth"] == pytest.approx(4.0)
    assert found["area"] == pytest.approx(2 / 3 * 4 * 15, rel=0.005)
    assert found["centre"] == pytest.approx(20.3 + np.sqrt(0.9) * (6 - 9) / 2)
    # Roughness over the length counts as length / 5 independent places.
    rough = 0.2 / np.sqrt(length / 5)
    assert found["depth_u"] == pytest.approx(np.sqrt((0.04 * 4) ** 2 + rough**2 + 0.15**2))
    own = np.sqrt((0.6 * 0.1) ** 2 + (0.4 * 0.15) ** 2)  # 9 and 6 of 15 px, 10 % and 15 %
    assert found["length_u"] == pytest.approx(np.hypot(length * own, 0.3))
    assert found["area_u"] == pytest.approx(0.2 * np.sqrt(length * 5))
    assert found["height"] == pytest.approx(shape(20, *[THETA[0], *np.exp(THETA[1:])]))
    assert found["reach"] == (8, 30)
    assert found["peak"] == 20
    told = form_sizes(form(shift=0.5, depth_var=0.09), STRETCH, 0.0, 5.0)
    assert told["depth"] == pytest.approx(4.5)
    assert told["depth_u"] == pytest.approx(0.3)
    # Neighbours that are not alike over a pixel count one by one.
    assert form_sizes(form(), STRETCH, 0.2, 0.5)["area_u"] == pytest.approx(0.2 * np.sqrt(length))


def test_a_summit_is_where_form_and_misfit_reach_furthest():
    left, variance = np.zeros(22), np.linspace(0.01, 0.22, 22)
    plain = with_summit(form(), left, variance)
    assert plain.shift == pytest.approx(0.0, abs=1e-12)
    # What the picture leaves open at column 20, the 13th, and what the blur hides: 4 % of 4 px.
    assert plain.depth_var == pytest.approx(variance[12] + 0.0016 * 4**2)
    left[16] = 3.0
    beside = with_summit(form(), left, variance)
    assert beside.shift == pytest.approx(shape(24, *[THETA[0], *np.exp(THETA[1:])]) + 3 - 4)
    assert beside.depth_var == pytest.approx(variance[16] + 0.0016 * 4**2)


def test_misfit_is_alike_over_a_share_of_the_length():
    found = misfit_covariance(5, 0.3, 50)
    assert_allclose(found, 0.09 * np.exp(-np.arange(5) / 6))
    assert_allclose(misfit_covariance(3, 1.0, 1), np.exp(-np.arange(3) / 0.5))
