"""Flanks below the clip: bins counted by hand, and what is too little of a flank."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import overexposed
from edgetest.photo.apex.band_sides import FittedSides
from edgetest.photo.apex.overexposed import Flanks, _interquartile_means, _pooled, overexposed_width


def grid(value, *, rows=64, per_bin=2, outward=3.0, inward=2.0):
    """Rows of pixels, so many to a bin of a quarter pixel, `value` of their distance."""
    step = 0.25 / per_bin
    distance = -outward + step / 2 + step * np.arange(int((outward + inward) / step))
    distance = np.tile(distance, (rows, 1))
    return distance, np.asarray(value(distance), dtype=float) + 0 * distance


def pooled(distance, value, full=None, near=None, reach=(3.0, 2.0), cosine=1.0):
    nothing = np.zeros(distance.shape)
    touched = nothing if full is None else full, nothing if near is None else near
    return _pooled(distance, value, touched, reach, cosine)


def test_bins_hold_means_of_light_and_place():
    distance, value = grid(lambda d: 0.3 + 0.1 * d)
    found = pooled(distance, value)
    assert_allclose(found.distance, -3 + 0.25 * np.arange(20) + 0.125)
    assert_allclose(found.value, 0.3 + 0.1 * found.distance)
    # Stretches alike: what no lens follows better, 0.0015 of full scale, is all the doubt.
    assert_allclose(found.sd, 0.0015, rtol=1e-3)
    assert not found.mixed.any()
    assert (found.along, found.across) == (1.0, 0.0)
    slanted = pooled(distance, value, cosine=0.8)
    assert (slanted.along, slanted.across) == (0.8, pytest.approx(0.6))


def test_what_lies_out_of_reach_is_in_no_bin():
    distance, value = grid(lambda d: 0.3, outward=6.0, inward=5.0)
    found = pooled(distance, value)
    assert (found.distance[0], found.distance[-1]) == pytest.approx((-2.875, 1.875))
    assert found.distance.size == 20


def test_the_scatter_is_that_of_the_stretches():
    """Sixteen stretches along the edge, half of them brighter by 0.2: 0.1 about the mean.

    Of the mean of 16 that is 0.1 / sqrt(15).
    """
    distance, value = grid(lambda d: 0.4)
    brighter = (np.arange(64) // 4 % 2)[:, None] * 0.2
    found = pooled(distance, value + brighter)
    assert_allclose(found.value, 0.5)
    assert_allclose(found.sd, np.hypot(0.1 / np.sqrt(15), 0.0015), rtol=1e-6)


@pytest.mark.parametrize(("share", "felt"), [(0.2, False), (0.21, True)])
def test_a_flank_ends_where_a_fifth_of_a_bin_is_full(share, felt):
    distance, value = grid(lambda d: 0.3, rows=100, per_bin=1)
    full = np.zeros(distance.shape)
    full[: round(100 * share), 12] = 1
    found = pooled(distance, value, full=full)
    assert found.distance.size == (12 if felt else 20)


def test_a_flank_of_four_bins_is_none():
    distance, value = grid(lambda d: 0.3)
    for bins in (4, 5):
        full = distance >= -3 + 0.25 * bins
        found = pooled(distance, value, full=full.astype(float))
        assert (found is None) == (bins < 5)


def test_how_far_inside_the_clip_begins_is_counted_in_pixels():
    """Half the pixels of three bins touch full ones: 3/8 px in all."""
    distance, value = grid(lambda d: 0.3)
    near = np.zeros(distance.shape)
    near[::2, 20:26] = 1
    found = pooled(distance, value, near=near)
    expected = np.r_[np.zeros(10), 0.125, 0.25, np.full(8, 0.375)]
    assert_allclose(found.mixed, expected)


@pytest.mark.parametrize(("held", "kept"), [(7, False), (8, True)])
def test_a_bin_of_fewer_than_eight_pixels_is_left_out(held, kept):
    distance, value = grid(lambda d: 0.3, rows=40, per_bin=1)
    distance[held:, 0] = -99
    assert pooled(distance, value).distance.size == (20 if kept else 19)
    distance, value = grid(lambda d: 0.3, rows=100, per_bin=1)
    distance[7 + held :, 0] = -99  # of 100 in the usual bin, 15 are enough
    assert pooled(distance, value).distance.size == (20 if kept else 19)


def test_the_middle_half_of_a_bin_gives_its_mean():
    index = np.array([0, 2, 0, 0, 0, 2, 0, 0, 0, 0])
    value = np.array([5.0, 1, 100, 4, 6, 3, -50, 7, 9, 2])
    # In bin 0: -50, 2 | 4, 5, 6, 7 | 9, 100; bin 2 has two values, bin 1 none.
    assert_allclose(_interquartile_means(index, value, 3), [5.5, 0.0, 2.0])


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("slope", [0.0, 0.2])
def test_sides_move_by_what_the_flanks_say(monkeypatch, upright, slope):
    """Each by half of the change, measured across the edge; all else stays."""
    seen = []

    def flank(grey, sides, used, way, side, clipped):
        seen.append(side)
        return side

    monkeypatch.setattr(overexposed, "_flank", flank)
    given = []

    def fitted(flanks, apart, blur):
        given.append((flanks, apart, blur))
        return Flanks(21.0, 0.3, 1.4, 1.7, 12.0)

    monkeypatch.setattr(overexposed, "fit_flanks", fitted)
    slant = np.hypot(1, slope)
    width, blur = np.r_[24.0, 24, 26, 26, 25], np.r_[1.0, 1, 3, 3, 3]
    none = np.zeros(5)
    known = {name: none for name in FittedSides.__dataclass_fields__}
    known |= {"left": -width * slant / 2, "right": width * slant / 2, "width_px": width,
              "blur_px": blur}  # fmt: skip
    sides = FittedSides(**known)
    used = np.array([True, True, True, True, False])
    found = overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98)
    assert seen == [-1, 1]
    assert given == [([-1, 1], 25.0, 2.0)]
    assert_allclose(found.width_px, width - 4)
    moved = (found.left - sides.left).mean(), (sides.right - found.right).mean()
    assert moved == pytest.approx((2 * slant, 2 * slant))
    assert (found.land, found.blur_px) == (pytest.approx(np.full(5, 1.4)), pytest.approx(1.7))
    assert found.shared_u_px == 0.3
    monkeypatch.setattr(overexposed, "fit_flanks", lambda *_: None)
    assert overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98) is None
    monkeypatch.setattr(overexposed, "_flank", lambda *_: None)
    monkeypatch.setattr(overexposed, "fit_flanks", fitted)
    assert overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98) is None


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("backwards", [False, True])
def test_a_flank_is_read_outward_from_its_own_side(upright, side, backwards):
    """Light that rises inward by 0.05 a pixel from 0.4 on the side; the two sides differ."""
    rows, cols = 120, 160
    row = np.arange(rows)[:, None] + 0 * np.arange(cols)
    grey = np.where(row < 60, 0.4 + 0.05 * (row - 48), 0.4 + 0.05 * (72.0 - row) + 0.001)
    grey = np.clip(grey, 0, 1).astype(np.float32)
    along = np.arange(cols, dtype=float)
    centre, normal = np.stack([0 * along + 60, along], axis=1), np.tile([1.0, 0.0], (cols, 1))
    if upright:
        grey, centre, normal = np.ascontiguousarray(grey.T), centre[:, ::-1], normal[:, ::-1]
    left = np.full(cols, -12.0)
    if backwards:  # the path's normal points the other way: left is at the larger row
        normal = -normal
    sides = SimpleNamespace(left=left, right=-left, block=1, blur_px=np.full(cols, 1.0),
                            width_px=np.full(cols, 24.0),
                            track=SimpleNamespace(centre_rc=centre, normal_rc=normal))  # fmt: skip
    found = overexposed._flank(grey, sides, np.ones(cols, bool), upright, side, 0.72)
    assert found.along == pytest.approx(1.0)
    lower = (side < 0) == backwards
    assert_allclose(found.value, 0.4 + 0.05 * found.distance + 0.001 * lower, atol=1e-5)
    # Outward by 4.5 blurs and 3 px, inward up to where pixels are full (0.75, 7 px inside).
    assert found.distance.min() == pytest.approx(-7, abs=0.6)
    assert found.distance.max() == pytest.approx(6, abs=0.6)
    assert found.mixed[found.distance < 5.5].max() == 0
    assert found.mixed[found.distance > 5.5].min() > 0
