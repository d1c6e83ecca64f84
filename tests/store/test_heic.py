"""A HEIC picture, written by the library itself, gives what the same picture as PNG gives."""

import io

import cv2
import numpy as np
import pillow_heif
import pytest
from PIL import Image

from edgetest.store.heic import is_heic
from edgetest.store.images import UnreadablePicture, read_picture
from tests.browser.studies import UM_PER_PX, photograph

PNG = photograph(18.0)


def heic(array, *, quality=-1, mode=None, **info):
    """An array as the bytes of a HEIC file; quality -1 is without loss but for the colours."""
    mode = mode or ("L" if array.ndim == 2 else "RGB")
    made = pillow_heif.from_bytes(mode, array.shape[1::-1], array.tobytes())
    made.info.update(info)
    store = io.BytesIO()
    made.save(store, quality=quality)
    return store.getvalue()


def pixels():
    return cv2.imdecode(np.frombuffer(PNG, np.uint8), cv2.IMREAD_GRAYSCALE)


@pytest.mark.parametrize(("quality", "off"), [(-1, 0.001), (90, 0.005), (50, 0.02)])
def test_the_width_is_that_of_the_png(tmp_path, answer, quality, off):
    """By the command, as a maker measures it; a phone's own quality is about 50 to 90."""
    (tmp_path / "edge.png").write_bytes(PNG)
    (tmp_path / "edge.HEIC").write_bytes(heic(pixels(), quality=quality))
    wide = {}
    for name in ("edge.png", "edge.HEIC"):
        found = answer("measure", tmp_path / name, "--um-per-px", UM_PER_PX)
        (photo,) = found
        wide[name] = photo["width_um"]["mean"]
    assert wide["edge.HEIC"] == pytest.approx(wide["edge.png"], rel=off)


def test_a_folder_of_both_kinds_is_measured(tmp_path, answer):
    (tmp_path / "a.png").write_bytes(PNG)
    (tmp_path / "b.heic").write_bytes(heic(pixels(), quality=90))
    found = answer("measure", tmp_path, "--um-per-px", UM_PER_PX)
    assert [each["status"] for each in found] == ["measured"] * 2


def test_a_picture_that_was_held_turned_is_upright():
    """Orientation 6, which the library writes as a turn of the file, and takes back."""
    ramp = np.tile(np.arange(0, 240, 2, dtype=np.uint8), (60, 1))
    exif = Image.Exif()
    exif[0x0112] = 6
    plain, turned = read_picture(heic(ramp)), read_picture(heic(ramp, exif=exif.tobytes()))
    assert (plain.width_px, plain.height_px) == (120, 60)
    assert (turned.width_px, turned.height_px) == (60, 120)
    np.testing.assert_allclose(turned.grey, np.rot90(plain.grey, -1), atol=0.02)


def test_ten_bits_are_kept_and_the_brightest_is_full():
    wide = np.tile(np.linspace(0, 65535, 640).astype(np.uint16), (64, 1))
    picture = read_picture(heic(wide, mode="I;16"), tone="linear")
    assert len(np.unique(picture.grey)) > 600
    assert picture.grey.max() == pytest.approx(1)
    np.testing.assert_allclose(picture.grey, wide / 65535, atol=2e-3)
    assert picture.saturated is not None
    assert picture.saturated[:, -1].all()


def test_colours_lie_as_in_other_files():
    """Red, green and blue in their own places: grey weighs them differently."""
    colours = np.zeros((64, 192, 3), np.uint8)
    for channel in range(3):
        colours[:, 64 * channel : 64 * channel + 64, channel] = 200
    store = io.BytesIO()
    Image.fromarray(colours).save(store, "PNG")
    ours, known = read_picture(heic(colours)).grey, read_picture(store.getvalue()).grey
    for column in (32, 96, 160):
        assert ours[32, column] == pytest.approx(known[32, column], abs=0.01)


def test_a_file_that_breaks_off_is_told_in_one_line():
    whole = heic(pixels())
    for part in (whole[: len(whole) // 2], whole[:60]):
        assert is_heic(part)
        with pytest.raises(UnreadablePicture) as fault:
            read_picture(part, name="edge.heic")
        assert fault.value.code == "damaged_file"
        assert "\n" not in str(fault.value)
