"""Sides of a band, part by part: basis, shares, middles, what is gathered of a fit."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.band_sides import (
    _band_gathered,
    _basis,
    _centre_points,
    _gathered,
    _in_picture,
    _overexposed,
    _share,
)
from edgetest.photo.apex.straighten import Track

COUNT = 60


def strip_of(values, *, block=2, x=None, weight=None):
    index = np.arange(len(values)) * float(block)
    track = Track(
        index + 0.5,
        np.stack([np.full(len(values), 50.0), index], axis=1),
        np.tile([1.0, 0.0], (len(values), 1)),
    )
    weight = np.ones(values.shape) if weight is None else weight
    return SimpleNamespace(values=values, weight=weight, x=x, track=track, block=block)


def test_blur_is_straight_between_four_knots():
    found = _basis(7)
    assert found.shape == (7, 4)
    assert_allclose(found.sum(axis=1), 1)
    assert_allclose(found @ [0.0, 2, 4, 6], np.arange(7))
    assert_allclose(found[1], [0.5, 0.5, 0, 0])
    assert_allclose(found[2], [0, 1, 0, 0])


def test_a_share_is_a_mean_over_what_is_near():
    weight = np.array([[1.0, 0, 1, 1], [1, 1, 1, 1]])
    near = np.array([[1, 1, 0, 0], [0, 0, 0, 0]], bool)
    assert _share(weight, near).tolist() == [0.5, 0.0]


@pytest.mark.parametrize(("level", "over"), [(0.971, True), (0.97, False)])
def test_a_quarter_of_the_places_at_the_upper_end_is_overexposed(level, over):
    land = np.full(100, 0.5)
    land[:26] = level
    assert _overexposed(land) == over
    land[:26] = 0.5
    land[:24] = 1.0
    assert not _overexposed(land)


def test_points_that_are_all_beyond_the_picture_give_way_to_the_track():
    track = SimpleNamespace(centre_rc="track")
    for inner in ([-0.5, 5.0], [9.5, 5.0], [5.0, -0.5], [5.0, 19.5]):
        points = np.array([inner, [50.0, 5.0]])
        assert _in_picture(points, track, (10, 20)) is points
    for outer in ([-0.6, 5.0], [9.6, 5.0], [5.0, -0.6], [5.0, 19.6]):
        assert _in_picture(np.array([outer]), track, (10, 20)) == "track"


def band(left, right, levels=(0.1, 0.7, 0.2)):
    """A band with sides that fall over 3 px."""
    x = np.arange(-40.0, 41)
    rise = np.clip((x - left[:, None]) / 3 + 0.5, 0, 1)
    fall = np.clip((x - right[:, None]) / 3 + 0.5, 0, 1)
    below, land, above = levels
    return below + (land - below) * rise + (above - land) * fall, x


@pytest.mark.parametrize("upright", [False, True])
def test_points_run_through_the_middle_of_the_band(upright):
    flat = np.ones(COUNT)
    values, x = band(-9 * flat, 12 * flat)
    strip = strip_of(values.astype(np.float32), x=x)
    if upright:
        track = strip.track
        strip.track = Track(track.s, track.centre_rc[:, ::-1], track.normal_rc[:, ::-1])
    points, rough = _centre_points(strip, 20.0, upright, 10.0)
    along, across = (0, 1) if upright else (1, 0)
    assert_allclose(points[:, across], 50 + 1.5, atol=0.05)
    assert_allclose(points[6:-6, along], 2.0 * np.arange(COUNT)[6:-6], atol=0.05)
    assert rough.width == pytest.approx(21, abs=0.1)
    moved, _ = _centre_points(strip, 20.0, upright, 10.0, shift=np.full(COUNT, 4.0))
    assert_allclose(moved[:, across], 50 + 5.5, atol=0.05)


def test_places_without_contrast_or_of_another_width_do_not_lead_the_middle():
    left, right = -9 * np.ones(COUNT), 12 * np.ones(COUNT)
    right[20:32] = 36.0  # 24 px wider: no land of 0.4 of the width and 3 px more
    values, x = band(left, right)
    values[40:50] = band(left[:10] + 14, right[:10] + 14)[0] * 0.05 + 0.1
    points, _ = _centre_points(strip_of(values.astype(np.float32), x=x), 20.0, False, 10.0)
    assert_allclose(points[:, 0], 51.5, atol=0.3)


def fit_of(count, m, *, residual=None, weight=None):
    flat = np.ones(count)
    params = np.stack([-8 * flat, 10 * flat, 0.7 * flat, 0.1 * flat, 0.3 * flat], axis=1)
    return SimpleNamespace(
        params=params,
        residual=np.zeros((count, m)) if residual is None else residual,
        weight=np.ones((count, m)) if weight is None else weight,
        stderr_width=0.2 * flat,
        blur_px=1.5 * flat,
        noise=0.01,
        shared_u=0.03,
    )


def test_a_fit_is_gathered_with_widths_at_right_angles_and_misfit_of_the_contrast():
    """A band that leans by 0.3 along the track, in blocks of two pixels."""
    count, m = COUNT, 21
    lean = 0.3 * 2 * np.arange(count)
    residual = np.zeros((count, m))
    residual[:, :4] = 0.05
    weight = np.ones((count, m))
    weight[:, 12:] = 0
    fit = fit_of(count, m, residual=residual, weight=weight)
    strip = strip_of(np.zeros((count, m)), x=np.arange(-10.0, 11))
    flat = np.ones(count)
    found = _gathered(strip, fit, (lean - 8, lean + 10), (0.7 * flat, 0.1 * flat, 0.3 * flat),
                      ((flat, 0.6 * flat), (0.5 * flat, flat)))  # fmt: skip
    assert_allclose(found.width_px, 18 / np.hypot(1, 0.3), rtol=5e-4)
    assert_allclose(found.misfit, np.sqrt(4 * 0.05**2 / 12) / 0.5)
    assert_allclose(found.contrast, 0.5)
    assert_allclose(found.seen, 0.6)
    assert_allclose(found.clear, 0.5)
    assert_allclose(found.stderr_px, 0.2)
    assert (found.noise, found.shared_u_px, found.block) == (0.01, 0.03, 2)
    assert (found.saturated, found.wide, found.held) == (False, False, False)


def test_sides_fitted_by_themselves_are_gathered_two_and_two():
    count, m = COUNT, 21
    residual = np.zeros((2 * count, m))
    residual[:count, :2], residual[count:, :6] = 0.05, 0.1
    weight = np.ones((2 * count, m))
    weight[count:, :11] = 0
    fit = fit_of(2 * count, m, residual=residual, weight=weight)
    fit.stderr_width[count:], fit.blur_px[count:] = 0.15, 2.5
    flat = np.ones(count)
    strip = strip_of(np.zeros((count, m)), x=np.arange(-10.0, 11))
    found = _gathered(strip, fit, (-8 * flat, 10 * flat), (0.7 * flat, 0.1 * flat, 0.3 * flat),
                      ((flat, flat), (flat, flat)), wide=True)  # fmt: skip
    assert found.wide
    assert_allclose(found.stderr_px, 0.25)
    assert_allclose(found.blur_px, 2.0)
    assert_allclose(found.misfit, np.sqrt((2 * 0.0025 + 6 * 0.01) / (21 + 10)) / 0.5)
    assert_allclose(found.width_px, 18)


def test_samples_within_two_and_a_half_blurs_of_a_side_are_near_it():
    """Blur 1.5: 3.75 px, so seven samples about -8 and seven about 10."""
    x = np.arange(-20.0, 21)
    weight = np.ones((COUNT, 41))
    weight[:, (x >= 10) & (x <= 11)] = 0
    fit = fit_of(COUNT, 41)
    fit.weight = weight.copy()
    fit.weight[:, x == -5] = 0
    strip = strip_of(np.zeros((COUNT, 41)), x=x, weight=weight)
    found = _band_gathered(strip, fit, weight, held=True)
    assert_allclose(found.seen, 5 / 7)
    assert_allclose(found.clear, 6 / 7)  # of what is given: the right side's five are all clear
    assert found.held
    fit.blur_px = 0.1 * np.ones(COUNT)  # two pixels at least: five samples
    assert_allclose(_band_gathered(strip, fit, weight).seen, 3 / 5)
