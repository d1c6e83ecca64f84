"""Where pictures can go: in the plan's order, with what stands there already."""

import pytest

from edgetest.store.journal import append_reading
from edgetest.store.workspace import change_study
from edgetest.study.bench.session_file import end_run, leave_out
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, bench_study


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path, readings=[STATION])


def words(folder):
    return [place.words for place in places_of(open_source(folder))]


def test_places_follow_stage_run_order_and_station(folder):
    change_study(
        folder, lambda now: now.model_copy(update={"plan": {"order": [["", "K2"], ["", "K1"]]}})
    )
    assert words(folder)[:5] == [
        "K2 · fresh edge · 10 mm",
        "K2 · fresh edge · 30 mm",
        "K1 · fresh edge · 10 mm",
        "K1 · fresh edge · 30 mm",
        "K2 · 10 cuts · 10 mm",
    ]
    assert len(words(folder)) == 2 * 3 * 2


def test_a_stage_let_go_and_a_run_that_was_ended_ask_for_nothing(folder):
    leave_out(folder, ("", "K1"), 0)
    end_run(folder, ("", "K2"))
    assert words(folder)[0] == "K1 · 10 cuts · 10 mm"
    assert not any(each.startswith("K2") for each in words(folder))


def test_a_typed_reading_is_seen_and_not_called_free(folder):
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 10, "edge_width_um": "<4"})
    first, second = places_of(open_source(folder))[:2]
    assert (first.typed, first.free, second.free) == ("<4", False, True)


def test_the_next_places_follow_the_last_one_given_and_begin_again_at_the_end(folder):
    places = places_of(open_source(folder))
    assert as_planned(places, 2, after=places[4].key) == places[5:7]
    assert as_planned(places, 2, after=places[-1].key) == places[:2]
    assert len(as_planned(places, 99)) == len(places)


def test_a_place_that_is_taken_is_passed_over(folder):
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 30, "edge_width_um": "4"})
    places = places_of(open_source(folder))
    assert as_planned(places, 2) == (places[0], places[2])


def test_a_log_that_is_no_cut_test_has_no_places(tmp_path):
    from edgetest.store.workspace import copy_sample_run

    copy_sample_run("camp_hatchet_study", tmp_path / "chops")
    assert places_of(open_source(tmp_path / "chops")) == ()
