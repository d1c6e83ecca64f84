"""The focus checked by second photographs: kept beside the log, measured in the same set-up."""

import pytest

from edgetest.study.photos.sort_assign import assign_all, keep_second, last_act, undo_act
from edgetest.study.photos.sort_focus import focus_check, second_pictures
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import shot


@pytest.fixture
def folder(tmp_path):
    """Six places, each photographed at 5 µm, and again out of focus or wider."""
    folder = bench_study(tmp_path, readings=[STATION])
    files = [(f"a{i}.jpg", shot(i, second=i)) for i in range(6)]
    files += [(f"b{i}.jpg", shot(i + 20, second=i + 20, width_um=6.0)) for i in range(6)]
    take_in(open_source(folder), files)
    source = open_source(folder)
    waiting = read_tray(source).waiting
    assign_all(folder, list(zip(waiting[:6], as_planned(places_of(source), 6), strict=True)))
    return folder


def test_a_second_photograph_is_measured_like_the_first_and_the_log_stays(folder):
    before = (folder / "log.csv").read_bytes()
    places = places_of(open_source(folder))
    for picture, place in zip(read_tray(open_source(folder)).waiting, places[:6], strict=True):
        keep_second(folder, picture, place)
    assert (folder / "log.csv").read_bytes() == before
    assert read_tray(open_source(folder)).waiting == ()
    check = focus_check(open_source(folder), workers=1)
    assert check.found.bias.value == pytest.approx(1.0, abs=0.15)
    assert "second photograph reads" in check.lines()[0]
    assert "the focus moves by" in check.lines()[2]


def test_below_six_it_says_how_many_are_wanting_and_an_undo_brings_the_picture_back(folder):
    picture = read_tray(open_source(folder)).waiting[0]
    keep_second(folder, picture, places_of(open_source(folder))[0])
    assert [each.sha256 for each in second_pictures(open_source(folder))] == [picture.sha256]
    assert "5 more are needed" in focus_check(open_source(folder), workers=1).lines()[0]
    act = last_act(open_source(folder))
    assert act.words() == "a picture was kept as a second one of the same place"
    undo_act(folder, act)
    undo_act(folder, act)  # a tap that was sent twice
    assert second_pictures(open_source(folder)) == ()
    assert len(read_tray(open_source(folder)).waiting) == 6
