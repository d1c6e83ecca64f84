"""A photograph that only its scale keeps from being measured is not asked for again."""

from edgetest.store.workspace import change_study
from edgetest.study.bench.bench_entry import measure_one, save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.scale_first import type_widths
from edgetest.study.sources import open_source
from tests.browser.studies import bench_study, no_edge, photograph


def first_width(folder):
    action = next_action(open_source(folder))
    return action, next(due for due in action.due if due.name == "edge_width_um")


def kept(folder, picture):
    """A picture kept and measured: its result, and the station that is asked for next."""
    action, due = first_width(folder)
    name = save_station_photo(open_source(folder), action, due, picture, "DSC1.PNG")
    return measure_one(open_source(folder), name), first_width(folder)[1].station_mm


def test_without_a_scale_the_next_station_is_asked_for(tmp_path):
    folder = bench_study(tmp_path)
    scale = open_source(folder).study.scale
    change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    found, station = kept(folder, photograph(3))
    assert found.wants_scale
    assert not found.measured
    assert station == 30
    assert "page Photographs" in found.summary()
    assert "photograph it again" not in found.summary().lower()
    change_study(folder, lambda now: now.model_copy(update={"scale": scale}))
    assert measure_one(open_source(folder), found.photo).measured


def test_typed_widths_are_asked_for_as_numbers_and_not_as_photographs(tmp_path):
    folder = bench_study(tmp_path)
    assert first_width(folder)[1].by_photo
    change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    type_widths(open_source(folder))
    due = first_width(folder)[1]
    assert (due.by_photo, due.check) == (False, "")


def test_what_shows_no_edge_is_asked_for_again(tmp_path):
    found, station = kept(bench_study(tmp_path), no_edge())
    assert not found.wants_scale
    assert station == 10
