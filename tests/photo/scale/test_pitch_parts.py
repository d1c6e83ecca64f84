"""Spacing of a ruling, part by part: scatter between lines, drift, limits of the long marks."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.scale.pitch import _between, _drift_factor, _gls, fit_pitch, mark_period
from tests.photo.scale.test_pitch import ruling

SHAPE = (600, 800)


def test_scatter_between_lines_is_what_the_strips_do_not_say():
    """Means whose mean square is 4 with a variance of 1 each: 3 lie between them."""
    mean = np.array([2.0, -2.0, 2.0, -2.0])
    assert _between(mean, np.ones(4), 4) == pytest.approx(3.0, rel=1e-9)
    assert _between(mean, np.ones(4), 2) == pytest.approx(7.0, rel=1e-9)  # two are fitted away
    assert _between(mean, np.full(4, 4.0), 4) == 0
    assert _between(mean, np.full(4, 9.0), 4) == 0
    assert _between(mean, np.full(4, 3.9), 4) == pytest.approx(0.1, rel=1e-6)
    shift2 = _between(np.array([1.0, -3.0]), np.array([0.5, 2.0]), 2)
    assert 1 / (shift2 + 0.5) + 9 / (shift2 + 2) == pytest.approx(2)


def test_neighbours_that_err_alike_widen_the_variance():
    """(1 + r) / (1 - r), r the correlation of neighbours and one over their number, 0 to 0.9."""
    assert _drift_factor(np.ones(5)) == 1
    assert _drift_factor(np.array([1.0, -1] * 4)) == 1
    alike = np.repeat([1.0, -1.0], 4)  # six pairs alike of eight squares, one not
    share = 5 / 8 + 1 / 8
    assert _drift_factor(alike) == pytest.approx((1 + share) / (1 - share))
    assert _drift_factor(np.ones(40)) == pytest.approx(1.9 / 0.1)
    assert _drift_factor(np.zeros(8)) == pytest.approx((1 + 1 / 8) / (1 - 1 / 8))
    six = np.array([1.0, 1, 1, -1, -1, -1])
    share = 3 / 6 + 1 / 6
    assert _drift_factor(six) == pytest.approx((1 + share) / (1 - share))


def test_lines_that_move_as_a_whole_are_fitted_by_their_covariance():
    """By dense matrices: the noise of a strip, and a shift that a line's strips share."""
    rng = np.random.default_rng(1)
    number = np.repeat(np.arange(8), [3, 4, 3, 5, 3, 4, 3, 4])
    sd = rng.uniform(0.03, 0.06, number.size)
    design = np.stack([np.ones(number.size), number - 3.5, rng.uniform(-1, 1, number.size)], -1)
    noise = sd * np.where(np.arange(number.size) % 2, 1, -1) * 0.5  # quieter than told
    shift = 0.3 * np.array([1, -1, -1, 1, 1, -1, -1, 1.0])
    y = design @ [2.0, 5.0, 0.4] + shift[number] + noise
    coef, cov, spread, told = _gls(design, y, sd, number, np.zeros(3))
    assert told == 0
    shared = number[:, None] == number
    strips = 1 / np.bincount(number, 1 / sd**2)

    def dense(shift2):
        inverse = np.linalg.inv(np.diag(sd**2) + shift2 * shared)
        cov = np.linalg.inv(design.T @ inverse @ design)
        return cov @ design.T @ inverse @ y, cov

    mean = None
    shift2 = 0.09
    for _ in range(8):
        guess, own = dense(shift2)
        miss = y - design @ guess
        mean = np.bincount(number, miss / sd**2) * strips
        shift2 = _between(mean, strips, 6.0)
    assert_allclose(coef, guess, atol=1e-4)
    assert spread == pytest.approx(np.sqrt(np.sum(mean**2) / 6), rel=1e-3)
    drift = np.sum(mean[1:] * mean[:-1]) / np.sum(mean**2)
    assert drift < 0.3
    factor = cov[1, 1] / own[1, 1]
    assert factor == pytest.approx(_drift_factor(mean), rel=0.02)
    assert_allclose(cov, factor * own, rtol=0.01, atol=1e-9)


def test_noise_that_is_greater_than_told_widens_all_of_it():
    """Strips four times as far off as their deviation says: sixteen times the variance."""
    rng = np.random.default_rng(2)
    number = np.repeat(np.arange(30), 10)
    design = np.stack([np.ones(300), number - 14.5], -1)
    noise = 0.2 * rng.standard_normal(300)
    y = design @ [1.0, 3.0] + noise
    _, as_told, _, _ = _gls(design, y, np.full(300, 0.05), number, np.zeros(2))
    _, true, _, _ = _gls(design, y, np.full(300, 0.2), number, np.zeros(2))
    assert_allclose(as_told, true, rtol=0.1)


