"""Even spacing and single lines against lattices and blurred lines in closed form."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.scale.line_spacing import (
    LineShape,
    find_lattice,
    find_slope,
    fit_lines,
    fit_shape,
    line_shape,
    row_shape,
    windows_about,
)

ALONG = np.linspace(-120, 120, 9)


def points(pitch, origin=3.0, slope=0.0, lines=24, sd=0.0, seed=1):
    """Strip and place of every line."""
    index = np.tile(np.arange(lines) - lines // 2, ALONG.size)
    band = np.repeat(np.arange(ALONG.size), lines)
    noise = sd * np.random.default_rng(seed).standard_normal(index.size)
    return band, origin + pitch * index + slope * ALONG[band] + noise


@pytest.mark.parametrize("pitch", [4.3, 17.0, 61.7])
@pytest.mark.parametrize("slope", [0.0, 0.02, -0.03])
def test_an_even_lattice_is_found_with_its_lean(pitch, slope):
    band, place = points(pitch, slope=slope)
    found = find_lattice(band, place, ALONG)
    assert found.pitch == pytest.approx(pitch, rel=2e-4)
    assert found.slope == pytest.approx(slope, abs=1e-9)
    assert found.score > 0.99
    assert found.points == place.size
    off = (found.origin - 3.0) / pitch
    assert abs(off - round(off)) < 0.02


def test_scatter_about_a_lattice_lowers_its_score():
    """Places off by a normal deviate: the mean of exp(2 pi i off) is exp(-(2 pi sd)² / 2)."""
    band, place = points(20.0, sd=1.5)
    found = find_lattice(band, place, ALONG)
    assert found.pitch == pytest.approx(20.0, rel=2e-3)
    assert found.score == pytest.approx(np.exp(-0.5 * (2 * np.pi * 1.5 / 20) ** 2), abs=0.04)


def test_lines_that_are_missing_do_not_change_the_spacing_and_few_are_no_lattice():
    band, place = points(15.0, sd=0.1)
    kept = np.random.default_rng(2).random(place.size) < 0.7
    assert find_lattice(band[kept], place[kept], ALONG).pitch == pytest.approx(15.0, rel=2e-3)
    assert find_lattice(band[:7], place[:7], ALONG) is None
    rng = np.random.default_rng(3)
    loose = find_lattice(np.repeat(np.arange(9), 24), rng.uniform(0, 360, 216), ALONG)
    assert loose is None or loose.score < 0.5


def test_the_lean_is_the_shift_from_strip_to_strip():
    band, place = points(30.0, slope=0.05)
    assert find_slope(band, place, ALONG) == pytest.approx(0.05)
    apart = band % 2 == 0  # no neighbouring strips
    assert find_slope(band[apart], place[apart], ALONG) == 0.0


def test_a_blurred_line_is_a_box_behind_a_gaussian():
    x = np.linspace(-30, 30, 6001)
    value, slope = line_shape(x, 5.0, 1.4)
    assert np.trapezoid(value, x) == pytest.approx(5.0, rel=1e-6)
    assert np.trapezoid(value * x**2, x) / 5 == pytest.approx(25 / 12 + 1.4**2, rel=1e-5)
    assert_allclose(slope[1:-1], (value[2:] - value[:-2]) / (x[2] - x[0]), atol=1e-5)
    middle = np.linspace(-9, 9, 301)
    row, by_x = row_shape(middle, 5.0, 2.4, 18.0)
    alone = [line_shape(middle - 18.0 * k, 5.0, 2.4) for k in (-2, -1, 0, 1, 2)]
    assert_allclose(row, sum(one[0] for one in alone), atol=2e-4)
    assert_allclose(by_x, sum(one[1] for one in alone), atol=2e-4)


def test_windows_are_cut_about_their_columns():
    flat = np.arange(40.0).reshape(2, 20)
    flat[1, 12] = np.nan
    values, offsets, inside = windows_about(
        flat, np.array([0, 0, 1, 1, 0]), np.array([5, 1, 5, 10, 18]), 2
    )
    assert_allclose(offsets, [-2, -1, 0, 1, 2])
    assert_allclose(values[0], [3, 4, 5, 6, 7])
    assert_allclose(values[2], [23, 24, 25, 26, 27])
    assert inside.tolist() == [True, False, True, False, False]
    edge = windows_about(flat, np.array([0, 0]), np.array([2, 17]), 2)
    assert edge[2].all()
    assert_allclose(edge[0], [[0, 1, 2, 3, 4], [15, 16, 17, 18, 19]])


def drawn(width, blur, pitch, shifts, noise=0.0, seed=4, ground=0.0):
    """Strips with dark lines of half the ground's light, and where they are."""
    count = shifts.size
    place = 40.0 + pitch * np.arange(count) + shifts
    x = np.arange(80.0 + pitch * count)
    off = (x[None] - place[:, None]) / blur
    ink = (ndtr(off + width / 2 / blur) - ndtr(off - width / 2 / blur)).sum(axis=0)
    flat = ground - 0.5 * np.stack([ink] * 4)
    return flat + noise * np.random.default_rng(seed).standard_normal(flat.shape), place


