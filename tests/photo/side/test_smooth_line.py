"""The smooth line: a known polynomial under known damage, and the covariance of least squares."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side.boundary import Strip
from edgetest.photo.side.smooth_line import line_at, line_uncertainty, settled_line

ARC = np.arange(800.0)
BLUR = 1.5


def strip(arc=ARC):
    none = np.zeros((arc.size, 2))
    return Strip(np.zeros((3, arc.size)), np.arange(3.0), arc, none, none, arc, arc)


def inner(count=ARC.size, border=7):
    return (np.arange(count) >= border) & (np.arange(count) < count - border)


def chip(at, length, depth):
    return -depth * np.clip(1 - (2 * (ARC - at) / length) ** 2, 0, None)


@pytest.mark.parametrize("seed", [1, 2])
def test_the_line_under_chips_and_rolls_is_the_one_before_them(seed):
    rng = np.random.default_rng(seed)
    t = 2 * ARC / ARC[-1] - 1
    before = 3 + 5 * t - 4 * t**2 + 2 * t**3
    damage = chip(150, 40, 9) + chip(420, 60, 15) - chip(650, 30, 6)
    place = before + damage + 0.1 * rng.standard_normal(ARC.size)
    coef, sound, stretches = settled_line(strip(), place, BLUR, inner())
    # 0.1 px over some 650 samples and four coefficients: 0.01 px in the middle, twice at an end.
    assert_allclose(line_at(ARC, coef), before, atol=0.05)
    assert [s.sign for s in stretches] == [-1, -1, 1]
    assert_allclose([s.peak for s in stretches], [150, 420, 650], atol=3)
    for stretch, (at, length) in zip(stretches, ((150, 40), (420, 60), (650, 30)), strict=True):
        assert_allclose([stretch.low, stretch.high], [at - length / 2, at + length / 2], atol=4)
        # A stretch and what the blur and its slopes reach beyond it are not sound.
        pad = int(2 * BLUR + 0.25 * (stretch.high - stretch.low)) + 2
        reach = slice(stretch.low - pad, stretch.high + pad)
        assert not sound[reach].any()
        assert sound[reach.start - 3 : reach.start].all()
        assert sound[reach.stop : reach.stop + 3].all()
    assert not sound[~inner()].any()
    assert sound[20:110].all()


def test_damage_at_the_very_beginning_is_not_sound():
    damage = chip(18, 30, 8)
    place = damage + 0.05 * np.random.default_rng(3).standard_normal(ARC.size)
    coef, sound, (stretch,) = settled_line(strip(), place, BLUR, inner())
    assert stretch.low <= 6
    assert not sound[: stretch.high].any()
    assert sound[80:700].all()
    assert_allclose(line_at(ARC, coef)[60:], 0, atol=0.05)


def test_where_most_departs_nothing_is_believed_to_be_sound_alone():
    rng = np.random.default_rng(4)
    place = sum(chip(at, 56, 12) for at in range(40, 790, 60)) + 0.02 * rng.standard_normal(800)
    coef, sound, _ = settled_line(strip(), place, BLUR, inner())
    assert np.array_equal(sound, inner())
    assert coef.size <= 11


def test_the_line_s_uncertainty_is_that_of_least_squares():
    """Any basis of the same polynomials gives it; neighbours alike over 9 px count a ninth."""
    arc = np.arange(0.0, 120.0)
    sound = (arc < 40) | (arc > 70)
    u = arc / 100
    powers = np.stack([np.ones_like(u), u, u**2], axis=1)
    spread = np.linalg.inv(powers[sound].T @ powers[sound])
    expected = 0.3 * np.sqrt(np.einsum("ij,jk,ik->i", powers, spread, powers))
    assert_allclose(line_uncertainty(arc, sound, 3, 0.3, 1.0), expected, rtol=1e-5)
    assert_allclose(line_uncertainty(arc, sound, 3, 0.3, 9.0), 3 * expected, rtol=1e-5)
    assert_allclose(line_uncertainty(arc, sound, 3, 0.3, 0.2), expected, rtol=1e-5)
    one = line_uncertainty(arc, sound, 1, 0.3, 1.0)
    assert_allclose(one, 0.3 / np.sqrt(sound.sum()), rtol=1e-6)
