"""Bands behind lenses, part by part: the frequencies that are summed, steps of the descent."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.lens_transfer import (
    _first_stopped,
    band_columns,
    best_lenses,
    blur_sd,
    transfer,
    waves,
)


def test_frequencies_are_finer_than_the_profile_needs_and_go_beyond_the_pixel():
    """Steps of 1 / (5 reach + 20), middles, up to one and a half cycles a pixel."""
    wave = waves(np.array([-8.0, 2.0, 4.0]), along=0.8, across=0.6)
    assert wave.step == pytest.approx(1 / 60)
    assert_allclose(wave.frequency, (np.arange(90) + 0.5) / 60)
    assert_allclose(wave.cosine[4], np.cos(2 * np.pi * 4.5 / 60 * np.array([-8, 2, 4])))
    assert_allclose(wave.sine[4], np.sin(2 * np.pi * 4.5 / 60 * np.array([-8, 2, 4])))
    f = wave.frequency
    assert_allclose(wave.pixel, np.sinc(0.8 * f) * np.sinc(0.6 * f))


def test_what_no_lens_lets_through_is_not_summed():
    f = (np.arange(900) + 0.5) / 600
    # Diffraction ends at 1.22 cycles a ring of the shortest wavelength, 0.82 of the middle.
    last = f[_first_stopped(f, [[2.0, 0, 0]])]
    assert last == pytest.approx(1.22 / (0.82 * 2), abs=1 / 600)
    assert transfer([last + 1e-3], [[2.0, 1e-6, 1e-6]])[0, 0] == pytest.approx(0, abs=1e-12)
    last = f[_first_stopped(f, [[1e-6, 0, 2.0]])]
    assert last == pytest.approx(1.2 / 2, abs=1 / 600)
    assert transfer([last], [[1e-6, 1e-6, 2.0]])[0, 0] < 1e-12
    assert _first_stopped(f, [[2.0, 0, 0], [4.0, 0, 0]]) == _first_stopped(f, [[2.0, 0, 0]])
    assert _first_stopped(f, [[2.0, 0, 4.0]]) == _first_stopped(f, [[1e-6, 0, 4.0]])
    assert _first_stopped(f, [[1e4, 0, 1e4]]) == 1
    assert _first_stopped(f, [[1e-3, 0, 1e-3]]) == 900


def test_many_bands_are_imaged_at_once():
    wave = waves(np.linspace(-9, 9, 19), along=0.0)
    lens = np.array([[1e-3, 1e-3, 1.5], [1e-3, 1e-3, 0.9]])
    both = band_columns(wave, [4.0, 6.0], lens)
    assert both.shape == (2, 3, 19)
    for row in (0, 1):
        alone = band_columns(wave, [[4.0, 6.0][row]], lens[row : row + 1])[0]
        assert_allclose(both[row], alone, atol=1e-9)
    x = np.linspace(-9, 9, 19)
    bell = [np.exp(-0.5 * ((x + way * 3) / 0.9) ** 2) / np.sqrt(2 * np.pi) / 0.9 for way in (1, -1)]
    assert_allclose(both[1, 1], bell[0] - bell[1], atol=2e-4)
    assert_allclose(both[1, 2], ndtr((x - 3) / 0.9), atol=2e-4)


def linear(aim, slopes):
    """Misses that are linear in the lens."""
    return lambda lens: (lens - aim) @ slopes


SLOPES = np.array([[2.0, 0, 0, 1], [0, 3.0, 0, 1], [0, 0, 4.0, -1]])


def test_a_step_is_that_of_damped_least_squares():
    """A hundredth of the diagonal is added; then a quarter of that after a step that gains."""
    aim, start = np.array([1.1, 0.9, 0.7]), np.array([[1.0, 1.0, 0.8]])
    misses = linear(aim, SLOPES)
    normal = SLOPES @ SLOPES.T
    at, held = start[0], 1e-2
    for turns in (1, 2):
        damped = normal + held * np.diag(np.diag(normal))
        at = at - np.linalg.solve(damped, SLOPES @ misses(at[None])[0])
        found, chi2 = best_lenses(misses, start, turns)
        assert_allclose(found[0], at, atol=1e-8)
        assert chi2[0] == pytest.approx((misses(found) ** 2).sum())
        held /= 4
    assert start.tolist() == [[1.0, 1.0, 0.8]]


def test_a_step_is_no_longer_than_two_fifths_of_the_blur_and_a_tenth():
    start = np.array([[1.0, 1.0, 0.8]])
    limit = 0.4 * blur_sd(start)[0] + 0.1
    found, _ = best_lenses(linear(np.array([90.0, -90.0, 0.8]), 100 * np.eye(3)), start, 1)
    assert found[0, 0] == pytest.approx(1 + limit)
    assert found[0, 1] == pytest.approx(max(1 - limit, 0.05))
    far, _ = best_lenses(linear(np.array([1.0, -90.0, 0.8]), 100 * np.eye(3)), start, 9)
    assert far[0, 1] == pytest.approx(0.05)  # no lens is sharper


def test_a_step_that_gains_nothing_is_not_taken():
    def misses(lens):  # least at the start: any step is worse
        return np.concatenate([np.abs(lens - 1.0) + 1, 0.1 * lens], axis=1)

    found, chi2 = best_lenses(misses, np.ones((2, 3)), 3)
    assert_allclose(found, 1.0)
    assert_allclose(chi2, 3.03)


def test_only_what_is_free_is_changed():
    aim = np.array([2.0, 2.0, 2.0])
    found, _ = best_lenses(linear(aim, np.eye(3)), np.ones((1, 3)), 12, free=(1,))
    assert_allclose(found, [[1.0, 2.0, 1.0]], atol=1e-3)
