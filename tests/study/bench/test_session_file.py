"""Taps, runs ended and stages let go, from the lines of the session's file alone."""

import json
from datetime import UTC, datetime

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.bench.session_file import (
    SESSION_FILE,
    Session,
    Tap,
    change_roll,
    count_taps,
    end_run,
    leave_out,
    note_fact,
    read_session,
    undo_tap,
)

RUN, OTHER = ("roll 1", "A"), ("roll 1", "B")
NOON = datetime(2026, 1, 5, 12, tzinfo=UTC)


def lines(folder):
    text = (folder / SESSION_FILE).read_text("utf-8")
    return [json.loads(line) for line in text.splitlines()]


def test_a_study_without_a_session_has_an_empty_one(tmp_path):
    empty = read_session(tmp_path)
    assert empty == Session()
    assert (empty.cuts(RUN), empty.missed(RUN), empty.last_tap(RUN)) == (0, 0, None)


def test_taps_go_on_from_one_another_and_keep_their_time(tmp_path):
    assert count_taps(tmp_path, RUN, [("a", 5), ("b", 3, 1)], stage=50, when=NOON) == 8
    session = read_session(tmp_path)
    noon = "2026-01-05T12:00:00.000+00:00"
    assert session.taps[RUN] == (Tap(5, 0, 0, noon), Tap(3, 5, 1, noon))
    assert (session.cuts(RUN), session.missed(RUN), session.cuts(OTHER)) == (8, 1, 0)
    assert session.known == {"a", "b"}
    assert session.last_tap(RUN).cuts == 3


def test_no_tap_counts_past_its_stage_nor_below_nothing(tmp_path):
    assert count_taps(tmp_path, RUN, [("a", 5), ("b", 7, 6), ("c", 1)], stage=10) == 10
    assert read_session(tmp_path).taps[RUN][-1].cuts == 5
    assert read_session(tmp_path).missed(RUN) == 5  # no more missed than counted
    assert lines(tmp_path)[-1]["what"] == "late"
    assert count_taps(tmp_path, RUN, [("d", -3)], stage=20) == 0
    assert read_session(tmp_path).cuts(RUN) == 10


def test_the_count_never_falls_behind_the_log(tmp_path):
    assert count_taps(tmp_path, RUN, [("a", 5)], stage=30, read_to=20) == 5
    assert read_session(tmp_path).cuts(RUN) == 25
    assert count_taps(tmp_path, RUN, [("b", 1)], stage=30, read_to=20) == 1
    assert read_session(tmp_path).cuts(RUN) == 26
    assert count_taps(tmp_path, RUN, [("c", 1)], stage=30, read_to=40) == 0


def test_a_tap_without_a_name_counts_each_time_and_leaves_none(tmp_path):
    assert count_taps(tmp_path, RUN, [("", 2), ("", 2)], stage=30) == 4
    assert read_session(tmp_path).known == frozenset()
    assert count_taps(tmp_path, RUN, [("", 2)], stage=4) == 0
    assert len(lines(tmp_path)) == 2  # one that came late, and has no name, leaves no line


def test_an_undo_takes_back_the_last_tap_that_was_shown(tmp_path):
    count_taps(tmp_path, RUN, [("a", 5), ("b", 3)], stage=30)
    first, last = read_session(tmp_path).taps[RUN]
    with pytest.raises(UnusableInput, match=r"blade A: the count is 8 now; it was 5 when"):
        undo_tap(tmp_path, RUN, shown=first)
    undo_tap(tmp_path, RUN, shown=last)
    assert read_session(tmp_path).taps[RUN] == (first,)
    undo_tap(tmp_path, RUN, shown=first)
    with pytest.raises(UnusableInput, match="the count is 0 now; it was 5"):
        undo_tap(tmp_path, RUN, shown=first)
    with pytest.raises(UnusableInput, match="the count is 0 now; it was 0"):
        undo_tap(tmp_path, RUN, shown=None)


def test_an_undo_of_nothing_in_the_file_takes_nothing_back(tmp_path):
    (tmp_path / SESSION_FILE).write_text(
        json.dumps({"block": "roll 1", "blade": "A", "what": "undo", "cuts": 1, "met": 0}) + "\n"
    )
    assert read_session(tmp_path).cuts(RUN) == 0


def test_runs_are_ended_and_taken_up_again(tmp_path):
    end_run(tmp_path, RUN)
    end_run(tmp_path, OTHER)
    assert read_session(tmp_path).ended == {RUN, OTHER}
    end_run(tmp_path, RUN, ended=False)
    assert read_session(tmp_path).ended == {OTHER}


def test_a_stage_is_let_go_with_its_time_and_asked_for_again(tmp_path):
    leave_out(tmp_path, RUN, 10, when=NOON)
    leave_out(tmp_path, RUN, 20)
    assert read_session(tmp_path).left_out[RUN, 10].startswith("2026-01-05T12:00")
    leave_out(tmp_path, RUN, 10, left_out=False)
    assert list(read_session(tmp_path).left_out) == [(RUN, 20)]
    leave_out(tmp_path, RUN, 10, when=NOON)  # the one let go last stands last
    assert list(read_session(tmp_path).left_out) == [(RUN, 20), (RUN, 10)]


def test_facts_of_a_row_under_way_are_kept_as_said_last(tmp_path):
    note_fact(tmp_path, RUN, "species", " ash ")
    note_fact(tmp_path, RUN, "species", "oak")
    note_fact(tmp_path, RUN, "width_mm", 50)
    assert read_session(tmp_path).facts == {RUN: {"species": "oak", "width_mm": "50"}}


def test_a_line_of_a_roll_that_cannot_be_read_is_skipped(tmp_path):
    change_roll(tmp_path, RUN, "roll 2", 40, read=True)
    odd = [{"from": "forty"}, {"from": None}, {"from": 50, "says": 3}, {"from": float("inf")}, {}]
    with (tmp_path / SESSION_FILE).open("a", encoding="utf-8") as file:
        for entry in odd:
            block, blade = RUN
            whole = {"block": block, "blade": blade, "what": "roll", "says": "x", "read": 1} | entry
            file.write(json.dumps(whole) + "\n")
    session = read_session(tmp_path)
    assert session.rolls == {RUN: {40: ("roll 2", True)}}
    assert session.roll(RUN, 60) == "roll 2"
