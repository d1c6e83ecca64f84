"""The eye's repeatability from pairs of looks, and its doubt in the study's result."""

import json

import pytest

from edgetest.store.journal import undo_last
from edgetest.study.photos.sort_assign import assign_all
from edgetest.study.photos.sort_eye import eye_check, eye_widths, write_widths
from edgetest.study.photos.sort_looks import begin_row, keep_look, open_names, read_looks
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from edgetest.study.wear.study_readings import readings_of_study
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import row


@pytest.fixture
def folder(tmp_path):
    folder = bench_study(tmp_path, readings=[STATION])
    take_in(open_source(folder), row(12))
    source = open_source(folder)
    waiting = read_tray(source).waiting
    assign_all(folder, list(zip(waiting, as_planned(places_of(source), 12), strict=True)))
    return folder


def truth(folder):
    """Width of each photograph as the eye reads it: K2 wears 0.5 µm wider."""
    return {
        each.photo: 4.0 + 0.05 * each.cuts + 0.5 * (each.blade == "K2")
        for each in open_source(folder).log.rows
        if each.photo
    }


def look(folder, shift=0.0, *, seed=1, blind=True, who=""):
    """Look at a whole row; the eye reads `shift` more than it did."""
    begin_row(open_source(folder), seed=seed, who=who, blind=blind)
    widths = truth(folder)
    while (now := read_looks(folder).open_row) is not None:
        wobble = 0.02 * (-1) ** len(now.looks)
        keep_look(folder, now, widths[now.due] + shift + wobble)
    open_names(folder, read_looks(folder).rows[-1])


def codes(folder):
    (folder / "study.toml").write_text(
        'edge_width_from = "log"\n' + (folder / "study.toml").read_text()
    )
    found = readings_of_study(open_source(folder), "edge_width_um", workers=1)
    return {one.code: one.text for one in found.doubts}


def test_below_six_pairs_nothing_is_told_but_how_many_are_wanting(folder):
    look(folder)
    check = eye_check(folder)
    assert (check.found, check.wanting) == (None, 5)
    assert "5 more are needed" in check.lines()[0]


def test_a_second_row_that_reads_wider_is_said_plainly(folder):
    look(folder)
    look(folder, 0.3, seed=2)
    check = eye_check(folder)
    assert len(check.pairs) >= 6
    assert check.found.bias.value == pytest.approx(0.3, abs=0.06)
    assert "wider" in check.lines()[0]
    assert "wider" not in check.lines()[1]


def test_looks_of_two_persons_are_no_pair(folder):
    look(folder, who="A")
    before = len(eye_check(folder).pairs)
    look(folder, seed=2, who="B")
    assert len(eye_check(folder).pairs) == before


def test_widths_go_into_the_log_once_and_can_be_undone(folder):
    look(folder)
    widths = eye_widths(folder)
    assert write_widths(open_source(folder)) == 12
    assert write_widths(open_source(folder)) == 0
    rows = [each for each in open_source(folder).log.rows if each.photo]
    for each in rows:
        value = each.readings["edge_width_um"].value
        assert value == pytest.approx(widths[each.photo][0], abs=0.005)
    undo_last(folder)
    assert sum("edge_width_um" in each.readings for each in open_source(folder).log.rows) == 11


def test_the_result_says_how_many_were_read_blind_and_that_the_eye_is_unchecked(folder):
    look(folder, blind=False)
    write_widths(open_source(folder))
    told = codes(folder)
    assert "12 of the edge widths were read by eye, 0 of them" in told["read_by_eye"]
    assert "look at 5 more pictures" in told["eye_not_checked"]


@pytest.mark.parametrize(("shift", "grave"), [(0.02, False), (0.6, True)])
def test_a_shift_as_large_as_the_difference_travels_into_the_result(folder, shift, grave):
    look(folder)
    look(folder, shift, seed=2)
    write_widths(open_source(folder))
    told = codes(folder)
    assert "12 of the edge widths were read by eye, 12 of them" in told["read_by_eye"]
    assert ("eye_as_large_as_difference" in told) is grave
    if grave:
        assert "wider" in told["eye_as_large_as_difference"]


def test_readings_typed_otherwise_are_not_the_eyes(folder):
    look(folder)
    assert "read_by_eye" not in codes(folder)


def test_the_doubt_reaches_what_the_command_answers(folder, answer):
    look(folder)
    look(folder, 0.6, seed=2)
    write_widths(open_source(folder))
    codes(folder)
    told = answer("compare", folder)
    assert "eye_as_large_as_difference" in json.dumps(told)
