"""The time that a camera wrote: parts of a second, its zone, and what tells none."""

import io
from datetime import datetime

import pillow_heif
import pytest
from PIL import Image

from edgetest.store.picture_times import name_order, picture_time


def picture(kind="JPEG", first=(), exposed=()):
    """A small picture with tags of EXIF in its first directory and in that of the exposure."""
    exif = Image.Exif()
    for tag, value in dict(first).items():
        exif[tag] = value
    if exposed:
        exif.get_ifd(0x8769).update(dict(exposed))
    out = io.BytesIO()
    if kind == "HEIC":  # written without telling Pillow how to read it
        shown = Image.new("RGB", (64, 64), (90, 90, 90))
        pillow_heif.from_pillow(shown).save(out, exif=exif.tobytes())
    else:
        Image.new("L", (8, 8), 90).save(out, kind, exif=exif.tobytes())
    return out.getvalue()


@pytest.mark.parametrize("kind", ["HEIC", "JPEG", "PNG", "TIFF"])
def test_parts_of_a_second_tell_a_burst_apart(kind):
    data = picture(kind, exposed={0x9003: "2026:10:17 14:03:22", 0x9291: "45"})
    assert picture_time(data) == datetime(2026, 10, 17, 14, 3, 22, 450_000)


def test_a_zone_is_taken_off():
    exposed = {0x9003: "2026:10:17 01:03:22", 0x9011: "+02:30"}
    assert picture_time(picture(exposed=exposed)) == datetime(2026, 10, 16, 22, 33, 22)


def test_the_moment_of_the_file_stands_in_where_the_exposure_is_not_told():
    assert picture_time(picture(first={0x0132: "2026:10:17 14:03:22"})) == datetime(
        2026, 10, 17, 14, 3, 22
    )


@pytest.mark.parametrize(
    "data",
    [picture(), b"no picture", picture(exposed={0x9003: "0000:00:00 00:00:00"}), picture()[:60]],
)
def test_what_tells_no_time_gives_none(data):
    assert picture_time(data) is None


def test_nine_stands_before_ten():
    assert sorted(["P10.jpg", "p9.JPG", "P100.jpg"], key=name_order) == [
        "p9.JPG",
        "P10.jpg",
        "P100.jpg",
    ]
