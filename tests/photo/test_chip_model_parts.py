"""Forms of damage: sizes, slopes and priors in closed form."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.chip_model import (
    Form,
    _blur_matrix,
    _touch,
    _whitening,
    form_prior,
    form_sizes,
    form_slopes,
    misfit_covariance,
    shape,
    with_summit,
)

THETA = np.array([50.2, np.log(8.0), np.log(12.0), np.log(6.0), np.log(2.0), 0.0])


def test_a_form_is_its_depth_at_its_middle_and_nothing_at_its_reach():
    x = np.array([42.2, 46.2, 50.2, 56.2, 62.2, 70.0])
    assert_allclose(shape(x, 50.2, 8.0, 12.0, 6.0, 2.0, 1.0), [0, 4.5, 6, 4.5, 0, 0], atol=1e-12)
    assert_allclose(shape(x, 50.2, 8.0, 12.0, 6.0, 1.0, 2.0), [0, 1.5, 6, 1.5, 0, 0], atol=1e-12)
    assert_allclose(form_slopes(x[1:4], THETA)[0], [4.5, 6, 4.5])


@pytest.mark.parametrize("q", [0.0, 0.3])
def test_slopes_are_those_of_differences(q):
    theta = THETA + np.array([0, 0, 0, 0, 0.1, q])
    x = np.linspace(43.5, 60.5, 40)
    _, slopes = form_slopes(x, theta)
    for k in range(6):
        nudge = 1e-5 * np.eye(6)[k]
        numeric = (form_slopes(x, theta + nudge)[0] - form_slopes(x, theta - nudge)[0]) / 2e-5
        assert_allclose(slopes[k], numeric, rtol=2e-4, atol=2e-4)


def form(theta=THETA, **known):
    usual = {"low": 35, "high": 70, "heights": np.array([0.0, -5.5, 2.0]), "cov": np.zeros((6, 6)),
             "bounds": (theta, theta), "misfit": np.zeros(35)}  # fmt: skip
    return Form(theta=theta, **(usual | known))


STRETCH = SimpleNamespace(peak=50)


def test_sizes_of_a_parabola():
    """Two thirds of the box about it; above a tenth over sqrt(0.9) of its reach."""
    found = form_sizes(form(kind="roll"), STRETCH, 0.0, 1.0)
    tenth = np.sqrt(0.9)
    assert found["length"] == pytest.approx(20 * tenth)
    assert found["centre"] == pytest.approx(50.2 + 2 * tenth)
    assert found["depth"] == pytest.approx(6.0)
    assert found["area"] == pytest.approx(2 / 3 * 6 * 20, rel=5e-3)
    assert (found["height"], found["kind"], found["peak"]) == (5.5, "roll", 50)
    assert found["reach"] == (35, 70)
    assert (found["depth_u"], found["area_u"]) == (0, 0)
    assert found["length_u"] == pytest.approx(0.3)
    steep = form_sizes(form(THETA + np.array([0, 0, 0, 0, -np.log(2), np.log(2)])), STRETCH, 0, 1)
    assert steep["length"] == pytest.approx(20 * (1 - np.sqrt(0.1)))  # (1 - t)²
    assert steep["area"] == pytest.approx(6 * 20 / 3, rel=0.01)


def test_doubts_of_sizes_add_in_squares():
    """A tenth of depth and of each reach; roughness of 0.5 alike over 4 px; the line's 0.2."""
    cov = np.diag([0, 0.01, 0.01, 0.01, 0, 0])
    found = form_sizes(form(cov=cov), STRETCH, 0.5, 4.0, 0.2)
    length = 20 * np.sqrt(0.9)
    averaged = 0.5 / np.sqrt(length / 4)
    assert found["depth_u"] == pytest.approx(np.sqrt(0.36 + averaged**2 + 0.04))
    assert found["length_u"] == pytest.approx(np.hypot(length * 0.1 * np.hypot(0.4, 0.6), 0.3))
    assert found["area_u"] == pytest.approx(0.5 * np.sqrt(length * 4))
    near = form_sizes(form(cov=cov, shift=0.7, depth_var=0.09), STRETCH, 0.5, 0.2, 0.0)
    assert near["depth"] == pytest.approx(6.7)
    assert near["depth_u"] == pytest.approx(np.sqrt(0.09 + 0.25 / length))
    small = THETA + np.array([0, -4.0, -4.0, 0, 0, 0])
    assert form_sizes(form(small), STRETCH, 0.5, 1.0)["area_u"] == pytest.approx(0.5)
    assert form_sizes(form(small), STRETCH, 0.5, 1.0)["depth_u"] == pytest.approx(0.5)


