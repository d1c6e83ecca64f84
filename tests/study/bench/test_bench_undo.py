"""The one undo of the bench: it takes back the latest thing, and says which that is."""

from datetime import UTC, datetime, timedelta

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.journal import append_reading
from edgetest.study.bench.bench_undo import last_done, take_back
from edgetest.study.bench.live_standing import standing
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps, leave_out, read_session
from edgetest.study.sources import open_source
from tests.browser.studies import FORCE, STATION, bench_study, photograph
from tests.study.bench.taps import count_cuts

K1, K2 = ("", "K1"), ("", "K2")
START = datetime(2026, 1, 5, 9, tzinfo=UTC)


def at(seconds):
    return START + timedelta(seconds=seconds)


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path, readings=(FORCE | {"repeats": 1},), stages=(0, 10))


def last(folder, run=None):
    source = open_source(folder)
    return last_done(source, next_action(source, run=run))


def read_of(folder, blade, cuts, force, when):
    row = {"blade": blade, "cuts": cuts, "sever_force_gf": force}
    append_reading(folder, row, when=when)


def test_nothing_done_is_nothing_to_take_back(folder):
    assert last(folder) is None


def test_the_latest_of_tap_reading_and_stage_let_go_is_named_and_then_the_one_before(folder):
    read_of(folder, "K1", 0, 150, at(0))
    leave_out(folder, K2, 0, when=at(0.25))  # within the same second
    count_cuts(folder, K1, 5, stage=10, when=at(0.5))
    assert last(folder).words == "+5 cuts"
    take_back(folder, last(folder))
    assert read_session(folder).cuts(K1) == 0
    assert last(folder).words == "K2, 0 cuts: let go"
    take_back(folder, last(folder))
    assert next_action(open_source(folder)).summary() == "Blade K2, read the fresh edge: 1 due"
    assert last(folder).words == "K1, 0 cuts: saved thread severing force 150 gf"
    take_back(folder, last(folder))
    assert last(folder) is None
    assert next_action(open_source(folder)).summary() == "Blade K1, read the fresh edge: 1 due"


def test_a_reading_after_the_tap_comes_first_and_keeps_the_tap_under_it(folder):
    leave_out(folder, K1, 0, when=at(0))
    leave_out(folder, K2, 0, when=at(1))
    count_cuts(folder, K1, 10, stage=10, when=at(2))
    read_of(folder, "K1", 10, 170, at(3))
    assert last(folder, K1).words == "K1, 10 cuts: saved thread severing force 170 gf"
    take_back(folder, last(folder, K1))
    assert last(folder, K1).words == "+10 cuts"


def test_taps_of_another_blade_are_not_this_one_s_to_take_back(folder):
    leave_out(folder, K1, 0, when=at(0))
    leave_out(folder, K2, 0, when=at(1))
    count_cuts(folder, K2, 3, stage=10, when=at(2))
    assert last(folder, K1).words == "K2, 0 cuts: let go"
    assert last(folder, K2).words == "+3 cuts"


def test_what_another_device_did_meanwhile_refuses_the_undo(folder):
    leave_out(folder, K1, 0, when=at(0))
    leave_out(folder, K2, 0, when=at(1))
    count_cuts(folder, K1, 3, stage=10, when=at(2))
    shown = last(folder, K1)
    count_cuts(folder, K1, 1, stage=10, when=at(3))
    with pytest.raises(UnusableInput, match="the count is 4 now; it was 3"):
        take_back(folder, shown)


def test_a_missed_stroke_is_one_tap_and_goes_with_it(folder):
    count_taps(folder, K1, [("a", 1), ("b", 1, 1), ("b", 1, 1), ("c", 5, 0)], stage=100)
    assert (read_session(folder).cuts(K1), read_session(folder).missed(K1)) == (7, 1)
    count_taps(folder, K1, [("d", 1, 1)], stage=7)  # the stage was reached: it counts nowhere
    assert (read_session(folder).cuts(K1), read_session(folder).missed(K1)) == (7, 1)


def test_a_blade_s_standing_measures_no_photograph(tmp_path):
    from edgetest.study.bench.bench_entry import measure_one, save_station_photo, waiting_photos

    folder = bench_study(
        tmp_path, blades=("K1",), stations=(10.0,), readings=(STATION,), stages=(0, 10)
    )
    source = open_source(folder)
    action = next_action(source)
    name = save_station_photo(source, action, action.due[0], photograph(8.0), "a.png")
    source = open_source(folder)
    assert standing(source, K1).last is None
    assert not (folder / "measured.csv").exists()
    assert [task.path.name for task in waiting_photos(source, K1)] == [name]
    measure_one(source, name)
    assert standing(source, K1).last == pytest.approx(8.0, rel=0.1)
    assert waiting_photos(source, K1) == []
