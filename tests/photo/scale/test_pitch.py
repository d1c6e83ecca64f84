"""Spacing of a ruling: exact lines, random-effects least squares by dense matrices, the marks."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.photo.scale.pitch import fit_pitch, mark_period, two_sided_t
from edgetest.photo.scale.ruling_lines import LineSet

SHAPE = (600, 800)


def ruling(pitch=20.0, *, lines=21, strips=9, lean=0.0, shift=None, noise=None, lens=0.0):
    """Lines seen in strips; `shift` moves whole lines, `noise` single places."""
    index = np.repeat(np.arange(lines) - lines // 2, strips)
    along = np.tile(np.linspace(-200, 200, strips), lines)
    across = pitch * index + lean * along
    corner2 = (SHAPE[0] ** 2 + SHAPE[1] ** 2) / 4
    across = across + lens / 3 * across * (across**2 + along**2) / corner2
    if shift is not None:
        across = across + np.repeat(shift, strips)
    if noise is not None:
        across = across + noise
    return LineSet(
        angle_deg=0.0, index=index, across=across, along=along, sd=np.full(index.size, 0.05),
        pitch_px=pitch, bright=False, line_px=4.0, blur_px=1.0, fitted_blur_px=1.0, filled=1.0,
        misfit=0.0, evenness=1.0, hidden=False, stubs=False, sections=False, weight=1.0,
    )  # fmt: skip


@pytest.mark.parametrize("lean", [0.0, 0.1, -0.2])
def test_even_lines_give_their_spacing_at_right_angles(lean):
    """Lines that lean by arctan(lean) stand closer than they cross the rows."""
    found = fit_pitch(ruling(20.0, lean=lean), SHAPE)
    assert found.pitch_px == pytest.approx(20.0 * np.cos(np.arctan(lean)), rel=1e-4)
    assert found.rotation_deg == pytest.approx(-np.degrees(np.arctan(lean)), abs=1e-3)
    assert found.lines_used == 21
    assert found.misfit < 1e-3
    turned = fit_pitch(replace(ruling(20.0), angle_deg=170.0), SHAPE)
    assert turned.rotation_deg == pytest.approx(-10.0, abs=1e-3)


def test_what_a_lens_bends_is_told_where_the_lines_tell_it():
    """Magnification that grows by 3 % to the corner, against a usual 0.5 %."""
    rng = np.random.default_rng(1)
    lines = ruling(15.0, lines=41, noise=0.02 * rng.standard_normal(41 * 9), lens=0.03)
    found = fit_pitch(lines, SHAPE)
    assert found.distortion == pytest.approx(0.03, abs=0.006)
    assert found.pitch_px == pytest.approx(15.0, rel=2e-3)
    assert fit_pitch(ruling(15.0, lines=41), SHAPE).distortion == pytest.approx(0.0, abs=1e-3)


def test_lines_not_strips_set_the_interval():
    """Lines 0.3 px off their places each: u of the slope is 0.3 / sqrt(sum of index²)."""
    rng = np.random.default_rng(2)
    shift = 0.3 * rng.standard_normal(41)
    few, many = (fit_pitch(ruling(18.0, lines=41, strips=n, shift=shift), SHAPE) for n in (5, 40))
    assert 0.7 * few.relative_u < many.relative_u  # by strips it would be a third
    index = np.arange(41) - 20
    slope_u = shift.std(ddof=2) / np.sqrt((index**2).sum())
    assert 0.6 * slope_u / 18.0 < few.relative_u < 3 * slope_u / 18.0
    assert few.misfit == pytest.approx(0.3 / 18, rel=0.35)
    assert 36 <= few.df <= 39
    still = fit_pitch(ruling(18.0, lines=41), SHAPE)
    assert still.relative_u < 0.6 * few.relative_u


def test_longer_marks_stand_every_so_many_lines():
    lines = ruling(20.0, lines=31, strips=6)
    index = np.arange(31) - 15
    long = np.flatnonzero(index % 10 == 0)

    def with_marks(places, more=4):
        extra = np.repeat(index[places], more)
        return replace(lines, index=np.r_[lines.index, extra])

    assert mark_period(with_marks(long)) == 10
    assert mark_period(with_marks(np.flatnonzero(index % 5 == 0))) == 5
    assert mark_period(lines) is None
    assert mark_period(with_marks([4])) is None
    assert mark_period(with_marks(np.arange(0, 31, 1)[:20])) is None  # most are longer
    assert mark_period(with_marks([3, 7, 18, 20])) is None  # at no even distance


def test_the_factor_is_student_s():
    assert two_sided_t(7) == pytest.approx(student.ppf(0.975, 7))
    assert two_sided_t(3, 0.9) == pytest.approx(student.ppf(0.95, 3))
    assert_allclose(two_sided_t(1e7), 1.959964, rtol=1e-5)


def test_lines_that_tell_nothing_of_the_lens_keep_their_degrees_of_freedom():
    """Seven lines near the middle, their lean told: 7 - 2, less a part of one for lens and tilt."""
    rng = np.random.default_rng(4)
    lines = ruling(20.0, lines=7, shift=0.3 * rng.standard_normal(7), lean=0.05)
    found = fit_pitch(lines, SHAPE)
    assert found.df == 4
    assert found.rotation_deg == pytest.approx(-np.degrees(np.arctan(0.05)), abs=1e-3)
