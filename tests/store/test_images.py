"""Decoding: kinds, depths, orientation, tone, scale tags, and what is refused."""

import io
import pickle

import cv2
import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from edgetest.photo.linear_light import srgb_decode, srgb_encode
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg


def saved(array, kind="PNG", **options):
    store = io.BytesIO()
    Image.fromarray(array).save(store, kind, **options)
    return store.getvalue()


RAMP = np.tile(np.arange(256, dtype=np.uint8), (40, 1))


def test_grey_is_linear_light():
    picture = read_picture(saved(RAMP))
    np.testing.assert_allclose(picture.grey, srgb_decode(RAMP / 255), atol=1e-6)
    assert (picture.grey.dtype, picture.bits, picture.tone) == (np.float32, 8, "srgb")
    assert (picture.height_px, picture.width_px) == (40, 256)
    assert not picture.tone_known


def test_tone_is_what_the_caller_or_the_file_says():
    linear = read_picture(saved(RAMP), tone="linear")
    np.testing.assert_allclose(linear.grey, RAMP / 255, atol=1e-6)
    assert linear.tone_known
    gamma = read_picture(saved(RAMP), tone=2.2)
    np.testing.assert_allclose(gamma.grey, (RAMP / 255) ** 2.2, atol=1e-5)
    said = PngImagePlugin.PngInfo()
    said.add(b"sRGB", b"\0")
    labelled = read_picture(saved(RAMP, pnginfo=said))
    assert (labelled.tone_known, labelled.tone_named) == (
        False,
        True,
    )  # its camera may have bent it
    flat = PngImagePlugin.PngInfo()
    flat.add(b"gAMA", (100000).to_bytes(4, "big"))
    flat = read_picture(saved(RAMP, pnginfo=flat))
    assert (flat.tone, flat.tone_known) == ("linear", True)


def test_exif_colour_space_names_the_tone():
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA001] = 1
    assert read_picture(saved(RAMP, "JPEG", exif=exif)).tone_named
    assert not read_picture(saved(RAMP, "JPEG")).tone_named


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bits(kind):
    wide = (RAMP.astype(np.uint16) * 257)[:, ::-1].copy()
    picture = read_picture(saved(wide, kind), tone="linear")
    np.testing.assert_allclose(picture.grey, wide / 65535, atol=1e-5)
    assert picture.bits == 16


def test_twelve_bits_in_a_sixteen_bit_file_fill_the_scale():
    twelve = np.tile(np.arange(4096, dtype=np.uint16), (8, 1))
    picture = read_picture(saved(twelve, "TIFF"), tone="linear")
    assert picture.bits == 12
    assert picture.grey.max() == pytest.approx(1.0)
    assert picture.saturated[:, -1].all()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_orientation_tag_is_obeyed(kind):
    exif = Image.Exif()
    exif[274] = 6
    picture = read_picture(saved(np.zeros((10, 20), np.uint8), kind, exif=exif))
    assert picture.grey.shape == (20, 10)


def test_tinted_light_keeps_its_proportions():
    light = np.tile(np.linspace(0.05, 0.9, 400, dtype=np.float32), (60, 1))
    tinted = srgb_encode(np.stack([light, 0.8 * light, 0.6 * light], axis=2))
    grey = read_picture(saved(np.rint(255 * tinted).astype(np.uint8))).grey
    ratio = (grey / light).mean(axis=0)
    # A colour cast scales the light; rounding to 8 bits leaves a percent on a column.
    np.testing.assert_allclose(ratio / ratio.mean(), 1, atol=0.02)
    assert np.polyfit(light[0], grey.mean(axis=0) / ratio.mean(), 1)[1] == pytest.approx(
        0, abs=2e-3
    )


def test_full_channel_is_left_out_and_saturation_marked():
    light = np.tile(np.linspace(0.05, 1.3, 400, dtype=np.float32), (60, 1))
    stored = srgb_encode(np.stack([1.6 * light, 0.7 * light, 0.7 * light], axis=2))
    picture = read_picture(saved(np.rint(255 * stored).astype(np.uint8)))
    assert picture.saturated is None
    np.testing.assert_allclose(picture.grey, 0.7 * light, atol=0.01)
    full = read_picture(saved(np.full((30, 30), 255, np.uint8)))
    assert full.saturated.all()


