"""First guesses of a band: levels, borders and what lies beside it, of pictures drawn."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.find_band import find_band, ridges
from edgetest.photo.apex.first_guess import look_around, trace_sides
from edgetest.photo.apex.straighten import Track, UnrolledStrip

ROWS, COLS = 240, 360


def steps(*levels, blur=1.0, slope=0.0):
    """Light along the rows: a first level, then (row, level) from each border on."""
    row = np.arange(ROWS)[:, None] - slope * (np.arange(COLS) - COLS / 2)
    light = np.full((ROWS, COLS), levels[0])
    before = levels[0]
    for place, level in levels[1:]:
        light = light + (level - before) * ndtr((row - place) / blur)
        before = level
    return light.astype(np.float32)


def seen(picture, factor=1):
    bright, _, sigmas = ridges(picture)
    return look_around(picture, find_band(factor, bright, sigmas))


@pytest.mark.parametrize("factor", [1, 3])
def test_levels_and_borders_of_a_drawn_land(factor):
    """0.2 below, 0.8 on the land from row 112 to 128, 0.3 above."""
    found = seen(steps(0.2, (112, 0.8), (128, 0.3)), factor)
    assert found.land == pytest.approx(0.8, abs=0.005)
    assert found.below == pytest.approx(0.2, abs=0.005)
    assert found.above == pytest.approx(0.3, abs=0.005)
    assert found.right - found.left == pytest.approx(16 * factor, rel=0.02)
    assert found.right + found.left == pytest.approx(0, abs=7 * factor)  # the path runs within it
    assert found.certain
    assert found.elsewhere == 0
    assert found.beside == 0
    assert_allclose(np.diff(found.x), factor)
    far = found.x > 12 * factor
    assert_allclose(found.profile[far], 0.3, atol=0.01)
    assert found.seen[np.abs(found.x) < 80].min() > 0.95
    assert found.spread.max() < 1e-3


def test_noise_sets_the_scatter_of_the_profile():
    """Median of some 360 / 20 places alike over 20: 1.2533 sigma / sqrt(18), by deviations."""
    rng = np.random.default_rng(1)
    picture = steps(0.2, (112, 0.8), (128, 0.2))
    picture = picture + np.repeat(0.1 * rng.standard_normal((ROWS, COLS // 20)), 20, axis=1)
    found = seen(picture.astype(np.float32))
    inner = np.abs(found.x) < 60
    assert np.median(found.spread[inner]) == pytest.approx(1.2533 * 0.1 / np.sqrt(18), rel=0.2)
    assert found.certain
    faint = steps(0.2, (112, 0.24), (128, 0.2))
    lost = faint + np.repeat(0.1 * rng.standard_normal((ROWS, COLS // 20)), 20, axis=1)
    assert not seen(lost.astype(np.float32)).certain


@pytest.mark.parametrize(("first", "share"), [(140, 1.0), (148, 1.0), (151, 0.0), (200, 0.0)])
def test_a_second_band_near_by_is_told(first, share):
    """A land of 16 px, another beside it: 0.4 of 16 px within 1.5 widths and 4 px of its border."""
    double = steps(0.1, (112, 0.8), (128, 0.1), (first, 0.7), (first + 10, 0.1))
    assert seen(double).beside == pytest.approx(share, abs=0.01)


def test_what_shines_elsewhere_is_counted_by_its_share():
    picture = steps(0.1, (112, 0.8), (128, 0.1))
    picture[20:60, 40:80] = 0.9
    found = seen(picture)
    # 1600 px of what lies further than 3 sigma + 4 from the middle.
    beyond = (np.abs(np.arange(ROWS) - 120) > 40).sum() * COLS
    assert found.elsewhere == pytest.approx(1600 / beyond, rel=0.25)
    assert found.beside == 0


def test_light_that_only_steps_has_one_border():
    half = seen(steps(0.1, (112, 0.8)))
    assert (half.left is None) != (half.right is None)


def strip(left, right, *, land=0.8, below=0.2, above=0.3, blur=1.3, rows=60):
    x = np.arange(-40.0, 41)
    light = below + (land - below) * ndtr((x - left) / blur)
    light = light + (above - land) * ndtr((x - right) / blur)
    none = np.zeros((rows, 2))
    track = Track(np.arange(float(rows)), none, none)
    values = np.tile(light, (rows, 1)).astype(np.float32)
    return UnrolledStrip(values, np.ones_like(values), x, track, 1)


@pytest.mark.parametrize(("left", "right"), [(-8.0, 8.0), (-6.4, 9.3), (-12.0, 10.0)])
def test_sides_lie_at_half_level_of_their_own_ground(left, right):
    found = trace_sides(strip(left, right), right - left)
    assert_allclose(found.left, left, atol=0.08)
    assert_allclose(found.right, right, atol=0.08)
    assert_allclose(found.land, 0.8, atol=1e-3)
    assert_allclose(found.below, 0.2, atol=2e-3)
    assert_allclose(found.above, 0.3, atol=2e-3)
    assert_allclose(found.contrast, 0.55, atol=3e-3)
    assert found.usual == pytest.approx(0.55, abs=3e-3)
    assert found.width == pytest.approx(right - left, abs=0.1)


@pytest.mark.parametrize("blur", [1.0, 2.0, 3.0])
def test_the_blur_is_told_by_the_steepest_step(blur):
    """The steeper side is a step of 0.6 of a land that stands 0.55 over both grounds."""
    found = trace_sides(strip(-12.5, 12.5, blur=blur), 25.0)
    whole = np.hypot(blur, 0.8)  # smoothed by 0.8 px beforehand
    assert found.blur_px == pytest.approx(whole * 0.55 / 0.6, rel=0.06)
