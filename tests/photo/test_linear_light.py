"""Arrays become linear light under a curve that is told; what is no picture is refused."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light, srgb_decode, srgb_encode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.scale.ruling_scale import scale_from_ruling
from edgetest.photo.scale.wire import scale_from_wire
from edgetest.photo.side.side_view import measure_profile

RAMP = np.tile(np.linspace(0, 1, 256), (40, 1))
BYTES = np.rint(255 * RAMP).astype(np.uint8)


@pytest.mark.parametrize(
    "tone",
    [
        2.2,
        lambda stored: stored**2.2,
        # Straight lines between 4097 points stray from the curve by no more than 1e-7.
        np.linspace(0, 1, 4097) ** 2.2,
    ],
)
def test_a_curve_is_a_gamma_a_function_or_a_table(tone):
    light = linear_light(RAMP, tone)
    np.testing.assert_allclose(light.grey, RAMP**2.2, atol=1e-6)
    assert light.tone_known
    assert light.grey.dtype == np.float32


def test_unknown_tone_is_taken_for_srgb_and_says_so():
    unknown, known = linear_light(BYTES, "unknown"), linear_light(BYTES, "srgb")
    np.testing.assert_array_equal(unknown.grey, known.grey)
    np.testing.assert_allclose(known.grey, srgb_decode(RAMP), atol=1e-6)
    assert (unknown.tone_known, known.tone_known) == (False, True)


@pytest.mark.parametrize(
    "pixels",
    [
        BYTES,
        BYTES.astype(np.uint16) * 257,
        BYTES.astype(">u2") * 257,
        BYTES / 255,
        np.repeat(BYTES[..., None], 3, axis=2),
        np.repeat(BYTES[..., None], 4, axis=2),
        BYTES[:, ::-1][:, ::-1],
        (BYTES / 255).tolist(),
    ],
)
def test_depth_and_channels_make_no_difference(pixels):
    light = linear_light(pixels, "srgb")
    np.testing.assert_allclose(light.grey, srgb_decode(BYTES / 255), atol=1e-6)
    assert light.saturated[:, -1].all()
    assert not light.saturated[:, 0].any()


def test_colour_is_weighted_as_luminance():
    rgb = np.zeros((4, 5, 3))
    rgb[..., 0], rgb[..., 1], rgb[..., 2] = RAMP[:4, 250:255], 0.4, 0.35
    # IEC 61966-2-1: 0.2126, 0.7152 and 0.0722 of red, green and blue light; all count here.
    expected = 0.2126 * rgb[..., 0] + 0.7152 * rgb[..., 1] + 0.0722 * rgb[..., 2]
    dim = linear_light(0.9 * rgb, "linear").grey
    np.testing.assert_allclose(dim, 0.9 * expected, atol=1e-6)


@pytest.mark.parametrize(
    ("pixels", "said"),
    [
        (255 * RAMP, "floats from 0 to 255 leave the range 0 to 1"),
        (RAMP - 0.5, "floats from -0.5 to 0.5 leave"),
        (np.where(RAMP > 0.999, np.nan, RAMP), r"pixels\[0, 255\]: 40 of 10240 .* is nan"),
        (np.where(RAMP > 0.999, np.inf, RAMP), "is inf"),
        (RAMP[0], r"shape \(256,\)"),
        (RAMP[..., None], r"shape \(40, 256, 1\)"),
        (np.zeros((40, 50, 2)), r"shape \(40, 50, 2\)"),
        (np.zeros((2, 3, 40, 50)), r"shape \(2, 3, 40, 50\)"),
        (np.zeros((0, 50)), r"shape \(0, 50\)"),
        (BYTES.astype(int), "values of type int64"),
        (BYTES > 100, "values of type bool"),
        (RAMP + 0j, "values of type complex128"),
        ([[0.1, 0.2], [0.3]], "rows of unlike length"),
    ],
)
def test_what_is_no_picture_is_refused_with_its_value(pixels, said):
    with pytest.raises(UnusableInput, match=said):
        linear_light(pixels, "unknown")


@pytest.mark.parametrize(
    ("tone", "said"),
    [
        ("sRGB", '"sRGB" is no tone curve'),
        (None, "None is no tone curve"),
        (-1.0, "-1.0 is no tone curve"),
        ([0.5], r"\[0.5\] is no tone curve"),
        ([0.0, 0.5, 0.4, 1.0], "from 0 to 1 and does not rise"),
        (lambda stored: 255 * stored, "from 0 to 255"),
        (lambda stored: 1 - stored, "from 1 to 0"),
    ],
)
def test_a_tone_that_is_no_curve_is_refused(tone, said):
    with pytest.raises(UnusableInput, match=said):
        linear_light(BYTES, tone)


@pytest.mark.parametrize(
    "measure",
    [
        lambda array: measure_apex(array, 1.0),
        lambda array: measure_profile(array, 1.0),
        lambda array: scale_from_ruling(array, 10.0),
        lambda array: scale_from_wire(array, 500.0, 1.0),
    ],
)
def test_no_measurement_takes_an_array_for_linear_light(measure):
    with pytest.raises(UnusableInput, match="a ndarray does not say on which tone curve"):
        measure(srgb_encode(RAMP))


def test_chips_and_rulings_do_not_hang_on_the_tone():
    damage = ({"position": 0.4, "length_px": 30, "depth_px": 9, "shape": "round"},)
    picture, truth = render_profile(damage=damage, rng=np.random.default_rng(3))
    depths = [
        measure_profile(linear_light(picture, tone), truth["um_per_px"]).chips[0].depth_um
        for tone in ("unknown", "linear")
    ]
    # Both curves place the whole outline alike; a hundredth of the chip is left.
    assert depths[1] == pytest.approx(depths[0], rel=0.01)
    picture, truth = render_ruling(rng=np.random.default_rng(3))
    scales = [
        scale_from_ruling(linear_light(picture, tone), 10.0).um_per_px for tone in ("unknown", 1.8)
    ]
    assert scales == pytest.approx([truth["um_per_px"]] * 2, rel=2e-4)


@pytest.mark.parametrize("tone", ["srgb", "linear"])
def test_one_tint_is_measured_by_its_luma_at_full_fineness(tone):
    """Rec. 601: luma 0.299 R + 0.587 G + 0.114 B; a tint is a constant times its light."""
    ramp = np.tile(np.linspace(20, 200, 300), (40, 1))
    rgb = np.rint(np.stack([ramp, 0.97 * ramp, 0.9 * ramp], axis=-1)).astype(np.uint8)
    light = linear_light(rgb, tone)
    luma = (rgb @ [0.299, 0.587, 0.114]) / 255
    expected = srgb_decode(luma) if tone == "srgb" else luma
    # OpenCV rounds 256 times the luma to whole numbers.
    np.testing.assert_allclose(light.grey, expected, atol=1.2e-4)
