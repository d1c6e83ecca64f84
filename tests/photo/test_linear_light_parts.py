"""Linear light, part by part: depths, ranges, channels and tints at their limits."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import (
    Light,
    _channel_weights,
    _check_range,
    _rising,
    grey_of,
    grey_values,
    light_of_stored,
    linear_light,
    srgb_decode,
    srgb_encode,
    stored_depth,
    tone_curve,
)


def test_the_curve_of_srgb_is_the_standards():
    """IEC 61966-2-1: stored 0.5 is 0.2140 of the light; the knee at 0.04045; a straight foot."""
    assert_allclose(srgb_decode([0, 0.02, 0.5, 1, 1.5, -1]), [0, 0.02 / 12.92, 0.21404, 1, 1, 0],
                    atol=1e-5)  # fmt: skip
    assert srgb_decode(0.04045) == pytest.approx(0.04045 / 12.92, rel=1e-6)
    assert srgb_decode(0.05) == pytest.approx((0.105 / 1.055) ** 2.4, rel=1e-5)
    light = np.array([0, 0.001, 0.0031308, 0.0032, 0.2, 1])
    assert_allclose(srgb_decode(srgb_encode(light)), light, atol=1e-6)
    assert srgb_encode(0.001) == pytest.approx(0.01292, rel=1e-6)
    assert srgb_encode(0.2) == pytest.approx(1.055 * 0.2 ** (1 / 2.4) - 0.055, rel=1e-6)
    assert_allclose(srgb_encode([-3, 7]), [0, 1], atol=1e-6)


@pytest.mark.parametrize(
    ("most", "bits", "top"),
    [
        (511, 16, 65535),
        (512, 10, 1023),
        (1023, 10, 1023),
        (1024, 16, 65535),
        (2047, 16, 65535),
        (2048, 12, 4095),
        (4095, 12, 4095),
        (4096, 16, 65535),
        (8192, 14, 16383),
        (16383, 14, 16383),
        (16384, 16, 65535),
        (0, 16, 65535),
    ],
)
def test_sixteen_bits_may_hold_ten_twelve_or_fourteen(most, bits, top):
    assert stored_depth(np.array([[0, most]], np.uint16)) == (bits, top)


def test_bytes_and_floats_have_their_own_full_scale():
    assert stored_depth(np.array([3], np.uint8)) == (8, 255)
    assert stored_depth(np.array([0.3], np.float32)) == (32, 1)
    assert stored_depth(np.array([1.25], np.float32)) == (32, 1.25)


def test_floats_may_leave_their_range_by_rounding():
    _check_range(np.array([-9e-7, 1 + 9e-7]))
    for bad in ([-2e-6, 0.5], [0.5, 1 + 3e-6]):
        with pytest.raises(UnusableInput, match="leave the range 0 to 1"):
            _check_range(np.array(bad))


def test_a_curve_rises_within_its_range():
    curve = np.sqrt
    assert _rising(curve) is curve
    assert _rising(curve, np.array([0.0, 0.5, 0.5, 1 + 5e-7])) is curve
    for bad in ([0, 0.5, 0.4, 1], [0.3, 0.3], [-0.01, 1], [0, 1.01], [0, np.nan]):
        with pytest.raises(UnusableInput, match="and does not rise within"):
            _rising(curve, np.array(bad, dtype=float))


def test_tones_are_told_with_what_is_known_of_them():
    assert tone_curve("unknown") == ("srgb", False)
    assert tone_curve("srgb") == ("srgb", True)
    assert tone_curve("linear") == ("linear", True)
    assert tone_curve(2) == (2.0, True)
    curve, known = tone_curve([0.0, 0.2, 1.0])
    assert known
    assert_allclose(curve(np.array([0.25, 0.5, 0.75])), [0.1, 0.2, 0.6])
    assert tone_curve([0.0, 1.0])[1]
    for bad in (0.0, np.inf, np.nan, [[0.0, 1.0]], "gamma", object()):
        with pytest.raises(UnusableInput, match="is no tone curve"):
            tone_curve(bad)
    assert linear_light(np.full((2, 3), 0.5), 2.2).tone == "gamma 2.2"
    assert linear_light(np.full((2, 3), 0.5), np.sqrt).tone == "own curve"
    assert linear_light(np.full((2, 3), 0.5), "srgb").tone == "srgb"


def test_light_is_asked_for_by_name():
    grey = np.ones((3, 4))[:, ::2]
    found = grey_of(Light(grey, None, "srgb", True))
    assert found.dtype == np.float32
    assert found.flags.c_contiguous
    with pytest.raises(UnusableInput, match="ndarray does not say"):
        grey_of(grey)


def test_grey_of_colours_is_luma():
    """JFIF: 0.299 red, 0.587 green, 0.114 blue."""
    stored = np.array([[[10, 100, 200]]], np.uint8)  # blue, green, red
    expected = (0.114 * 10 + 0.587 * 100 + 0.299 * 200) / 255
    assert grey_values(stored, 255)[0, 0] == pytest.approx(expected, rel=1e-6)
    assert grey_values(stored[..., 1], 255)[0, 0] == pytest.approx(100 / 255)


@pytest.mark.parametrize(("value", "over"), [(251, False), (252, True)])
def test_a_pixel_is_saturated_from_985_thousandths_on(value, over):
    """Of 255: 251.2."""
    grey = np.full((70, 20), 90, np.uint8)
    grey[66, 2] = value
    found = light_of_stored(grey, 255.0, "srgb", True)
    assert (found.saturated is not None) == over
    if over:
        assert np.argwhere(found.saturated).tolist() == [[66, 2]]
    colour = np.repeat(grey[..., None], 3, axis=2).astype(np.uint16)
    colour[..., 0] //= 2
    colour[:, :2] = (90, 40, 90)
    colour[66, 2] = (45, 90, value)
    found = light_of_stored(colour, 255.0, "srgb", True)
    if over:
        assert np.argwhere(found.saturated).tolist() == [[66, 2]]
    else:
        assert found.saturated is None


def test_every_row_of_a_tall_picture_is_made_light():
    for dtype, top in ((np.uint8, 255), (np.float32, 1)):
        grey = np.tile(np.linspace(0, 0.9 * top, 131)[:, None], (1, 3)).astype(dtype)
        found = light_of_stored(grey, float(top), "linear", True).grey
        assert_allclose(found, grey / top, atol=1e-6)
        colour = np.stack([grey, grey * (np.arange(3) > 0), grey], axis=-1)
        found = light_of_stored(
            np.ascontiguousarray(colour.astype(dtype)), float(top), "linear", True
        )
        expected = colour.astype(float) @ [0.0722, 0.7152, 0.2126] / top
        assert_allclose(found.grey, expected, atol=1e-6)


def test_colours_that_hardly_differ_are_grey():
    """By 0.012 of full scale, 3.06 of 255: the green channel tells all."""
    green = np.tile(np.arange(50, 90, dtype=np.uint8), (30, 1))
    near = np.stack([green + 3, green, green - 3], axis=-1)
    assert _channel_weights(near, 255.0, "srgb") == (None, False)
    assert_allclose(light_of_stored(near, 255.0, "linear", True).grey, green / 255, atol=1e-6)
    far = np.stack([green + 4, green, green], axis=-1)
    assert _channel_weights(far, 255.0, "srgb")[0] is not None
    assert _channel_weights(green, 255.0, "srgb") == (None, False)


def coloured(*levels, rows=60, cols=80):
    """Stored blue, green, red: a ramp across times these."""
    ramp = np.linspace(0.2, 0.9, cols) + np.zeros((rows, 1))
    return (ramp[..., None] * np.array(levels)).astype(np.float32)


def test_all_channels_count_by_their_luminance():
    weights, one_tint = _channel_weights(coloured(0.6, 0.8, 1.0), 1.0, "linear")
    assert_allclose(weights, [[0.0722, 0.7152, 0.2126]], atol=1e-6)
    assert one_tint


@pytest.mark.parametrize(("blue", "counts"), [(0.21, True), (0.19, False)])
def test_a_channel_under_a_fifth_of_the_brightest_is_left_out(blue, counts):
    weights, _ = _channel_weights(coloured(blue, 1.0, 0.9), 1.0, "linear")
    assert (weights[0, 0] > 0) == counts
    assert weights.sum() == pytest.approx(1)
    if not counts:
        assert_allclose(weights[0, 1:], np.array([0.7152, 0.2126]) / 0.9278, atol=1e-6)


def test_a_channel_that_is_full_where_the_others_are_not_is_left_out():
    """0.2 % of the pixels more than the emptiest: ten of 4800 are, nine are not."""
    for full, counts in ((9, True), (10, False)):
        stored = coloured(0.5, 0.7, 0.9)
        stored.reshape(-1, 3)[:full, 2] = 1.0
        weights, one_tint = _channel_weights(stored, 1.0, "linear")
        assert (weights[0, 2] > 0) == counts
        assert not one_tint  # more than 0.05 % are full
    stored = coloured(0.5, 0.7, 0.9)
    stored.reshape(-1, 3)[:2, 2] = 1.0  # 0.04 %
    assert _channel_weights(stored, 1.0, "linear")[1]
    everywhere = np.ones((60, 80, 3), np.float32)
    everywhere[:30] = (0.4, 0.5, 0.6)
    assert_allclose(_channel_weights(everywhere, 1.0, "linear")[0], [[0.0722, 0.7152, 0.2126]],
                    atol=1e-6)  # fmt: skip


def test_a_picture_of_two_tints_is_told_from_one():
    stored = coloured(0.5, 0.7, 0.9)
    assert _channel_weights(stored, 1.0, "srgb")[1]
    mixed = stored.copy()
    mixed[:, :40] = mixed[:, :40] / (0.5, 0.7, 0.9) * (0.3, 0.9, 0.5)
    assert not _channel_weights(mixed, 1.0, "srgb")[1]


def test_alpha_is_left_aside_and_channels_are_turned():
    rgba = np.zeros((4, 5, 4), np.uint8)
    rgba[..., 0], rgba[..., 3] = 200, 90
    rgba[:2, :, 1] = 100
    light = linear_light(rgba, "linear")
    green, red = 0.7152 / 0.9278, 0.2126 / 0.9278  # no blue: it has no say
    assert_allclose(light.grey[:2], (200 * red + 100 * green) / 255, atol=1e-6)
    assert_allclose(light.grey[2:], 200 * red / 255, atol=1e-6)
    assert_array_equal(light.grey, linear_light(rgba[..., :3], "linear").grey)