@pytest.mark.parametrize(("width", "blur"), [(4.0, 0.8), (6.0, 2.0), (2.5, 1.2)])
def test_width_and_blur_of_the_lines_come_back(width, blur):
    rng = np.random.default_rng(5)
    flat, place = drawn(width, blur, 25.0, rng.uniform(-0.5, 0.5, 60), 0.002)
    band, place = np.repeat(np.arange(4), 60), np.tile(place, 4)
    column = np.rint(place).astype(int)
    values, offsets, _ = windows_about(flat, band, column, 12)
    found = fit_shape(-values, offsets[None] - (place - column)[:, None], 25.0)
    assert found[0] == pytest.approx(width, rel=0.03)
    assert found[1] == pytest.approx(blur, rel=0.05)
    assert 0 < found[2] < 0.05 * blur
    few = fit_shape(-values[:2], (offsets[None] - (place - column)[:, None])[:2], 25.0)
    assert few == (5.0, 1.2, np.inf)


@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize("pitch", [9.0, 25.0])
def test_every_line_is_placed_as_well_as_its_noise_allows(sign, pitch):
    """Places within their own standard deviations, and these as Fisher's information has them."""
    rng = np.random.default_rng(6)
    shifts = rng.uniform(-0.4, 0.4, 50)
    flat, place = drawn(3.0, 1.0, pitch, shifts, 0.01)
    band, truth = np.repeat(np.arange(4), 50), np.tile(place, 4)
    start = truth + rng.uniform(-0.4, 0.4, truth.size)
    found, sd, ink, good = fit_lines(
        -sign * flat, np.full(4, 0.01), band, start, LineShape(3.0, 1.0, pitch, sign), rounds=4
    )
    assert good.mean() > 0.95
    assert_allclose(ink, 0.5, atol=0.06)
    inner = np.tile((np.arange(50) > 1) & (np.arange(50) < 48), 4)
    if pitch > 20:
        off = (found - truth)[inner]
        x = np.arange(-9, 10)
        value, slope = line_shape(x, 3.0, 1.0)
        design = np.stack([np.ones(19), value, -0.5 * slope, x], axis=1)
        expected = 0.01 * np.sqrt(np.linalg.inv(design.T @ design)[2, 2])
        assert np.std(off) == pytest.approx(expected, rel=0.2)
        assert np.median(sd[inner]) == pytest.approx(expected, rel=0.15)
    else:
        assert np.abs(found - truth)[inner].max() < 0.3
    none = fit_lines(
        sign * flat, np.full(4, 0.01), band, start, LineShape(3.0, 1.0, pitch, sign), rounds=4
    )
    assert not none[3][np.abs(none[2]) > 0.3].any()  # of the other sign: no lines at all
