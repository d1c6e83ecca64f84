"""Parts of the search for a place: sums, lines and lobes counted by hand."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.frame_search import (
    _band_turn_deg,
    _common,
    _least_sides,
    _line,
    _reduced,
    _strike_lobe,
    best_place,
)


def test_the_common_part_is_summed_place_by_place():
    a = np.random.default_rng(1).standard_normal((7, 9)).astype(np.float32)
    down, right = np.arange(-4, 7), np.arange(-3, 9)
    power, area = _common(a, (4, 5), down, right)
    for i, top in enumerate(down):
        for j, left in enumerate(right):
            part = a[max(top, 0) : max(top + 4, 0), max(left, 0) : max(left + 5, 0)]
            assert power[i, j] == pytest.approx(float((part.astype(float) ** 2).sum()), abs=1e-6)
            assert area[i, j] == part.size


@pytest.mark.parametrize("turn_deg", [-20.0, 0.0, 10.0])
def test_a_line_s_kernel_averages_along_it(turn_deg):
    """One share to a column, its middle at the line's height, and all of them one."""
    kernel = _line(turn_deg, 21)
    assert kernel.shape == (21, 21)
    assert_allclose(kernel.sum(axis=0), 1 / 21, rtol=1e-5)
    row = (kernel * np.arange(21)[:, None]).sum(axis=0) * 21
    expected = 10 + np.tan(np.deg2rad(turn_deg)) * np.arange(-10, 11)
    assert_allclose(row, expected, atol=1e-4)


def test_a_steep_line_keeps_within_its_kernel():
    kernel = _line(60.0, 21)
    assert kernel.sum() == pytest.approx(1)
    assert np.count_nonzero(kernel[:, [0, 20]]) == 0
    assert np.count_nonzero(kernel[[0, 20], :]) > 0
    assert_allclose(kernel, kernel[::-1, ::-1], atol=1e-6)


@pytest.mark.parametrize("turn_deg", [-25.0, -3.0, 0.0, 8.0, 30.0])
def test_the_turn_of_lines_is_told_by_their_light(turn_deg):
    """From columns to rows is positive."""
    y, x = np.mgrid[0:160, 0:240].astype(float)
    off = (y - 80) * np.cos(np.deg2rad(turn_deg)) - (x - 120) * np.sin(np.deg2rad(turn_deg))
    fine = np.exp(-0.5 * (off / 5) ** 2).astype(np.float32)
    # Sobel's own slopes are off by less than a hundredth.
    assert _band_turn_deg(fine) == pytest.approx(turn_deg, rel=0.015, abs=1e-3)


def test_a_reduced_copy_cuts_what_fills_no_square():
    picture = np.arange(7 * 11, dtype=np.float32).reshape(7, 11)
    copy = _reduced(picture, 3)
    assert_allclose(copy, picture[:6, :9].reshape(2, 3, 3, 3).mean(axis=(1, 3)), rtol=1e-6)
    assert _reduced(picture, 1).shape == (7, 11)
    assert _reduced(picture, 9).shape == (1, 1)


def test_a_common_part_has_its_least_sides():
    """0.4 of the smaller picture's rows, 0.08 of its columns; 8 px at least, if it has them."""
    a, b = np.zeros((100, 300)), np.zeros((150, 250))
    assert_allclose(_least_sides(a, b), [40, 20])
    assert_allclose(_least_sides(b, a), [40, 20])
    assert_allclose(_least_sides(np.zeros((15, 80)), b), [8, 8])
    assert_allclose(_least_sides(np.zeros((5, 80)), b), [5, 8])


def test_places_are_looked_at_as_far_as_a_common_part_remains():
    """Alike but for a shift: by 60 of 100 rows, by 184 of 200 columns it is found, no further."""
    rng = np.random.default_rng(2)
    whole = cv2.GaussianBlur(rng.standard_normal((260, 800)).astype(np.float32), (0, 0), 1.0)
    for way in (1, -1):
        for shift, seen in ((60, True), (61, False)):
            first, second = whole[80:180, 50:250], whole[80 + way * shift :][:100, 50:250]
            assert (best_place(first, second, 0.0).corner[0] == way * shift) == seen
        for shift, seen in ((184, True), (185, False)):
            first, second = whole[80:180, 300:500], whole[80:180, 300 + way * shift :][:, :200]
            assert (best_place(first, second, 0.0).corner[1] == way * shift) == seen


@pytest.mark.parametrize(
    ("row", "col"), [(60, 70), (0, 70), (60, 0), (119, 139), (3, 2), (118, 137)]
)
def test_the_lobe_of_the_best_place_is_struck_out_of_the_rivals(row, col):
    """A correlation over 0.35 within 6 px, and 3 px about it, whole only where it is whole."""
    down, right = (np.minimum(np.arange(n), n - np.arange(n)) for n in (200, 220))
    own = np.where(np.maximum(down[:, None], right) <= 6, 0.36, 0.34)
    own[0, 0] = 1.0
    # Farther away it is alike again: no part of the lobe.
    own[(down[:, None] == 20) & (right == 20)] = 0.9
    clear = np.ones((120, 140))
    _strike_lobe(clear, own, row, col)
    y, x = np.mgrid[0:120, 0:140]
    expected = np.maximum(np.abs(y - row), np.abs(x - col)) <= 9
    assert_allclose(np.isinf(clear), expected)
    assert np.all(clear[~expected] == 1)


def test_a_lobe_reaches_no_further_than_forty_pixels():
    own, clear = np.ones((300, 320)), np.ones((120, 140))
    _strike_lobe(clear, own, 60, 70)
    y, x = np.mgrid[0:120, 0:140]
    assert_allclose(np.isinf(clear), np.maximum(np.abs(y - 60), np.abs(x - 70)) <= 40)
    # Nor than the correlation itself has places to either side.
    small, clear = np.ones((40, 50)), np.ones((120, 140))
    _strike_lobe(clear, small, 60, 70)
    assert_allclose(np.isinf(clear), np.maximum(np.abs(y - 60), np.abs(x - 70)) <= 19)
