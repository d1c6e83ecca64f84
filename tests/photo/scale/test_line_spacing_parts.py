"""Gaps, lattices and lines below a pixel: drawn, counted and got back."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.scale.line_spacing import (
    LineShape,
    _nearest,
    _tune,
    _usual_gaps,
    find_lattice,
    find_slope,
    fit_lines,
    fit_shape,
    line_shape,
    row_shape,
    windows_about,
)


def test_the_nearest_of_others_is_told_with_its_sign():
    found = _nearest(np.array([-3.0, 4.9, 5.1, 12.0, 40.0]), np.array([0.0, 10.0, 30.0]))
    assert found.tolist() == pytest.approx([3.0, -4.9, 4.9, -2.0, -10.0])


def test_a_lean_is_the_usual_change_from_strip_to_strip():
    along = np.array([0.0, 10, 20, 40])
    place = np.array([5.0, 25, 45])
    band = np.repeat([0, 1, 3], 3)
    every = np.concatenate([place, place + 0.8, place + 7])
    assert find_slope(band, every, along) == pytest.approx(0.08)  # strips 1 and 3 do not meet
    assert find_slope(band[:4], every[:4], along) == 0.0  # one line tells no lean


def test_usual_gaps_are_told_commonest_first():
    gaps = np.r_[np.full(40, 20.0), np.full(15, 40.5), np.full(4, 9.0)]
    assert _usual_gaps(gaps) == pytest.approx([20.0, 40.5])  # 4 are under 0.12 of 40
    assert _usual_gaps(np.r_[gaps, 9.0]) == pytest.approx([20.0, 40.5, 9.0])
    assert _usual_gaps(np.r_[gaps, 9.0], count=1) == pytest.approx([20.0])
    near = _usual_gaps(np.r_[np.full(20, 20.0), np.full(21, 20.4)])
    assert near == pytest.approx([20.4])


@pytest.mark.parametrize("pitch", [7.3, 20.0])
def test_a_pitch_is_tuned_to_all_of_the_positions(pitch):
    flat = 4.2 + pitch * np.arange(-30, 41)
    found, score, origin = _tune(flat, 1.03 * pitch)
    assert found == pytest.approx(pitch, rel=1e-4)
    assert score == pytest.approx(1.0, abs=1e-3)
    assert (origin - 4.2) / pitch == pytest.approx(round((origin - 4.2) / pitch), abs=0.01)


@pytest.mark.parametrize(("count", "seen"), [(7, False), (8, True)])
def test_eight_positions_are_a_lattice(count, seen):
    place = 20.0 * np.arange(count) + 3
    found = find_lattice(np.zeros(count, int), place, np.array([0.0]))
    assert (found is not None) == seen
    if seen:
        assert (found.pitch, found.points, found.slope) == (pytest.approx(20, rel=1e-3), 8, 0.0)


def test_gaps_of_two_pixels_and_a_half_are_none():
    for gap, seen in ((2.4, False), (2.6, True)):
        place = gap * np.arange(20)
        found = find_lattice(np.zeros(20, int), place, np.array([0.0]))
        assert (found is not None) == seen


def test_of_lattices_that_fit_the_finest_is_taken():
    """Two strips hold every line, eight the long marks alone."""
    fine, long = 10.0 * np.arange(30), 50.0 * np.arange(6)
    band = np.concatenate([np.repeat([0, 1], 30), np.repeat(np.arange(2, 10), 6)])
    place = np.concatenate([fine, fine, *[long] * 8])
    found = find_lattice(band, place, 20.0 * np.arange(10))
    assert found.pitch == pytest.approx(10.0, rel=1e-3)


def test_a_line_is_a_box_behind_a_blur():
    x = np.array([-30.0, -4.0, 0.0, 4.0, 30.0])
    value, slope = line_shape(x, 8.0, 0.5)
    assert_allclose(value, [0, 0.5, 1, 0.5, 0], atol=1e-9)
    bell = 1 / (0.5 * np.sqrt(2 * np.pi))
    assert_allclose(slope, [0, bell, 0, -bell, 0], atol=1e-9)
    fine = np.linspace(-9, 9, 4001)
    value, slope = line_shape(fine, 5.0, 2.0)
    assert_allclose(np.gradient(value, fine)[1:-1], slope[1:-1], atol=1e-5)
    assert np.trapezoid(line_shape(np.linspace(-40, 40, 8001), 5.0, 2.0)[0], dx=0.01) == (
        pytest.approx(5.0, rel=1e-6)
    )


@pytest.mark.parametrize(("pitch", "blur"), [(12.0, 2.0), (40.0, 1.0), (9.0, 2.5)])
def test_a_row_of_lines_is_a_line_among_its_neighbours(pitch, blur):
    x = np.linspace(-pitch / 2, pitch / 2, 50)
    value, slope = row_shape(x, 4.0, blur, pitch)
    every = [line_shape(x - k * pitch, 4.0, blur) for k in range(-4, 5)]
    assert_allclose(value, sum(one[0] for one in every), atol=2e-3)
    assert_allclose(slope, sum(one[1] for one in every), atol=2e-3)


def test_windows_are_whole_or_not():
    flat = np.arange(40.0).reshape(2, 20)
    flat[1, 8] = np.nan
    band, column = np.array([0, 0, 0, 0, 1, 1]), np.array([2, 1, 17, 18, 5, 11])
    values, offsets, inside = windows_about(flat, band, column, 2)
    assert offsets.tolist() == [-2, -1, 0, 1, 2]
    assert values[0].tolist() == [0, 1, 2, 3, 4]
    assert values[4].tolist() == [23, 24, 25, 26, 27]
    assert inside.tolist() == [True, False, True, False, True, True]
    assert not windows_about(flat, np.array([1]), np.array([6]), 2)[2][0]


def ruled(pitch, width, blur, *, slope=0.0, noise=0.0, sign=1, origin=30.3, count=14, ink=0.5):
    x = np.arange(origin * 2 + pitch * count)
    places = origin + pitch * np.arange(count)
    flat = sum(line_shape(x - at, width, blur)[0] for at in places)
    flat = sign * ink * flat + slope * (x - 100)
    rng = np.random.default_rng(1)
    return (flat + noise * rng.standard_normal((6, x.size))), places


@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize(
    ("pitch", "width", "blur", "slope"),
    [(30.0, 6.0, 1.5, 0.002), (20.0, 6.0, 2.2, 0.002), (12.0, 4.0, 2.2, 0.0)],
)
def test_lines_are_placed_on_a_ground_that_slopes(sign, pitch, width, blur, slope):
    """Where a window holds the line and some of its ground, which is given a slope then."""
    flat, places = ruled(pitch, width, blur, slope=slope, sign=sign)
    inner = slice(3, -3)
    start = places[inner] + 0.6
    found, sd, ink, good = fit_lines(
        flat,
        np.full(6, 1e-4),
        np.zeros(start.size, int),
        start,
        LineShape(width, blur, pitch, sign),
    )
    assert good.all()
    assert_allclose(found, places[inner], atol=0.01)
    assert_allclose(ink, 0.5, rtol=0.03)
    assert np.all(sd < 0.02)


def test_places_scatter_as_their_deviation_says():
    flat, places = ruled(30.0, 6.0, 1.5, noise=0.02, count=40)
    band = np.repeat(np.arange(6), 34)
    start = np.tile(places[3:-3], 6)
    found, sd, _, good = fit_lines(
        flat, np.full(6, 0.02), band, start, LineShape(6.0, 1.5, 30.0, 1)
    )
    assert good.all()
    assert np.std(found - start) == pytest.approx(np.median(sd), rel=0.15)


def test_what_is_no_line_does_not_hold():
    flat, places = ruled(30.0, 6.0, 1.5, noise=0.02)
    band, shape = np.zeros(3, int), LineShape(6.0, 1.5, 30.0, 1)
    at = np.array([places[5], places[5] + 15, 3.0])  # a line, a gap, the border
    *_, good = fit_lines(flat, np.full(6, 0.02), band, at, shape)
    assert good.tolist() == [True, False, False]
    *_, dark = fit_lines(flat, np.full(6, 0.02), band, at, LineShape(6.0, 1.5, 30.0, -1))
    assert not dark[0]


@pytest.mark.parametrize(("width", "blur"), [(6.0, 1.2), (5.0, 1.6), (12.0, 1.0)])
def test_width_and_blur_of_lines_come_back(width, blur):
    rng = np.random.default_rng(1)
    x = np.arange(-15.0, 16.0) - rng.uniform(-0.5, 0.5, (60, 1))
    found = fit_shape(line_shape(x, width, blur)[0], x, 40.0)
    assert found[:2] == pytest.approx((width, blur), rel=0.03)
    assert found[2] < 0.1 * blur
    few = fit_shape(line_shape(x[:1], width, blur)[0], x[:1], 40.0)
    assert few == (8.0, 1.2, np.inf)  # a fifth of the pitch, and nothing told


@pytest.mark.parametrize(("pitch", "blur"), [(20.0, 1.2), (5.5, 1.1), (6.5, 1.2)])
def test_lines_too_few_to_fit_are_a_fifth_of_their_pitch_wide(pitch, blur):
    """And blurred by as much, by 1.2 px at most; nothing is known of it."""
    x = np.linspace(-3, 3, 12)[None]
    assert fit_shape(np.ones((1, 12)), x, pitch) == (
        pytest.approx(pitch / 5),
        pytest.approx(blur),
        np.inf,
    )