def test_a_parameter_with_a_prior_is_told_by_the_lines_or_by_it():
    number = np.repeat(np.arange(20), 3)
    u = number - 9.5
    design = np.stack([np.ones(60), u, u**3 / 900], -1)
    y = design @ [0.0, 2.0, 0.5]
    sd = np.full(60, 0.01)
    coef, cov, _, told = _gls(design, y, sd, number, np.array([0, 0, 1e-6]))
    assert coef[2] == pytest.approx(0.5, abs=1e-3)
    assert told == pytest.approx(1.0, abs=1e-3)
    coef, cov, _, told = _gls(design, y, sd, number, np.array([0, 0, 1e12]))
    assert coef[2] == pytest.approx(0, abs=1e-3)
    assert told == pytest.approx(0.0, abs=1e-2)
    assert cov[2, 2] <= 1.9e-11


def short_ruling():
    """Nine lines by turns a thousandth of a pixel off: their errors are not alike."""
    lines = ruling(20.0, lines=9, strips=9, shift=0.001 * np.array([1, -1] * 4 + [1]))
    return replace(lines, along=lines.along / 10)


def test_a_short_ruling_keeps_the_doubt_of_lens_and_placing():
    """A quarter of half a percent for the lens, 0.015 px at the ruling's ends."""
    lines = short_ruling()
    found = fit_pitch(lines, SHAPE)
    own = 0.05 / np.sqrt(9 * 60) / 20  # strips, squares of nine lines' numbers
    expected = np.linalg.norm([0.25 * 0.005, 0.015 / 160, own])
    assert found.relative_u == pytest.approx(expected, rel=0.02)
    assert found.df == 6  # nine less two, less the little that they tell of the lens


@pytest.mark.parametrize(("blur", "times"), [(1.0, 1.0), (4.0, 1.0), (8.0, 8.0)])
def test_lines_that_run_into_each_other_are_placed_the_worse(blur, times):
    """From a fifth of the pitch on, with the third power."""
    lines = replace(short_ruling(), fitted_blur_px=blur)
    found = fit_pitch(lines, SHAPE)
    own = 0.05 / np.sqrt(9 * 60) / 20
    expected = np.linalg.norm([0.25 * 0.005, times * 0.015 / 160, own])
    assert found.relative_u == pytest.approx(expected, rel=0.02)


def test_a_tilt_is_taken_out_as_far_as_its_prior_lets_it():
    """Spacing that grows by 2 % a half diagonal from side to side: the middle's is told."""
    lines = ruling(15.0, lines=41)
    half = np.hypot(*SHAPE) / 2
    tilted = replace(lines, across=lines.across + 0.01 * lines.across**2 / half)
    found = fit_pitch(tilted, SHAPE)
    assert found.pitch_px == pytest.approx(15.0, rel=3e-4)
    assert abs(found.distortion) < 1e-3
    assert found.df in (37, 38)


def test_a_rotation_is_told_between_minus_90_and_90_degrees():
    for given, told in ((100.0, -80.0), (-100.0, 80.0), (89.0, 89.0), (45.0, 45.0)):
        found = fit_pitch(replace(ruling(20.0), angle_deg=given), SHAPE)
        assert found.rotation_deg == pytest.approx(told, abs=1e-3)


def marked(places, more, lines=31, strips=9):
    plain = ruling(20.0, lines=lines, strips=strips)
    index = np.arange(lines) - lines // 2
    extra = np.repeat(index[np.asarray(places)], more)
    return replace(plain, index=np.r_[plain.index, extra])


def test_a_mark_is_longer_by_an_eighth_and_one_strip():
    """1.12 * 9 + 1 = 11.08 strips."""
    assert mark_period(marked([0, 10, 20, 30], 2)) is None
    assert mark_period(marked([0, 10, 20, 30], 3)) == 10


def test_six_lines_and_two_marks_tell_a_period():
    assert mark_period(marked([0, 5], 5, lines=6)) == 5
    assert mark_period(marked([0, 4], 5, lines=5)) is None
    assert mark_period(marked([0], 5, lines=6)) is None
    assert mark_period(marked([2, 3], 5, lines=12)) is None  # next to each other: no period


def test_seven_of_ten_marks_must_be_there_and_most_lines_be_none():
    every = np.arange(0, 31, 3)  # eleven
    assert mark_period(marked(np.delete(every, [4, 7, 9]), 5)) == 3
    assert mark_period(marked(np.delete(every, [2, 4, 7, 9]), 5)) is None
    twos = np.arange(0, 31, 2)  # sixteen of 31: under 55 %
    assert mark_period(marked(twos, 5)) == 2
    assert mark_period(marked(np.r_[twos, 1, 3], 5)) is None
