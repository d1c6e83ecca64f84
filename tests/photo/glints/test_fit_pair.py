"""Two lines of one blur: slopes by differences, parameters back, and their standard errors."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.glints.fit_pair import fit_pair, pair_light

X = np.arange(-30.0, 31)
# Middle, spacing, heights of the first and the second line, ground below, above, between, sd.
STATE = np.array([0.7, 14.0, 0.6, 0.4, 0.05, 0.08, 0.2, 2.2])


@pytest.mark.parametrize("filled", [True, False])
def test_slopes_are_the_derivatives(filled):
    _, slopes = pair_light(X, STATE[None], filled)
    for k, step in enumerate(1e-5 * np.eye(8)):
        up, down = (pair_light(X, STATE[None] + way * step, filled)[0] for way in (1, -1))
        assert_allclose(slopes[0, :, k], (up - down)[0] / 2e-5, atol=1e-7)


def test_the_light_is_two_bells_on_three_grounds():
    light, _ = pair_light(np.array([-90.0, 0.7, 90.0, -6.3, 7.7]), STATE[None], True)
    assert_allclose(light[0, :3], [0.05, 0.2 + np.exp(-0.5 * (7 / 2.2) ** 2), 0.08], atol=0.01)
    # At a line half of the step between the grounds has been made.
    assert light[0, 3] == pytest.approx(0.125 + 0.6, abs=1e-4)
    assert light[0, 4] == pytest.approx(0.14 + 0.4, abs=1e-4)
    bare, _ = pair_light(np.array([0.7]), STATE[None], False)
    assert bare[0, 0] == pytest.approx(0.065 + np.exp(-0.5 * (7 / 2.2) ** 2), abs=0.01)


@pytest.mark.parametrize("filled", [True, False])
def test_parameters_come_back_place_by_place(filled):
    state = np.tile(STATE, (30, 1))
    state[:, 0] += np.linspace(-0.8, 0.8, 30)
    state[:, 1] += np.linspace(0.6, -0.6, 30)
    light, _ = pair_light(X, state, filled)
    light += 0.002 * np.random.default_rng(1).standard_normal(light.shape)
    found = fit_pair(light, np.ones_like(light), X, (0.5, 13.0, 2.6), filled=filled)
    assert found.sd_px == pytest.approx(2.2, rel=0.02)
    # The deviation is that of the mean profile, so heights move a little.
    assert_allclose(found.middle, state[:, 0], atol=0.1)
    assert_allclose(found.spacing, state[:, 1], atol=0.15)
    assert_allclose(found.first, 0.6, rtol=0.05)
    assert_allclose(found.second, 0.4, rtol=0.05)
    assert_allclose(found.below, 0.05, atol=0.005)
    assert_allclose(found.above, 0.08, atol=0.005)
    assert_allclose(found.between, 0.2 if filled else 0.065, atol=0.01)
    assert found.misfit.max() < 0.02


def test_spacings_scatter_as_their_standard_error_says():
    rng = np.random.default_rng(3)
    light, slopes = pair_light(X, np.tile(STATE, (400, 1)), True)
    noisy = light + 0.02 * rng.standard_normal(light.shape)
    found = fit_pair(noisy, np.ones_like(light), X, (0.5, 13.0, 2.6), filled=True)
    normal = slopes[0, :, :7].T @ slopes[0, :, :7]
    expected = 0.02 * np.sqrt(np.linalg.inv(normal)[1, 1])
    assert found.spacing.std() == pytest.approx(expected, rel=0.15)
    assert np.median(found.spacing_u) == pytest.approx(expected, rel=0.15)
    assert found.misfit.mean() == pytest.approx(0.02, rel=0.1)
    assert found.spacing.mean() == pytest.approx(14.0, abs=4 * expected / 20)


def test_a_glint_and_what_does_not_count_move_nothing():
    light, _ = pair_light(X, np.tile(STATE, (20, 1)), True)
    weight = np.ones_like(light)
    light[5, 50:52] += 0.5
    light[6, 10:14], weight[6, 10:14] = 9.0, 0
    found = fit_pair(light, weight, X, (0.5, 13.0, 2.6), filled=True)
    assert_allclose(found.spacing, 14.0, atol=0.02)
