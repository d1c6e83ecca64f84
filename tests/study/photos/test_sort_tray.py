"""Pictures without a place: in the order taken, each once, never lost between two steps."""

import io
import json

import pytest
from PIL import Image

from edgetest.study.photos import sort_assign, sort_tray
from edgetest.study.photos.sort_assign import assign, last_act, set_aside, undo_act
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import row, shot


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path, readings=[STATION])


def tray(folder):
    return read_tray(open_source(folder))


def drop(folder, files):
    return take_in(open_source(folder), files)


def names(folder):
    return [each.name for each in tray(folder).waiting]


def test_pictures_stand_in_the_order_of_their_time_with_parts_of_a_second(folder):
    drop(folder, [("a.jpg", shot(1, second=7, part=60)), ("b.jpg", shot(2, second=7, part=5)),
                  ("c.jpg", shot(3, second=2))])  # fmt: skip
    assert names(folder) == ["c.jpg", "b.jpg", "a.jpg"]
    assert "time that the camera wrote" in tray(folder).order_words()


def test_one_picture_without_a_time_puts_all_in_the_order_of_their_names(folder):
    drop(folder, [("P10.jpg", shot(1, second=1)), ("P9.jpg", shot(2, second=5)),
                  ("P11.jpg", shot(3))])  # fmt: skip
    assert names(folder) == ["P9.jpg", "P10.jpg", "P11.jpg"]
    assert "file names: 1 do not tell" in tray(folder).order_words()


def test_the_same_file_and_the_same_picture_in_another_file_are_told(folder):
    first = shot(1, second=1)
    redated = shot(1, second=50)  # another record, the same coded picture
    assert redated != first
    png, tiff = shot(2, kind="PNG"), shot(2, kind="TIFF")
    told = drop(folder, [("a.jpg", first), ("b.jpg", first), ("c.jpg", redated),
                         ("d.png", png), ("e.tif", tiff), ("f.jpg", shot(3))])  # fmt: skip
    assert [(each.known_as, each.same_file) for each in told] == [
        ("", False), ("a.jpg", True), ("a.jpg", False), ("", False), ("d.png", False), ("", False),
    ]  # fmt: skip
    assert len(tray(folder).pictures) == 3


def test_a_photograph_of_the_log_is_known_again(folder):
    drop(folder, [("a.jpg", shot(1))])
    source = open_source(folder)
    photo = assign(folder, read_tray(source).waiting[0], places_of(source)[0])
    (told,) = drop(folder, [("again.jpg", shot(1))])
    assert (told.known_as, told.same_file) == (photo, True)
    (told,) = drop(folder, [("later.jpg", shot(1, second=3))])
    assert (told.known_as, told.same_file) == (photo, False)


def test_what_is_no_picture_is_told_and_those_after_it_are_taken_in(folder):
    told = drop(folder, [("a.jpg", shot(1)), ("b.jpg", b"text"), ("c.jpg", shot(2))])
    assert [each.fault is None for each in told] == [True, False, True]
    assert names(folder) == ["a.jpg", "c.jpg"]


def test_a_name_with_folders_stays_inside_the_tray(folder):
    drop(folder, [("../../x.jpg", shot(1))])
    (picture,) = tray(folder).waiting
    assert picture.path.parent == folder / "unsorted"
    assert picture.name == "x.jpg"


@pytest.mark.parametrize("step", ["before the log", "after the log", "after the note"])
def test_a_program_killed_between_two_steps_loses_and_doubles_nothing(folder, monkeypatch, step):
    drop(folder, row(2))
    source = open_source(folder)
    picture, place = read_tray(source).waiting[0], places_of(source)[0]

    def killed(*_args, **_more):
        raise KeyboardInterrupt

    module, what = {
        "before the log": (sort_assign, "place_photo"),
        "after the log": (sort_assign, "note_put"),
        "after the note": (sort_tray.Path, "unlink"),
    }[step]
    with monkeypatch.context() as patched:
        patched.setattr(module, what, killed)
        with pytest.raises(KeyboardInterrupt):
            assign(folder, picture, place)
    placed = step != "before the log"
    now = {each.sha256: each for each in tray(folder).pictures}
    assert len(now) == 2
    assert now[picture.sha256].waiting is not placed
    assert len(tray(folder).waiting) == 2 - placed


def test_an_undo_at_the_bench_puts_the_picture_back_too(folder):
    from edgetest.store.journal import undo_last

    drop(folder, row(2))
    source = open_source(folder)
    picture = read_tray(source).waiting[0]
    assign(folder, picture, places_of(source)[0])
    undo_last(folder)
    waiting = tray(folder).waiting
    assert waiting[0].sha256 == picture.sha256
    Image.open(io.BytesIO(waiting[0].path.read_bytes())).verify()
    assign(folder, waiting[0], as_planned(places_of(open_source(folder)), 1)[0])
    assert len(tray(folder).waiting) == 1


def test_what_shows_no_station_is_laid_aside_and_taken_back(folder):
    drop(folder, row(2))
    first = tray(folder).waiting[0]
    set_aside(folder, first)
    assert first.sha256 not in [each.sha256 for each in tray(folder).waiting]
    undo_act(folder, last_act(open_source(folder)))
    assert len(tray(folder).waiting) == 2
    assert last_act(open_source(folder)) is None


def test_a_line_with_a_name_that_no_disk_holds_is_passed_over(folder):
    drop(folder, [("a.jpg", shot(1))])
    file, kept = folder / sort_tray.TRAY_FILE, names(folder)
    sha = json.loads(file.read_text("utf-8").splitlines()[0])["sha256"]
    lines = [
        {"what": "in", "sha256": "ab" * 32, "name": f"b.{'1' * 400}jpg", "pixels": "c"},
        {"what": "put", "sha256": sha, "photo": "x" * 300 + ".jpg"},
    ]
    with file.open("a", encoding="utf-8") as more:
        more.writelines(json.dumps(line) + "\n" for line in lines)
    assert names(folder) == kept == ["a.jpg"]