def test_alpha_palette_and_bilevel_are_read():
    for mode in ("1", "P", "LA", "RGBA"):
        store = io.BytesIO()
        Image.new(mode, (20, 10)).save(store, "PNG")
        assert read_picture(store.getvalue()).grey.shape == (10, 20)


@pytest.mark.parametrize(
    ("dpi", "um_per_px"), [(72, None), (300, None), (600, None), (25400, 1.0), (50800, 0.5)]
)
def test_resolution_tag_counts_only_where_a_microscope_would_write_it(dpi, um_per_px):
    found = read_picture(saved(RAMP, "TIFF", dpi=(dpi, dpi))).um_per_px_in_file
    assert found == (None if um_per_px is None else pytest.approx(um_per_px, rel=1e-3))


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "damaged_file"),
        (b"cuts,edge_width_um\n0,3.1\n", "not_a_picture"),
        (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", "damaged_file"),
        (b"\x00\x00\x00\x18ftypisom\x00\x00\x00\x00", "not_a_picture"),
        (b"\xff\xd8\xff", "damaged_file"),
        (b"%PDF-1.7\n", "not_a_picture"),
    ],
)
def test_refuses_what_is_no_picture(data, code):
    with pytest.raises(UnreadablePicture, match=r"photo\.jpg") as caught:
        read_picture(data, name="photo.jpg")
    assert caught.value.code == code
    assert pickle.loads(pickle.dumps(caught.value)).code == code


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_refuses_a_file_cut_in_half(kind):
    noise = np.random.default_rng(1).integers(0, 256, (200, 300), dtype=np.uint8)
    data = saved(noise, kind)
    with pytest.raises(UnreadablePicture) as caught:
        read_picture(data[: len(data) // 2])
    assert caught.value.code == "damaged_file"


def test_refuses_a_giant_by_its_header_alone():
    data = saved(np.zeros((9000, 9000), np.uint8))
    assert len(data) < 200_000
    with pytest.raises(UnreadablePicture, match="80 million pixels") as caught:
        read_picture(data)
    assert caught.value.code == "too_large"


def test_missing_file_is_named(tmp_path):
    with pytest.raises(UnreadablePicture, match=r"none\.png"):
        read_picture(tmp_path / "none.png")


def test_reduced_jpeg_is_small_and_true_to_the_light():
    picture = read_picture(saved(np.full((1500, 3000), 140, np.uint8)))
    shown = cv2.imdecode(np.frombuffer(reduced_jpeg(picture, 600), np.uint8), cv2.IMREAD_UNCHANGED)
    assert shown.shape == (300, 600)
    assert abs(int(np.median(shown)) - 140) <= 1
    same = reduced_jpeg(np.zeros((20, 30, 3), np.uint8))
    assert cv2.imdecode(np.frombuffer(same, np.uint8), cv2.IMREAD_COLOR).shape == (20, 30, 3)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "BMP"])
def test_a_grey_file_is_read_as_one_channel_and_as_the_same_light(kind):
    grey = read_picture(saved(RAMP, kind), tone="srgb")
    colour = read_picture(saved(np.repeat(RAMP[..., None], 3, axis=2), kind), tone="srgb")
    np.testing.assert_allclose(grey.grey, colour.grey, atol=0.02 if kind == "JPEG" else 0)
    turned = Image.Exif()
    turned[0x0112] = 6
    assert read_picture(saved(RAMP, "JPEG", exif=turned)).grey.shape == RAMP.shape[::-1]


@pytest.mark.parametrize("kept", [np.float64, np.float32, np.int32])
@pytest.mark.parametrize("channels", [1, 3])
def test_a_tiff_of_deep_values_is_sound_and_asked_for_with_fewer_bits(kept, channels):
    shape = (20, 30, channels)[: 1 + channels] if channels > 1 else (20, 30)
    data = cv2.imencode(".tif", np.ones(shape, kept))[1].tobytes()
    with pytest.raises(UnreadablePicture, match="8 or 16 bits") as caught:
        read_picture(data)
    assert caught.value.code == "too_deep"
