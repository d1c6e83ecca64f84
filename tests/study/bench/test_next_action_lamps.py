"""At the bench W30 is due as the edge width is: by a photograph, in the set-up with the lamps."""

import pytest

from edgetest.store.workspace import change_study
from edgetest.study.bench.bench_entry import measure_one, record, save_station_photo, stage_photos
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.shots import look_at_shot, station_so_far
from edgetest.study.sources import open_source
from tests.benchmarks.pictures.lamp_series import UM_PER_PX
from tests.browser.studies import GRADE, STATION, bench_study, no_edge, photograph

W30 = STATION | {"name": "w30_um", "title": "W30 of the crest", "check": "between two lamps"}
LAMPS = {
    "um_per_px": UM_PER_PX,
    "light": "two sectors",
    "needle": "photos/needle.png",
    "needle_diameter_mm": 0.3,
}


@pytest.fixture
def shot(lamp_series):
    """A picture between the lamps, as its file was."""
    return (lamp_series[0] / "photos" / "S1_100.png").read_bytes()


@pytest.fixture
def folder(tmp_path, lamp_series):
    folder = bench_study(tmp_path, readings=(STATION, W30, GRADE))

    def change(study):
        data = study.to_toml_dict() | {"scales": {"lamps": LAMPS}}
        return type(study).model_validate(data)

    change_study(folder, change)
    (folder / "photos").mkdir(exist_ok=True)
    needle = (lamp_series[0] / "photos" / "needle.png").read_bytes()
    (folder / "photos" / "needle.png").write_bytes(needle)
    return folder


def due(folder, name=None):
    action = next_action(open_source(folder))
    return action, [each for each in action.due if name in (None, each.name)]


def keep(folder, name, data):
    action, (first, *_) = due(folder, name)
    return save_station_photo(open_source(folder), action, first, data, "shot.png")


def places(folder):
    return [(one.name, one.station_mm) for one in due(folder)[1] if one.name != "grade"]


def test_both_views_of_a_station_are_due_each_in_its_set_up(folder):
    _, found = due(folder)
    by = {(one.name, one.by_photo, one.set_up) for one in found}
    assert by == {
        ("edge_width_um", True, ""),
        ("w30_um", True, "lamps"),
        ("grade", False, ""),
    }


def test_a_photograph_between_lamps_answers_w30_alone_and_names_its_set_up(folder, shot):
    name = keep(folder, "w30_um", shot)
    assert ("w30_um", 10.0) not in places(folder)
    assert ("edge_width_um", 10.0) in places(folder)
    (row,) = [row for row in open_source(folder).log.rows if row.photo]
    assert (row.photo, row.scale) == (name, "lamps")
    found = measure_one(open_source(folder), name)
    assert found.between_lamps
    assert found.numbers["w30_um"]["value"] == pytest.approx(20.4, rel=0.05)


def test_both_photographs_of_one_place_stand_in_the_log(folder, shot):
    names = keep(folder, "w30_um", shot), keep(folder, "edge_width_um", photograph(9.0))
    source = open_source(folder)
    assert source.faults == ()
    assert {row.scale for row in source.log.rows if row.photo} == {"lamps", ""}
    assert not {("w30_um", 10.0), ("edge_width_um", 10.0)} & set(places(folder))
    action, _ = due(folder)
    assert stage_photos(source, action.run, action.stage) == ()  # nothing is measured unasked
    for name in names:
        measure_one(source, name)
    both = stage_photos(source, action.run, action.stage)
    assert sorted(photo.between_lamps for photo in both) == [False, True]


def test_a_refused_one_is_due_again_and_gives_way_to_the_next(folder, shot):
    keep(folder, "edge_width_um", photograph(9.0))
    first = keep(folder, "w30_um", no_edge())
    measure_one(open_source(folder), first)
    assert ("w30_um", 10.0) in places(folder)
    assert ("edge_width_um", 10.0) not in places(folder)
    second = keep(folder, "w30_um", shot)
    named = [row.photo for row in open_source(folder).log.rows if row.photo]
    assert second in named
    assert first not in named
    assert len(named) == 2


def test_a_typed_w30_answers_too(folder):
    action, (first, *_) = due(folder, "w30_um")
    record(folder, action, first, "<3")
    assert ("w30_um", 10.0) not in places(folder)


def test_a_shot_between_lamps_is_looked_at_in_its_own_set_up(folder, shot):
    action, (first, *_) = due(folder, "w30_um")
    so_far = station_so_far(open_source(folder), action, first)
    assert so_far.um_per_px == UM_PER_PX
    assert look_at_shot(so_far, shot, "shot.png").check is None
    _, (line, *_) = due(folder, "edge_width_um")
    assert station_so_far(open_source(folder), action, line).worded
