"""A picture's place: the log's row as from the bench, clashes refused, everything undone."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import append_reading
from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.photos.sort_assign import assign, assign_all, last_act, undo_act
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import row, shot


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path, readings=[STATION])


def taken(folder, count):
    take_in(open_source(folder), row(count))
    return read_tray(open_source(folder)).waiting


def places(folder):
    return places_of(open_source(folder))


def photos(folder):
    return {
        (row.blade, row.cuts, row.station_mm): row.photo
        for row in open_source(folder).log.rows
        if row.photo
    }


def test_the_log_says_what_it_would_say_from_the_bench(folder, tmp_path):
    (picture,) = taken(folder, 1)
    data, place = picture.path.read_bytes(), places(folder)[3]
    other = bench_study(tmp_path, name="by_bench", readings=[STATION])
    name = assign(folder, picture, place)
    assert save_station_photo(open_source(other), place.action, place.due, data, "x.jpg") == name
    assert (folder / "log.csv").read_bytes() == (other / "log.csv").read_bytes()
    assert (folder / "photos" / name).read_bytes() == data
    assert not list((folder / "unsorted").glob("*.jpg"))


def test_a_photograph_that_is_there_is_never_overwritten_unasked(folder):
    first, second = taken(folder, 2)
    place = places(folder)[0]
    name = assign(folder, first, place)
    with pytest.raises(UnusableInput, match=f"{name} stands there already"):
        assign(folder, second, place)  # as another device still shows it: free
    there = places(folder)[0]
    with pytest.raises(UnusableInput, match="stands there already"):
        assign(folder, second, there)
    new = assign(folder, second, there, instead=True)
    assert photos(folder) == {("K1", 0, 10.0): new}
    assert (folder / "photos" / name).is_file()
    assert read_history(folder)[-1].before["photo"] == name
    undo_act(folder, last_act(open_source(folder)))
    assert photos(folder) == {("K1", 0, 10.0): name}


def test_a_typed_reading_stays_beside_the_photograph(folder):
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 10, "edge_width_um": "4.2"})
    (picture,) = taken(folder, 1)
    assign(folder, picture, places(folder)[0])
    source = open_source(folder)
    assert not source.faults
    held = [row for row in source.log.rows if row.photo]
    assert [(each.blade, each.readings["edge_width_um"].value) for each in held] == [("K1", 4.2)]


def test_a_whole_row_goes_in_order_and_comes_back_with_one_undo(folder):
    before = (folder / "log.csv").read_bytes()
    pictures = taken(folder, 5)
    content = [each.path.read_bytes() for each in pictures]
    assign_all(folder, list(zip(pictures, as_planned(places(folder), 5), strict=True)))
    now = photos(folder)
    assert list(now) == [
        ("K1", 0, 10.0), ("K1", 0, 30.0), ("K2", 0, 10.0), ("K2", 0, 30.0), ("K1", 10, 10.0),
    ]  # fmt: skip
    assert [(folder / "photos" / name).read_bytes() for name in now.values()] == content
    act = last_act(open_source(folder))
    assert act.words() == "5 pictures were given their places"
    undo_act(folder, act)
    assert (folder / "log.csv").read_bytes() == before
    assert [each.sha256 for each in read_tray(open_source(folder)).waiting] == [
        each.sha256 for each in pictures
    ]
    assert not list((folder / "photos").iterdir())


def test_an_undo_is_refused_where_something_came_after(folder):
    first, second = taken(folder, 2)
    assign(folder, first, places(folder)[0])
    shown = last_act(open_source(folder))
    append_reading(folder, {"blade": "K2", "cuts": 0, "station_mm": 10, "edge_width_um": "4.2"})
    with pytest.raises(UnusableInput, match="changed after"):
        undo_act(folder, shown)
    assign(folder, second, places(folder)[1])
    with pytest.raises(UnusableInput, match="something else has been done since"):
        undo_act(folder, shown)


def test_a_picture_with_a_place_gets_no_second_one(folder):
    (picture,) = taken(folder, 1)
    assign(folder, picture, places(folder)[0])
    with pytest.raises(UnusableInput, match="has its place already"):
        assign(folder, picture, places(folder)[1])


def test_pictures_are_sorted_out_of_order(folder):
    first, second = taken(folder, 2)
    free = places(folder)
    assign(folder, first, free[-1])
    assign(folder, second, free[0])
    assert not open_source(folder).faults
    assert set(photos(folder)) == {("K2", 20, 30.0), ("K1", 0, 10.0)}


def test_what_is_no_picture_any_more_is_told(folder):
    (picture,) = taken(folder, 1)
    picture.path.write_bytes(shot(1)[:500])
    with pytest.raises(UnusableInput, match="not the one that was taken in"):
        assign(folder, picture, places(folder)[0])
    assert photos(folder) == {}


def test_a_tap_that_was_sent_twice_counts_once(folder):
    (picture,) = taken(folder, 1)
    place = places(folder)[0]
    assert assign(folder, picture, place) == assign(folder, picture, place)
    assert len(read_history(folder)) == 1


def test_what_was_taken_away_meanwhile_is_told_and_not_put_there_unseen(folder):
    first, second = taken(folder, 2)
    assign(folder, first, places(folder)[0])
    shown = places(folder)[0]
    undo_act(folder, last_act(open_source(folder)))
    with pytest.raises(UnusableInput, match="nothing stands there now"):
        assign(folder, second, shown, instead=True)
