"""Both sides of a drawn band at every place: places, levels, blur and what they are worth."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.band_sides import fit_sides
from edgetest.photo.apex.find_band import find_band, ridges
from edgetest.photo.apex.first_guess import look_around

ROWS, COLS = 300, 480


def land(width, *, slope=0.0, blur=1.6, levels=(0.1, 0.7, 0.2), upright=False, noise=0.0, grow=0.0):
    """A land along the columns: the ground above it in the picture, its own light, that below."""
    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    cosine = 1 / np.hypot(1, slope)
    off = (y - 150 - slope * (x - COLS / 2)) * cosine
    half = (width + grow * (x - COLS / 2)) / 2
    light = levels[0] + (levels[1] - levels[0]) * ndtr((off + half) / blur)
    light = light + (levels[2] - levels[1]) * ndtr((off - half) / blur)
    light = light + noise * np.random.default_rng(1).standard_normal(light.shape)
    return np.ascontiguousarray(light.T if upright else light).astype(np.float32)


def fitted(grey, **options):
    bright, _, sigmas = ridges(grey)
    band = find_band(1, bright, sigmas)
    return fit_sides(grey, grey, band, look_around(grey, band), **options)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize(("width", "slope"), [(12.0, 0.0), (24.0, 0.2), (16.5, -0.1)])
def test_a_drawn_land_comes_back(width, slope, upright):
    found = fitted(land(width, slope=slope, upright=upright))
    inner = slice(5, -5)
    # Pixels are sampled, not averaged; linear interpolation between them adds to the blur.
    assert_allclose(found.width_px[inner], width, atol=0.06)
    assert found.width_px[inner].mean() == pytest.approx(width, abs=0.02)
    assert_allclose(found.land[inner], 0.7, atol=0.01)
    assert_allclose(sorted([found.below[30], found.above[30]]), [0.1, 0.2], atol=0.01)
    assert_allclose(found.contrast[inner], 0.55, atol=0.01)
    assert_allclose(found.blur_px[inner], 1.6, atol=0.12)
    assert_allclose(found.right - found.left, found.width_px, rtol=0.01)
    along, across = (0, 1) if upright else (1, 0)
    middle = (
        found.track.centre_rc + ((found.left + found.right) / 2)[:, None] * found.track.normal_rc
    )
    assert_allclose(
        middle[inner, across], 150 + slope * (middle[inner, along] - COLS / 2), atol=0.08
    )
    assert found.misfit[inner].max() < 0.01
    assert_allclose(found.seen[inner], 1)
    assert found.clear[inner].min() > 0.9
    assert (found.wide, found.held, found.saturated) == (False, False, False)


@pytest.mark.parametrize("slope", [0.0, 0.15])
def test_either_side_of_a_wide_land_is_fitted_by_itself(slope):
    found = fitted(land(70.0, slope=slope))
    assert found.wide
    inner = slice(8, -8)
    assert_allclose(found.width_px[inner], 70.0, atol=0.15)
    assert found.width_px[inner].mean() == pytest.approx(70.0, abs=0.02)
    assert_allclose(found.land[inner], 0.7, atol=0.01)
    assert_allclose(np.sort([found.below[40], found.above[40]]), [0.1, 0.2], atol=0.01)
    assert_allclose(found.blur_px[inner], 1.6, atol=0.12)
    assert found.misfit[inner].max() < 0.01
    assert_allclose(found.seen[inner], 1)


def test_a_width_that_grows_is_followed_place_by_place():
    found = fitted(land(20.0, grow=0.02))
    column = found.track.centre_rc[:, 1]
    assert_allclose(found.width_px[5:-5], 20 + 0.02 * (column[5:-5] - COLS / 2), atol=0.15)


@pytest.mark.parametrize("width", [14.0, 70.0])
def test_noise_and_its_standard_error_are_told(width):
    """The scatter of the width from place to place is its standard error."""
    found = fitted(land(width, noise=0.02))
    assert found.noise == pytest.approx(0.02, rel=0.35)  # interpolation and blocks smooth it
    scatter = np.std(np.diff(found.width_px[5:-5])) / np.sqrt(2)
    assert np.median(found.stderr_px) == pytest.approx(scatter, rel=0.5)
    assert np.median(found.misfit) == pytest.approx(found.noise / 0.55, rel=0.2)
    assert 0 < found.shared_u_px < np.median(found.stderr_px)


def test_a_blur_that_is_known_is_kept():
    found = fitted(land(14.0), blur_px=2.4)
    assert_allclose(found.blur_px, 2.4)
    assert found.misfit.mean() > 0.02


def test_an_overexposed_land_is_said():
    clipped = np.minimum(land(24.0, levels=(0.1, 1.4, 0.2)), 1.0)
    found = fitted(clipped)
    assert found.saturated
    assert not found.wide
    assert np.median(found.width_px) == pytest.approx(24.0 + 1.6, abs=1.6)


def test_a_held_width_is_about_the_blur():
    found = fitted(land(3.0, blur=1.2), held=True)
    assert found.held
    middle = found.track.centre_rc[:, 0] + (found.left + found.right) / 2
    assert_allclose(middle[5:-5], 150, atol=0.1)
    assert np.median(found.right - found.left) == pytest.approx(
        1.2 * np.median(found.blur_px), rel=0.4
    )
