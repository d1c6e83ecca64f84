"""Ends of an interval, vertices and pixels across a line: closed forms."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.narrow_band import (
    Pooled,
    _binned,
    _left_over,
    _mean,
    _offset,
    _total_sd,
    _vertex,
    _within,
    pixels_across,
    pool_profile,
)

X = np.arange(0.0, 10.5, 0.5)


def test_a_stretch_under_a_level_ends_on_the_straight_lines_between_places():
    curve = np.abs(X - 5) * np.where(X < 5, 2.0, 1.0) + 3
    assert _within(X, curve, 10, 3.3) == pytest.approx((3.35, 8.3))
    assert _within(X, curve, 10, 2.0) == pytest.approx((4.0, 7.0))
    # A level that the curve does not reach is open: 0 below, the last place above.
    assert _within(X, curve, 10, 7.7) == pytest.approx((1.15, 10.0))
    assert _within(X, curve, 10, 10.5) == pytest.approx((0.0, 10.0))
    assert _within(X + 2, curve, 10, 10.5) == pytest.approx((0.0, 12.0))


@pytest.mark.parametrize("lowest", [4.6, 5.0, 5.2])
def test_the_vertex_of_a_parabola_is_its_own(lowest):
    assert _vertex(X, 3 * (X - lowest) ** 2 - 1, 10) == pytest.approx(lowest)
    assert _vertex(X, X, 0) == 0.0
    assert _vertex(X, -X, X.size - 1) == 10.0
    assert _vertex(X, np.zeros(X.size), 10) == 5.0


def test_a_bell_s_deviation_is_found_on_uneven_grounds():
    from scipy.special import ndtr

    t = np.arange(-12, 12.1, 0.25)
    bell = np.exp(-0.5 * ((t - 0.4) / 2.3) ** 2) / (2.3 * np.sqrt(2 * np.pi))
    value = bell + 0.01 + 0.02 * ndtr((t - 0.4) / 2.3)
    assert _total_sd(SimpleNamespace(distance=t, value=value)) == pytest.approx(2.3, rel=1e-4)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("slope", [0.0, 0.3])
def test_pixels_lie_at_their_distance_from_the_line(upright, slope):
    """A plane of light that is the distance itself."""
    rows, cols = 90, 130
    at = np.arange(10.0, 120.0, 2.5)
    line = np.stack([45 + slope * (at - 65), at], axis=1)
    row, col = np.mgrid[0:rows, 0:cols].astype(float)
    cosine = 1 / np.hypot(1, slope)
    grey = (row - 45 - slope * (col - 65)) * cosine
    if upright:
        grey, line = grey.T, line[:, ::-1]
    used = np.ones(at.size, bool)
    used[20:25] = False
    value, distance, along = pixels_across(grey, line, used, upright, 6.0)
    assert_allclose(distance, value, atol=1e-9)
    assert_allclose(along, cosine)
    # Every column from 10 to 117 (where the line ends) but those that touch an unused place.
    assert len(value) == 108 - 15
    half = int(np.ceil(6.0 / cosine)) + 1
    assert value.shape[1] == 2 * half + 1
    assert distance.min() <= -6
    assert distance.max() >= 6
    bent = pixels_across(grey, line, used, upright, 6.0, bend=4.0)
    assert_allclose(bent[1], distance, atol=1e-6)
    turned = pixels_across(grey, line[::-1], used[::-1], upright, 6.0)
    assert_allclose(turned[1], distance)


def test_too_few_pixels_are_none():
    grey = np.zeros((40, 80))
    line = np.stack([np.full(80, 20.0), np.arange(80.0)], axis=1)
    for held, enough in ((24, True), (23, False)):
        used = np.arange(80) < held
        assert (pixels_across(grey, line, used, False, 5.0) is not None) == enough
        assert pixels_across(grey, line, used, False, 5.0, fewest=held) is not None
    # 5 px and one more must lie within the picture on either side.
    for row, inside in ((6.0, True), (5.0, False), (33.0, True), (34.0, False)):
        line[:, 0] = row
        found = pixels_across(grey, line, np.ones(80, bool), False, 5.0)
        assert (found is not None) == inside


def test_row_means_count_what_is_told():
    value, where = np.array([[1.0, 2, 6], [5, 5, 5]]), np.array([[1, 0, 1], [0, 0, 0]], bool)
    assert _mean(value, where).tolist() == [[3.5], [0.0]]


def test_bins_have_the_means_of_their_pixels_and_their_stretches_scatter():
    """Every bin of eight pixels; every other of 16 stretches 0.2 brighter: 0.1 / sqrt(15)."""
    distance = np.tile(-2 + 0.25 * np.arange(16) + 0.1, (64, 1))
    value = np.tile(np.arange(16.0), (64, 1)) * 0.1 + (np.arange(64) // 4 % 2)[:, None] * 0.2
    found = _binned(distance, value, 2.0, 0.8, 0.6)
    assert_allclose(found.distance, distance[0])
    assert_allclose(found.value, 0.1 * np.arange(16) + 0.1)
    # Half of the variance is the bin's own, half what is usual in all of them (over 0.9).
    variance = 0.01 / 15 * (0.5 + 0.5 / 0.9)
    assert_allclose(found.sd, np.sqrt(variance + (0.0015 * 1.6) ** 2), rtol=1e-6)
    assert (found.along, found.across) == (0.8, 0.6)
    value[:, 3] = 5.0  # a bin without scatter has half of what is usual
    again = _binned(distance, value, 2.0, 0.8, 0.6)
    assert again.sd[3] == pytest.approx(np.sqrt(0.01 / 15 * 0.5 / 0.9 + 0.0075**2))


@pytest.mark.parametrize(("held", "kept"), [(3, 15), (4, 16)])
def test_a_bin_of_three_pixels_is_left_out(held, kept):
    distance = np.tile(-2 + 0.25 * np.arange(16) + 0.1, (20, 1))
    distance[held:, 0] = 9.0
    assert _binned(distance, 0 * distance + 1.0, 2.0, 1.0, 0.0).value.size == kept


def test_rows_that_lie_off_the_profile_are_told_by_how_much():
    t = np.arange(-8.0, 8.25, 0.25)
    pooled = Pooled(t, np.exp(-0.5 * (t / 2) ** 2), np.ones(t.size), 1.0, 0.0)
    distance = np.tile(np.arange(-6.0, 7.0), (80, 1))
    moved = 0.3 * np.ones((80, 1))
    value = np.exp(-0.5 * ((distance - moved) / 2) ** 2)
    assert_allclose(_offset(pooled, distance, value), 0.3, atol=0.02)
    assert_allclose(_offset(pooled, distance, np.exp(-0.5 * (distance / 2) ** 2)), 0, atol=1e-3)


def test_what_a_model_explains_leaves_nothing():
    """A level of the ground and any share of the three columns are solved for."""
    rng = np.random.default_rng(1)
    basis, weight = rng.standard_normal((2, 3, 40)), 1 + rng.random(40)
    y = weight * (basis[1].T @ [2.0, -1.0, 0.5])
    projected = y - weight * (y @ weight) / (weight @ weight)
    off = _left_over(basis.copy(), weight, projected)
    assert_allclose(off[1], 0, atol=1e-6)
    assert np.abs(off[0]).max() > 0.5
    # Least squares: what is left is square to every column.
    inner = basis[0] * weight
    inner = inner - weight * ((inner @ weight) / (weight @ weight))[:, None]
    assert_allclose(inner @ off[0], 0, atol=1e-5)


@pytest.mark.parametrize("ground", [(0.1, 0.1), (0.1, 0.3)])
def test_a_pooled_profile_holds_the_light_over_its_own_ground(ground):
    """Flux 1, whatever the contrast; `ground` is the light below, `unit` that of the flux."""
    row = np.arange(80.0)[:, None] - 40.2 - 0.1 * (np.arange(120) - 60)
    cosine = 1 / np.hypot(1, 0.1)
    off = row * cosine
    grey = np.where(off < 0, ground[0], ground[1]) + 0.5 * np.exp(-0.5 * (off / 1.5) ** 2)
    line = np.stack([40.2 + 0.1 * (np.arange(120.0) - 60), np.arange(120.0)], axis=1)
    found = pool_profile(grey, line, np.ones(120, bool), False, 12.0)
    flux = 0.5 * 1.5 * np.sqrt(2 * np.pi)
    assert found.unit == pytest.approx(flux, rel=0.01)
    assert found.ground == pytest.approx(ground[0], abs=1e-3)
    assert found.value[0] == pytest.approx(0, abs=2e-3)
    assert found.value[-1] == pytest.approx((ground[1] - ground[0]) / flux, rel=0.02, abs=2e-3)
    assert found.along == pytest.approx(cosine)
    assert found.across == pytest.approx(0.1 * cosine)
    if ground[0] == ground[1]:
        assert np.trapezoid(found.value, found.distance) == pytest.approx(1, rel=0.01)
    assert pool_profile(1 - grey, line, np.ones(120, bool), False, 12.0) is None


def test_a_bin_that_few_stretches_see_scatters_by_their_own_number():
    """Four of sixteen, 0.1 either way: the mean of four is known to 0.1 / sqrt(3)."""
    distance = np.tile(-2 + 0.25 * np.arange(16) + 0.1, (64, 1))
    value = np.full((64, 16), 1.0) + np.where(np.arange(64) // 4 % 2, 0.1, -0.1)[:, None]
    distance[16:, 0] = 9.0
    found = _binned(distance, value, 2.0, 1.0, 0.0)
    usual = 0.01 / 15 * 64 / 0.9  # of all bins, of one pixel
    expected = 0.5 * 0.01 / 3 + 0.5 * usual / 16
    assert found.sd[0] == pytest.approx(np.sqrt(expected + (0.0015 * found.value.max()) ** 2))
