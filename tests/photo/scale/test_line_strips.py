"""Strips across a ruling: their places, their noise, and the ground taken out."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.scale.line_strips import flatten, strips

ROWS, COLS = 300, 400


def turned(angle_deg):
    """Pixels from the picture's middle across and along lines square to an angle."""
    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    x, y = x - (COLS - 1) / 2, y - (ROWS - 1) / 2
    c, s = np.cos(np.deg2rad(angle_deg)), np.sin(np.deg2rad(angle_deg))
    return x * c + y * s, -x * s + y * c


@pytest.mark.parametrize("angle_deg", [0.0, 25.0, -60.0, 90.0])
def test_strips_hold_the_light_at_their_places(angle_deg):
    """0.4 + 0.001 across + 0.0005 along: a plane, whose mean over a strip is its middle's."""
    across, along = turned(angle_deg)
    grey = (0.5 + 0.001 * across + 0.0005 * along).astype(np.float32)
    profiles, places, middles, noise = strips(grey, angle_deg, count=10)
    expected = 0.5 + 0.001 * places + 0.0005 * middles[:, None]
    inside = np.isfinite(profiles)
    assert_allclose(profiles[inside], expected[inside], atol=2e-5)
    assert_allclose(np.diff(places), 1)
    assert_allclose(places, -places[::-1])
    assert_allclose(middles, -middles[::-1], atol=1e-9)
    # Along the strips' rows the plane rises by 0.0005 a row, which is taken for noise.
    height = middles[1] - middles[0]
    seen = inside.any(axis=1)
    assert_allclose(noise[seen], 1.5 * 0.0005 / np.sqrt(2 * height), rtol=1e-3)
    # What leaves the picture is left out, and nothing else: whole rows of a strip lie inside.
    c, s = np.cos(np.deg2rad(angle_deg)), np.sin(np.deg2rad(angle_deg))
    ends = middles[:, None, None] + (height / 2 - 0.5) * np.array([-1, 1])
    x, y = places[:, None] * c - ends * s, places[:, None] * s + ends * c
    held = ((np.abs(x) <= (COLS - 1) / 2 + 1e-9) & (np.abs(y) <= (ROWS - 1) / 2 + 1e-9)).all(axis=2)
    held &= held.sum(axis=1, keepdims=True) >= 16
    assert np.array_equal(inside, held)


def test_noise_is_that_of_a_strip_s_mean():
    """White noise of 0.02 in strips of 31 rows: 0.02 / sqrt(31), with half as much again."""
    grey = 0.5 + 0.02 * np.random.default_rng(1).standard_normal((ROWS + 1, COLS + 1))
    # Sides of odd length: the strips' rows and places fall on whole pixels.
    _, _, middles, noise = strips(grey.astype(np.float32), 0.0, count=10)
    height = middles[1] - middles[0]
    assert height == 31
    assert_allclose(noise, 1.5 * 0.02 / np.sqrt(height), rtol=0.05)


def test_a_slow_ground_is_divided_out_and_the_noise_with_it():
    places = np.arange(600.0)
    ground = 0.4 + 0.2 * (places - 300) / 300
    lines = 1 - 0.3 * (places % 20 < 4)
    profiles = np.stack([ground * lines, 2 * ground * lines, ground]).astype(np.float32)
    profiles[1, :50] = np.nan
    flat, noise = flatten(profiles, np.full(3, 0.01))
    inner = slice(250, 350)
    ink = lines / lines.mean() - 1
    for row in (0, 1):
        assert_allclose(flat[row, inner], ink[inner], atol=0.03)
        assert abs(np.polyfit(places[inner], flat[row, inner], 1)[0]) * 100 < 0.03
    assert_allclose(flat[2, inner], 0, atol=0.01)
    assert np.isnan(flat[1, :50]).all()
    assert np.isfinite(flat[1, 50:]).all()
    level = 0.4 * lines.mean()
    assert_allclose(noise, 0.01 / np.array([level, 2 * level, 0.4]), rtol=0.06)
