"""The tray's order in words, what of a JPEG is its picture, and who waits."""

from hashlib import sha256
from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.photos import sort_assign
from edgetest.study.photos.sort_assign import LastAct, assign
from edgetest.study.photos.sort_tray import Tray, Unsorted, pixels_of


def picture(taken="", **more):
    return Unsorted("f" * 64, "a.jpg", Path("s/unsorted/a.jpg"), taken, "p", **more)


def test_a_picture_waits_until_it_has_a_place_or_shows_none():
    assert picture().waiting
    for more in ({"photo": "x"}, {"aside": True}, {"second_of": "x"}):
        assert not picture(**more).waiting
    assert picture().shown == Path(f"s/unsorted/shown/{'f' * 64}.jpg")
    tray = Tray((picture(), picture(photo="x")), "time")
    assert tray.waiting == (tray.pictures[0],)


@pytest.mark.parametrize(
    ("taken", "by", "said"),
    [
        (("1", "2"), "time", "by the time that the camera wrote."),
        (("", ""), "name", "No picture tells when it was taken."),
        (("1", ""), "name", "1 do not tell when they were taken."),
    ],
)
def test_the_order_says_why(taken, by, said):
    assert Tray(tuple(map(picture, taken)), by).order_words().endswith(said)


def segment(marker, data):
    return bytes([0xFF, marker]) + (len(data) + 2).to_bytes(2, "big") + data


def jpeg(*parts, scan=b"scan"):
    return b"\xff\xd8" + b"".join(parts) + bytes([0xFF, 0xDA]) + b"\x00\x02" + scan


TABLE = segment(0xDB, b"table")


def test_what_is_written_about_a_jpeg_is_no_part_of_its_picture():
    plain = pixels_of(jpeg(TABLE), "a.jpg")
    for marker in (0xE0, 0xE1, 0xEF, 0xFE):
        assert pixels_of(jpeg(segment(marker, b"about"), TABLE), "a.jpg") == plain
    for marker in (0xDB, 0xDF, 0xF0):
        assert pixels_of(jpeg(segment(marker, b"more"), TABLE), "a.jpg") != plain
    assert pixels_of(jpeg(TABLE, scan=b"other"), "a.jpg") != plain


@pytest.mark.parametrize(
    "data", [b"\xff\xd8" + TABLE, b"\xff\xd8" + TABLE[:5], b"\xff\xd8\x00\x00\x00\x00", b"x", b""]
)
def test_a_jpeg_cut_short_and_what_is_none_are_refused(data):
    with pytest.raises(UnusableInput):
        pixels_of(data, "a.jpg")


@pytest.mark.parametrize(
    ("act", "said"),
    [
        (LastAct("a", ("x",), ("p",)), "a picture was given its place"),
        (LastAct("a", ("x", "y"), ("p", "q")), "2 pictures were given their places"),
        (LastAct("a", ("x",), (), "aside"), "a picture was set aside"),
        (
            LastAct("a", ("x",), (), "second"),
            "a picture was kept as a second one of the same place",
        ),
    ],
)
def test_an_act_is_told(act, said):
    assert act.words() == said


def test_a_picture_takes_the_place_of_the_one_that_counts_there(monkeypatch, tmp_path):
    (tmp_path / "a.jpg").write_bytes(b"data")
    sha = sha256(b"data").hexdigest()
    new = Unsorted(sha, "a.jpg", tmp_path / "a.jpg", "", "p")
    place = SimpleNamespace(photo="old.jpg", key=1, words="here", action=None, due=None)
    rows = [SimpleNamespace(line=2, photo="other.jpg", exclude=""),
            SimpleNamespace(line=3, photo="old.jpg", exclude="slip"),
            SimpleNamespace(line=4, photo="old.jpg", exclude="")]  # fmt: skip
    source = SimpleNamespace(path=tmp_path, log=SimpleNamespace(rows=rows))
    corrected = []
    for name, value in (
        ("open_source", lambda _: source), ("places_of", lambda _: [place]),
        ("read_tray", lambda _: Tray((new,), "name")), ("note_put", lambda *_, **__: None),
        ("save_new_photo", lambda *_: "new.jpg"),
        ("correct_reading", lambda _, line, *cells, was: corrected.append((line, *cells, was))),
    ):  # fmt: skip
        monkeypatch.setattr(sort_assign, name, value)
    with pytest.raises(UnusableInput, match=r"the photograph old\.jpg stands there already"):
        assign(tmp_path, new, place)
    assert assign(tmp_path, new, place, instead=True) == "new.jpg"
    assert corrected == [(4, "photo", "new.jpg", "old.jpg")]
    rows[-1].exclude = "slip"
    with pytest.raises(UnusableInput, match="is no longer there"):
        assign(tmp_path, new, place, instead=True)
