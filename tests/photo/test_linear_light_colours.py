"""Colours into grey: which channels count, which pixels are full, and by which weights."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.linear_light import (
    _channel_weights,
    grey_values,
    light_of_stored,
    linear_light,
    srgb_decode,
    stored_depth,
)

SHAPE = (70, 90)  # more rows than a strip of 64


def colours(*, blue=90, green=120, red=150, seed=1):
    """Blue, green and red that vary each for itself by ten levels."""
    rng = np.random.default_rng(seed)
    level = np.array([blue, green, red])
    return (level + rng.integers(-10, 11, (*SHAPE, 3))).astype(np.uint8)


def test_light_is_weighed_by_the_eye_s_sensitivity():
    """Rec. 709: 0.2126 red, 0.7152 green, 0.0722 blue, of linear light."""
    stored = colours()
    light = light_of_stored(stored, 255.0, "srgb", True)
    linear = srgb_decode(stored / 255)
    expected = 0.0722 * linear[..., 0] + 0.7152 * linear[..., 1] + 0.2126 * linear[..., 2]
    assert_allclose(light.grey, expected, atol=2e-5)
    assert light.saturated is None
    assert (light.tone, light.tone_known) == ("srgb", True)
    deep = light_of_stored(stored.astype(np.uint16) * 257, 65535.0, "srgb", True)
    assert_allclose(deep.grey, expected, atol=2e-5)
    rgb = linear_light(stored[..., ::-1], "srgb")
    assert_allclose(rgb.grey, expected, atol=2e-5)


@pytest.mark.parametrize("channel", [0, 1, 2])
@pytest.mark.parametrize(("level", "full"), [(251, False), (252, True)])
def test_a_pixel_is_full_where_any_channel_that_counts_is(channel, level, full):
    """From 0.985 of 255 on: 251.2."""
    stored = colours()
    stored[66, 5, channel] = level
    saturated = light_of_stored(stored, 255.0, "srgb", True).saturated
    if not full:
        assert saturated is None
        return
    assert np.argwhere(saturated).tolist() == [[66, 5]]


def test_a_channel_that_fills_up_before_the_others_is_left_out():
    """Red full in a hundredth of the picture: light is of green and blue, and none is full."""
    stored = colours()
    stored[::10, ::10, 2] = 255
    light = light_of_stored(stored, 255.0, "srgb", True)
    assert light.saturated is None
    linear = srgb_decode(stored / 255)
    expected = (0.0722 * linear[..., 0] + 0.7152 * linear[..., 1]) / 0.7874
    assert_allclose(light.grey, expected, atol=2e-5)


@pytest.mark.parametrize(("count", "kept"), [(12, True), (13, False)])
def test_two_thousandths_of_full_pixels_leave_a_channel_out(count, kept):
    """Of 6300 pixels 12.6."""
    stored = colours()
    stored[5, :count, 2] = 255
    weights, one_tint = _channel_weights(stored, 255.0, "srgb")
    assert (weights[0, 2] > 0) == kept
    assert weights.sum() == pytest.approx(1)
    assert not one_tint


@pytest.mark.parametrize(("blue", "kept"), [(31, True), (29, False)])
def test_a_channel_of_a_fifth_of_the_brightest_is_left_out(blue, kept):
    stored = np.empty((*SHAPE, 3), np.uint8)
    stored[...] = (blue, 120, 150)
    stored[::2, :, 1] = 100
    weights, _ = _channel_weights(stored, 255.0, "srgb")
    assert (weights[0, 0] > 0) == kept
    assert weights[0, 1] / weights[0, 2] == pytest.approx(0.7152 / 0.2126, rel=1e-5)


@pytest.mark.parametrize(("off", "grey"), [(3, True), (4, False)])
def test_a_picture_whose_channels_are_alike_has_no_colour(off, grey):
    """To 0.012 of full scale: 3.06 levels."""
    stored = np.repeat(colours()[..., 1:2], 3, axis=2)
    stored[7, 7, 2] += off
    weights, _ = _channel_weights(stored, 255.0, "srgb")
    assert (weights is None) == grey
    light = light_of_stored(stored, 255.0, "srgb", True)
    assert light.grey[0, 0] == pytest.approx(float(srgb_decode(stored[0, 0, 1] / 255)), abs=1e-5)


def test_of_no_colour_the_green_channel_tells_light_and_what_is_full():
    stored = np.repeat(colours()[..., 1:2], 3, axis=2)
    stored[3, 4] = 252
    light = light_of_stored(stored, 255.0, "linear", True)
    assert_allclose(light.grey, stored[..., 1] / 255, atol=1e-6)
    assert np.argwhere(light.saturated).tolist() == [[3, 4]]
    flat = light_of_stored(stored[..., 1], 255.0, 2.0, True)
    assert_allclose(flat.grey, (stored[..., 1] / 255.0) ** 2, atol=1e-6)
    assert flat.tone == "gamma 2"


def test_one_tint_is_read_from_its_luma():
    """Channels in one proportion on a power curve: their luma carries the light, finer."""
    rng = np.random.default_rng(1)
    light = rng.uniform(0.1, 0.8, SHAPE)
    tint = np.array([0.5, 0.9, 1.0])
    stored = np.rint(255 * light[..., None] ** 0.5 * tint).astype(np.uint8)
    weights, one_tint = _channel_weights(stored, 255.0, 2.0)
    assert one_tint
    found = light_of_stored(stored, 255.0, 2.0, True).grey
    luma = (0.114 * 0.5 + 0.587 * 0.9 + 0.299) ** 2
    assert_allclose(found / luma, light, atol=0.012)
    assert not _channel_weights(colours(), 255.0, "srgb")[1]
    assert weights.sum() == pytest.approx(1)


@pytest.mark.parametrize(
    ("most", "bits"),
    [(511, 16), (512, 10), (1023, 10), (1024, 16), (2047, 16), (2048, 12), (4095, 12),
     (8191, 16), (8192, 14), (16383, 14), (16384, 16), (65535, 16), (0, 16)],
)  # fmt: skip
def test_a_camera_s_bits_are_told_by_its_brightest_value(most, bits):
    """Its last bit is used, and none above it."""
    stored = np.zeros((5, 5), np.uint16)
    stored[2, 2] = most
    assert stored_depth(stored) == (bits, 2.0**bits - 1)


def test_bytes_and_floats_have_their_own_full_scale():
    assert stored_depth(np.zeros((2, 2), np.uint8)) == (8, 255.0)
    assert stored_depth(np.full((2, 2), 0.4, np.float32)) == (32, 1.0)
    assert stored_depth(np.full((2, 2), 4.0, np.float32)) == (32, 4.0)


def test_stored_grey_is_the_luma_of_colours():
    stored = np.array([[[10, 100, 200]]], np.uint8)  # blue, green, red
    expected = (0.114 * 10 + 0.587 * 100 + 0.299 * 200) / 255
    assert grey_values(stored, 255.0)[0, 0] == pytest.approx(expected, rel=1e-5)
    assert grey_values(np.array([[51]], np.uint8), 255.0)[0, 0] == pytest.approx(0.2)
