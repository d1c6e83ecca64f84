"""A picture that is shown: in its colours, upright, without what else its file holds."""

import io

import numpy as np
import pytest
from PIL import Image

from edgetest.store.images import UnreadablePicture
from edgetest.store.shown_picture import shown_jpeg


def opened(data):
    return Image.open(io.BytesIO(data))


def test_colours_stay_and_a_larger_one_is_made_smaller(tmp_path):
    Image.new("RGB", (300, 100), (200, 30, 40)).save(tmp_path / "tool.png")
    shown = opened(shown_jpeg(tmp_path / "tool.png", 150))
    assert shown.size == (150, 50)
    assert np.allclose(shown.getpixel((70, 20)), (200, 30, 40), atol=6)
    assert opened(shown_jpeg(tmp_path / "tool.png", 900)).size == (300, 100)


def test_it_is_turned_upright_and_tells_nothing_of_where_it_was_taken(tmp_path):
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = 6, "behind the forge"  # to be turned by a quarter; a description
    Image.new("RGB", (80, 40), "grey").save(tmp_path / "tool.jpg", exif=exif)
    shown = shown_jpeg(tmp_path / "tool.jpg")
    assert opened(shown).size == (40, 80)
    assert b"forge" not in shown


def test_sixteen_bits_of_grey_keep_their_shades(tmp_path):
    values = np.full((20, 30), 30_000, dtype=np.uint16)
    Image.fromarray(values).save(tmp_path / "deep.png")
    assert opened(shown_jpeg(tmp_path / "deep.png")).getpixel((5, 5))[0] == pytest.approx(
        117, abs=3
    )


@pytest.mark.parametrize("broken", [b"no picture", "half"])
def test_what_is_no_picture_is_refused_by_name(tmp_path, broken):
    file = tmp_path / "tool.jpg"
    Image.effect_noise((400, 400), 60).save(file)
    file.write_bytes(file.read_bytes()[:9000] if broken == "half" else broken)
    with pytest.raises(UnreadablePicture, match=r"tool\.jpg"):
        shown_jpeg(file)
