"""The copies of a photograph in which its place is sought: factors, ground, what changes along."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.frame_search import against_ground, along_detail, best_place, frame_of


@pytest.mark.parametrize(
    ("shape", "light", "detail"),
    [
        ((100, 200), 1, 1),
        ((100, 959), 1, 3),
        ((100, 961), 2, 3),
        ((432, 300), 1, 2),
        ((2880, 100), 4, 10),
    ],
)
def test_copies_are_of_640_and_288_pixels_or_so(shape, light, detail):
    frame = frame_of(np.random.default_rng(1).random(shape))
    assert (frame.light_factor, frame.detail_factor) == (light, detail)
    assert frame.shape == shape
    assert frame.light.shape == (shape[0] // light, shape[1] // light)
    assert frame.detail.shape == (shape[0] // detail, shape[1] // detail)


def test_a_copy_is_reduced_as_another_was():
    like = SimpleNamespace(light_factor=3, detail_factor=5)
    frame = frame_of(np.random.default_rng(1).random((100, 200)), like)
    assert (frame.light_factor, frame.detail_factor) == (3, 5)
    assert frame.light.shape == (33, 66)


def test_light_is_told_in_its_photon_noise():
    """Four times the light has twice the noise: a ripple a hundredth of it counts twice."""
    x = np.arange(200.0)
    ripple = 1 + 0.01 * np.cos(2 * np.pi * x / 6) + np.zeros((90, 1))
    one = against_ground((0.1 * ripple).astype(np.float32))
    other = against_ground((0.4 * ripple).astype(np.float32))
    assert_allclose(other[40:50, 60:140], 2 * one[40:50, 60:140], atol=1e-4)
    passed = np.exp(-0.5 * (2 * np.pi / 6) ** 2)  # through a Gaussian of 1 px
    height = 0.001 * passed / np.sqrt(0.1 * 1.05)
    assert np.abs(one[45, 60:140]).max() == pytest.approx(height, rel=0.02)


def test_darker_ground_has_the_sensors_own_noise():
    """A twentieth of the mean light is added."""
    light = np.full((200, 300), 0.5, np.float32)
    light[:, :150] = 1e-6
    light[100, 40] += 0.1
    found = against_ground(light)
    peak = 0.1 * (1 / (2 * np.pi) - 1 / (2 * np.pi * 144))
    floor = 0.05 * 0.25
    ground = 0.1 / (2 * np.pi * 144)
    assert found[100, 40] == pytest.approx(peak / np.sqrt(floor + ground), rel=0.05)


def test_what_is_alike_along_the_edge_is_taken_out_and_outliers_are_clipped():
    rng = np.random.default_rng(2)
    row = np.arange(120.0)[:, None]
    band = np.exp(-0.5 * ((row - 60) / 6) ** 2) + np.zeros(300)
    grain = 0.05 * rng.standard_normal(band.shape)
    grain[20, 200] = 5.0
    found = along_detail((band + grain).astype(np.float32))
    assert found.mean() == pytest.approx(0, abs=1e-6)
    inner = found[30:90, 40:150]
    assert np.corrcoef(inner.ravel(), grain[30:90, 40:150].ravel())[0, 1] > 0.97
    assert np.abs(inner.mean(axis=1)).max() < 0.02  # of a band of height 1
    # Two spreads of what is left, speck included.
    assert found.max() == pytest.approx(found[20, 200])
    assert found.max() < 2.1 * np.std((band + grain) - band)


def test_what_is_alike_over_an_eighth_of_the_width_is_the_band():
    """A wave of so many columns: through a mean over 0.12 of 300, that is 37, a sinc is left."""
    x = np.arange(300.0)
    row = np.arange(120.0)[:, None]
    band = 30 * np.exp(-0.5 * ((row - 60) / 6) ** 2)
    for period in (18.5, 74.0):
        wave = 0.3 * np.cos(2 * np.pi * x / period)
        found = along_detail((band + wave).astype(np.float32))[10, 60:240]
        share = found @ wave[60:240] / (wave[60:240] @ wave[60:240])
        passed = np.sinc(37 / period) / np.sinc(1 / period)
        assert share == pytest.approx(1 - passed, abs=0.12)


def test_a_place_is_told_with_its_likeness_and_its_rival():
    rng = np.random.default_rng(3)
    whole = rng.standard_normal((90, 260)).astype(np.float32)
    a, b = whole[10:70, 20:180], whole[14:74, 51:211]
    found = best_place(a, b, 0.0)
    assert found.corner.tolist() == [4, 31]
    assert found.likeness == pytest.approx(1, abs=1e-5)
    # White noise: spreads of chance are one over the root of the common pixels, 56 by 129.
    assert found.clear == pytest.approx(np.sqrt(56 * 129), rel=0.25)
    assert found.rival < 0.1
    near = best_place(a, b, 0.0, reach=0.05)  # 3 rows, 8 columns
    assert np.all(np.abs(near.corner) <= [3, 8])
    assert near.likeness < 0.2
    assert best_place(a, b, 0.0, reach=0.2).corner.tolist() == [4, 31]  # 12 and 32
    twice = np.hstack([a[:, :80], a[:, :80]])
    assert best_place(twice, a[:, :80], 0.0).rival == pytest.approx(1, abs=1e-3)
