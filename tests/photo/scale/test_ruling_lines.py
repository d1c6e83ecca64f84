"""Lines of a ruling, drawn: their places, shape and what is said of them."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.scale.ruling_lines import extremes, find_lines, is_even, smooth_lattice

ROWS, COLS = 300, 400


def ruling(
    pitch=24.0,
    width=5.0,
    blur=1.2,
    *,
    angle_deg=0.0,
    origin=3.3,
    bright=False,
    ends=None,
    noise=0.002,
):
    """Light of lines square to an angle; `ends` gives how far each line reaches from the middle."""
    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    x, y = x - (COLS - 1) / 2, y - (ROWS - 1) / 2
    c, s = np.cos(np.deg2rad(angle_deg)), np.sin(np.deg2rad(angle_deg))
    across, along = x * c + y * s, -x * s + y * c
    number = np.rint((across - origin) / pitch)
    off = across - origin - pitch * number
    ink = sum(
        ndtr((off - k * pitch + width / 2) / blur) - ndtr((off - k * pitch - width / 2) / blur)
        for k in (-1, 0, 1)
    )
    if ends is not None:
        ink = ink * (np.abs(along) < np.vectorize(ends)(number))
    light = 0.3 + 0.4 * ink if bright else 0.7 - 0.5 * ink
    return (light + noise * np.random.default_rng(1).standard_normal(light.shape)).astype(
        np.float32
    )


@pytest.mark.parametrize("bright", [False, True])
@pytest.mark.parametrize("angle_deg", [0.0, 30.0, 90.0])
def test_lines_are_found_where_they_were_drawn(bright, angle_deg):
    lines = find_lines(ruling(bright=bright, angle_deg=angle_deg), angle_deg)
    assert lines.bright == bright
    assert lines.pitch_px == pytest.approx(24.0, rel=1e-3)
    assert lines.angle_deg == pytest.approx(angle_deg, abs=0.05)
    off = (lines.across - 3.3) / 24
    assert_allclose(off, np.rint(off), atol=0.03 / 24 * 4)
    # Line 0 is the one nearest to the middle of the picture.
    assert abs(np.median(lines.across[lines.index == 0])) <= 12.5
    assert lines.line_px == pytest.approx(5.0, rel=0.04)
    assert lines.fitted_blur_px == pytest.approx(np.hypot(1.2, 0.41 * (angle_deg == 30)), rel=0.1)
    assert lines.blur_px == pytest.approx(1.2, rel=0.1)
    assert lines.filled == 1
    assert lines.misfit < 0.003
    assert lines.evenness > 0.95
    assert (lines.hidden, lines.stubs, lines.sections) == (False, False, False)
    assert is_even(lines)


def test_a_lean_of_a_degree_is_followed():
    lines = find_lines(ruling(angle_deg=11.0), 9.4)
    assert lines.angle_deg == pytest.approx(11.0, abs=0.05)
    assert lines.pitch_px == pytest.approx(24.0, rel=1e-3)


def test_a_plain_picture_holds_no_lines():
    grey = 0.5 + 0.02 * np.random.default_rng(2).standard_normal((ROWS, COLS))
    lines = find_lines(grey.astype(np.float32), 0.0)
    assert lines is None or not is_even(lines)


def test_finer_lines_between_longer_ones_are_the_ruling():
    """Every fifth line reaches the border, the others a third of the way: the spacing is theirs."""
    lines = find_lines(ruling(12.0, 3.0, 1.0, ends=lambda k: 200 if k % 5 == 0 else 50), 0.0)
    assert lines.pitch_px == pytest.approx(12.0, rel=2e-3)
    assert not lines.hidden


@pytest.mark.parametrize("sign", [-1, 1])
def test_what_stands_out_is_told_by_the_middle_of_its_flanks(sign):
    x = np.arange(120.0)
    flat = np.stack([
        sign * 0.4 * sum(ndtr((x - p + 3) / 1) - ndtr((x - p - 3) / 1) for p in places)
        for places in ((20.3, 60.0, 95.7), (40.4, 80.0))
    ])  # fmt: skip
    band, place, usual = extremes(flat, np.full(2, 0.005), sign)
    assert band.tolist() == [0, 0, 0, 1, 1]
    assert_allclose(place, [20.3, 60.0, 95.7, 40.4, 80.0], atol=0.1)
    assert usual == pytest.approx(0.4, rel=0.03)
    none, _, _ = extremes(flat, np.full(2, 0.005), -sign)
    assert none.size <= 3  # the gaps between lines alone
    assert extremes(np.zeros((2, 90)), np.full(2, 0.01), 1)[2] == 0.0
    flat[0] = np.where(np.abs(x - 60) < 10, 0.2 * flat[0], flat[0])
    assert extremes(flat, np.full(2, 0.005), sign)[0].tolist() == [0, 0, 1, 1]  # under a quarter


def test_a_smooth_lattice_follows_what_a_lens_bends_and_no_outlier():
    index, along = (
        part.ravel() for part in np.meshgrid(np.arange(-10, 11), np.arange(-4, 5) * 30.0)
    )
    truth = 2 + 15 * index + 0.01 * along + 0.02 * index**2 + 1e-3 * index**3 + 1e-5 * along**2
    truth = truth + 1e-4 * index * along + 1e-6 * index * along**2
    place = truth.copy()
    place[[7, 50, 120]] += 4
    predict, miss = smooth_lattice(index, along, place, np.full(index.size, 0.1))
    assert_allclose(predict(index, along), truth, atol=1e-4)
    expected = np.zeros(index.size)
    expected[[7, 50, 120]] = 4
    assert_allclose(miss, expected, atol=1e-3)
    few = np.abs(index) <= 2
    plain, _ = smooth_lattice(
        index[few], along[few], (2 + 15 * index + 0.01 * along)[few], np.ones(few.sum())
    )
    assert_allclose(plain(np.array([8]), np.array([60.0])), 2 + 120 + 0.6, atol=1e-4)
