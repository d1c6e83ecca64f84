"""A shot of a station is looked at without a trace on disk, beside the last one kept of it."""

import cv2
import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.store.journal import append_reading
from edgetest.store.workspace import change_study
from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps, leave_out
from edgetest.study.bench.shots import look_at_frame, look_at_shot, station_so_far
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, UM_PER_PX, bench_study, no_edge, photograph


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path, blades=("K1",), stations=(10.0, 30.0), readings=(STATION,))


def due_now(folder, station=10.0):
    source = open_source(folder)
    action = next_action(source)
    return source, action, next(due for due in action.due if due.station_mm == station)


def files(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def at_the_next_stage(folder, data):
    """The fresh edge's picture of station 10 kept, ten cuts counted."""
    source, action, due = due_now(folder)
    name = save_station_photo(source, action, due, data, "a.png")
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 30, "edge_width_um": 3})
    leave_out(folder, ("", "K1"), 0)
    count_taps(folder, ("", "K1"), [("t", 10)], stage=10, read_to=0)
    return name


def test_a_first_shot_has_nothing_before_it_and_leaves_no_trace(folder):
    before = files(folder)
    shot = look_at_shot(station_so_far(*due_now(folder)), photograph(8.0), "new.png")
    assert shot.check.good
    assert shot.check.width_px == pytest.approx(8.0 / UM_PER_PX, rel=0.1)
    assert (shot.last, shot.place) == (None, None)
    assert (shot.width_px, shot.height_px) == (480, 240)
    assert shot.jpeg[:2] == b"\xff\xd8"
    assert files(folder) == before


def test_the_last_picture_of_the_same_station_stands_beside_it(folder):
    at_the_next_stage(folder, photograph(8.0))
    source, action, due = due_now(folder)
    assert action.stage == 10
    known = station_so_far(source, action, due)
    shot = look_at_shot(known, photograph(14.0, blur_px=2.6), "new.png")
    assert (shot.last.name, shot.last.cuts) == ("K1_0000_010.png", 0)
    assert shot.place.um_per_px == UM_PER_PX
    assert "shot_softer" in codes(shot.check.doubts)
    other = next(each for each in action.due if each.station_mm == 30)
    assert station_so_far(source, action, other).last is None


def test_a_last_picture_that_is_gone_or_of_another_size_is_no_fault(folder):
    name = at_the_next_stage(folder, photograph(8.0))
    path = folder / "photos" / name
    path.write_bytes(path.read_bytes()[:200])
    assert look_at_shot(station_so_far(*due_now(folder)), photograph(8.0), "new.png").last is None
    cv2.imwrite(str(path), np.full((100, 100), 60, np.uint8))
    place = look_at_shot(station_so_far(*due_now(folder)), photograph(8.0), "new.png").place
    assert codes(place.doubts) == ("place_size",)


def test_no_picture_is_told_and_no_edge_too(folder):
    with pytest.raises(UnusableInput, match="not a picture"):
        look_at_shot(station_so_far(*due_now(folder)), b"words", "new.png")
    shot = look_at_shot(station_so_far(*due_now(folder)), no_edge(), "new.png")
    assert codes(shot.check.doubts) == ("shot_no_edge",)


def test_in_light_that_shows_two_lines_there_are_no_words_for_one(folder):
    def lit(values):
        values["scale"]["light"] = "two sectors"
        return values

    study = open_source(folder).study
    change_study(folder, lambda _: type(study).model_validate(lit(study.to_toml_dict())))
    assert look_at_shot(station_so_far(*due_now(folder)), photograph(8.0), "new.png").check is None


def test_a_reduced_frame_is_told_in_pixels_of_the_whole(folder):
    at_the_next_stage(folder, photograph(16.0, blur_px=2.0))
    known = station_so_far(*due_now(folder))
    whole = cv2.imdecode(np.frombuffer(photograph(16.0, blur_px=2.0), np.uint8), cv2.IMREAD_COLOR)
    moved = cv2.copyMakeBorder(whole[:, :-40], 0, 0, 40, 0, cv2.BORDER_REFLECT)
    small = cv2.resize(moved, (240, 120), interpolation=cv2.INTER_AREA)
    jpeg = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, 92])[1].tobytes()
    before = files(folder)
    look = look_at_frame(known, jpeg, (480, 240))
    assert files(folder) == before
    taken = look_at_shot(known, cv2.imencode(".png", moved)[1].tobytes(), "new.png")
    assert codes(look.check.doubts) == codes(taken.check.doubts) == ()
    assert look.check.width_px == pytest.approx(taken.check.width_px, rel=0.05)
    assert look.check.blur_px == pytest.approx(taken.check.blur_px, rel=0.3)
    assert look.place.right_px == pytest.approx(40, abs=look.place.step_px)
    other = look_at_frame(known, jpeg, (640, 320))  # another resolution than the last picture's
    assert codes(other.place.doubts) == ("place_size",)