def test_priors_are_misses_in_standard_deviations():
    theta = np.array([0.0, np.log(6.0), np.log(6.0), np.log(4.2), np.log(2.0), 0.0])
    assert_allclose(form_prior(theta)[0], 0, atol=1e-12)  # depth 0.35 of 12, as wide either side
    moved = theta + np.array([9.0, 0.7, 0, 0, 0.6, -0.45])
    misses, slopes = form_prior(moved)
    span = np.log(6 * np.exp(0.7) + 6) - np.log(12)
    assert_allclose(misses, [1, -1, -span / 0.8, 1])
    for k in range(6):
        nudge = 1e-6 * np.eye(6)[k]
        numeric = (form_prior(moved + nudge)[0] - form_prior(moved - nudge)[0]) / 2e-6
        assert_allclose(slopes[:, k], numeric, atol=1e-6)


@pytest.mark.parametrize(("gap", "touch"), [(11, True), (12, False), (-3, True)])
def test_stretches_touch_within_six_blurs_and_three_samples(gap, touch):
    one, other = SimpleNamespace(low=10, high=30), SimpleNamespace(low=30 + gap, high=90)
    assert _touch(one, other, 1.5) == touch
    assert _touch(other, one, 1.5) == touch


def test_a_blur_spreads_a_height_and_loses_none():
    fine = np.arange(-20, 60, 0.25)
    at = np.arange(10.0, 30.0)
    matrix = _blur_matrix(at, fine, 0.25, 2.0)
    assert_allclose(matrix.sum(axis=1), 1, rtol=1e-6)
    wave = np.cos(2 * np.pi * fine / 15)
    passed = np.exp(-2 * (np.pi * 2 / 15) ** 2)
    assert_allclose(matrix @ wave, passed * np.cos(2 * np.pi * at / 15), atol=1e-6)
    assert_allclose(_blur_matrix(at, fine, 0.25, 0.1), _blur_matrix(at, fine, 0.25, 0.3))


@pytest.mark.parametrize(("size", "rows"), [(120, 120), (121, 61), (240, 120), (241, 81)])
def test_whitened_departures_have_variance_one(size, rows):
    from scipy.linalg import toeplitz

    covariance = 0.3 * np.exp(-np.arange(size) / 4.0)
    white = _whitening(size, covariance)
    assert white.shape == (rows, size)
    assert_allclose(white @ toeplitz(covariance) @ white.T, np.eye(rows), atol=1e-8)


def test_a_misfit_is_alike_over_a_share_of_the_width():
    found = misfit_covariance(5, 0.2, 50)
    assert_allclose(found, 0.04 * np.exp(-np.arange(5) / 6.0))
    assert_allclose(misfit_covariance(3, 0.2, 2), 0.04 * np.exp(-np.arange(3) / 0.5))


def test_a_summit_is_where_form_and_misfit_go_furthest_together():
    at = np.arange(35, 70)
    left, variance = np.zeros(35), np.linspace(0.1, 0.44, 35)
    cov = np.diag([0, 0, 0, 0.0025, 0, 0])
    plain = with_summit(form(cov=cov), left, variance)
    assert plain.shift == pytest.approx(0, abs=1e-9)
    assert plain.depth_var == pytest.approx(variance[15] + 0.0025 * 36)
    left[at == 55] = 2.0  # 0.4 of the way to the right: 6 * 0.84 and 2
    raised = with_summit(form(cov=cov), left, variance)
    assert raised.shift == pytest.approx(6 * (1 - 0.16) + 2 - 6)
    assert raised.depth_var == pytest.approx(variance[20] + 0.09)
    off = with_summit(form(THETA + np.array([40.0, 0, 0, 0, 0, 0]), cov=cov), 0 * left, variance)
    assert off.shift == pytest.approx(0, abs=1e-9)  # a middle beyond the columns is the last one
