"""The session at the bench: what is next, what is due, what is kept, from what is on disk."""

from dataclasses import replace

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import append_reading
from edgetest.store.workspace import change_study
from edgetest.study.bench.bench_entry import (
    correct_entry,
    entries,
    leave_entry_out,
    measure_one,
    record,
    remark,
    save_station_photo,
    stage_photos,
)
from edgetest.study.bench.change_words import change_words
from edgetest.study.bench.live_standing import standing
from edgetest.study.bench.next_action import next_action, turns, turns_in_order
from edgetest.study.bench.session_file import (
    SESSION_FILE,
    count_taps,
    end_run,
    leave_out,
    read_session,
    undo_tap,
)
from edgetest.study.sources import open_source
from tests.browser.studies import (
    GRADE,
    PAPER,
    bench_study,
    no_edge,
    photograph,
)
from tests.study.bench.taps import count_cuts

K1, K2 = ("", "K1"), ("", "K2")


@pytest.fixture
def folder(tmp_path):
    return bench_study(tmp_path)


def action(folder, run=None):
    return next_action(open_source(folder), run=run)


def due_of(folder, name, run=None):
    return next(due for due in action(folder, run).due if due.name == name)


def test_the_first_action_is_the_fresh_edge_with_every_reading_due(folder):
    first = action(folder)
    assert first.summary() == "Blade K1, read the fresh edge: 6 due"
    assert [due.label for due in first.due] == [
        "Edge width, station 10 mm (µm)",
        "Edge width, station 30 mm (µm)",
        "Thread severing force, check 1 (gf)",
        "Thread severing force, check 2 (gf)",
        "Sharpness grade",
        "Newsprint",
    ]


def test_blades_take_turns_stage_by_stage_in_the_plans_order(folder):
    source = open_source(folder)
    plan = {"order": [["roll 1", "K2"], ["roll 1", "K1"], ["roll 2", "K1"]]}
    change_study(folder, lambda _: source.study.model_copy(update={"plan": plan}))
    met = []
    while (now := action(folder)).kind != "done":
        met.append((now.block, now.blade, now.stage, now.kind))
        if now.kind == "cut":
            count_cuts(folder, now.run, now.to_go, stage=now.stage, read_to=now.read_to)
        else:
            leave_out(folder, now.run, now.stage)
    roll_1 = [("roll 1", blade, 0, "read") for blade in ("K2", "K1")]
    for stage in (10, 20):
        for blade in ("K2", "K1"):
            roll_1 += [("roll 1", blade, stage, "cut"), ("roll 1", blade, stage, "read")]
    assert met[: len(roll_1)] == roll_1
    assert {block for block, *_ in met[len(roll_1) :]} == {"roll 2"}


def test_without_a_plan_every_roll_of_the_log_is_a_run(folder):
    source = open_source(folder)
    change_study(folder, lambda _: source.study.model_copy(update={"plan": None}))
    append_reading(folder, {"blade": "K1", "block": "roll 1", "cuts": 0, "grade": "shaves"})
    append_reading(folder, {"blade": "K1", "block": "roll 2", "cuts": 0, "grade": "shaves"})
    assert turns_in_order(open_source(folder)) == (("roll 1", "K1"), ("roll 2", "K1"), ("", "K2"))


def test_taps_count_up_to_the_stage_and_no_further(folder):
    assert count_cuts(folder, K1, 8, stage=10) == 8
    assert count_cuts(folder, K1, 5, stage=10) == 2
    assert count_cuts(folder, K1, 1, stage=10) == 0
    assert read_session(folder).cuts(K1) == 10
    assert read_session(folder).cuts(K2) == 0


def test_taps_go_on_from_the_cuts_that_the_log_has(folder):
    append_reading(folder, {"blade": "K1", "cuts": 10, "grade": "shaves"})
    leave_out(folder, K1, 10)
    now = action(folder, K1)
    assert (now.stage, now.cuts_done) == (20, 10)
    count_cuts(folder, K1, 1, stage=20, read_to=now.read_to)
    assert action(folder, K1).cuts_done == 11


def test_a_tap_that_arrives_twice_counts_once(folder):
    taps = [("a", 1), ("b", 5)]
    assert count_taps(folder, K1, taps, stage=50) == 6
    assert count_taps(folder, K1, [*taps, ("c", 1)], stage=50) == 1
    undo_tap(folder, K1, shown=read_session(folder).last_tap(K1))
    assert count_taps(folder, K1, [*taps, ("c", 1)], stage=50) == 0
    assert read_session(folder).cuts(K1) == 6


def test_a_tap_that_came_after_the_stage_was_reached_counts_nowhere(folder):
    count_taps(folder, K1, [("a", 10)], stage=10)
    assert count_taps(folder, K1, [("late", 1)], stage=10) == 0
    undo_tap(folder, K1, shown=read_session(folder).last_tap(K1))
    assert count_taps(folder, K1, [("late", 1)], stage=10) == 0
    assert read_session(folder).cuts(K1) == 0


def test_undo_takes_back_tap_by_tap_and_refuses_a_stale_one(folder):
    leave_out(folder, K1, 0)
    count_cuts(folder, K1, 5, stage=50)
    shown = action(folder, K1)
    count_cuts(folder, K1, 10, stage=50)
    with pytest.raises(UnusableInput, match=r"the count is 15 now; it was 5"):
        undo_tap(folder, K1, shown=shown.last_tap)
    undo_tap(folder, K1, shown=read_session(folder).last_tap(K1))
    undo_tap(folder, K1, shown=read_session(folder).last_tap(K1))
    assert read_session(folder).cuts(K1) == 0
    assert read_session(folder).last_tap(K1) is None


def test_a_line_cut_short_by_a_crash_is_no_tap(folder):
    count_cuts(folder, K1, 5, stage=50)
    path = folder / SESSION_FILE
    whole = path.read_bytes()
    for cut in range(1, len(whole) - 1):
        path.write_bytes(whole + whole[:cut])
        assert read_session(folder).cuts(K1) == 5
    path.write_bytes(whole + whole[:30])
    count_cuts(folder, K1, 1, stage=50)
    assert read_session(folder).cuts(K1) == 6


def test_readings_are_asked_for_until_they_are_there(folder):
    for value in ("7.1", "<8"):
        record(folder, action(folder), due_of(folder, "edge_width_um"), value)
    record(folder, action(folder), due_of(folder, "sever_force_gf"), "150")
    record(folder, action(folder), due_of(folder, "sever_force_gf"), "140-160")
    record(folder, action(folder), due_of(folder, "grade"), "shaves")
    record(folder, action(folder), due_of(folder, "paper"), "pass")
    source = open_source(folder)
    assert source.faults == ()
    assert next_action(source).summary() == "Blade K2, read the fresh edge: 6 due"
    kinds = [reading.kind for row in source.log.rows for reading in row.readings.values()]
    assert sorted(kinds) == ["below", "between", "grade", "grade", "number", "number"]


def test_what_is_missing_stays_missing_once_a_later_stage_was_read(folder):
    append_reading(folder, {"blade": "K1", "cuts": 10, "grade": "shaves"})
    assert action(folder, K1).stage == 10


def test_a_reading_whose_column_a_log_under_way_does_not_have_is_not_asked_for(folder):
    (folder / "log.csv").write_text("blade,cuts,grade\nK1,0,shaves\nK2,0,shaves\n")
    assert action(folder).summary() == "Blade K1, cut to 10: 10 to go"


def test_a_reading_that_stands_already_is_refused_with_both_versions(folder):
    now, due = action(folder), due_of(folder, "sever_force_gf")
    assert record(folder, now, due, "150") is not None
    assert record(folder, now, due, "150") is None  # the same page sent twice
    with pytest.raises(UnusableInput, match='says "150" already, "170" was not written'):
        record(folder, now, due, "170")
    assert open_source(folder).faults == ()
    assert len(read_history(folder)) == 1


def test_a_reading_behind_a_later_stage_is_refused_not_logged_out_of_turn(folder):
    now, due = action(folder), due_of(folder, "sever_force_gf")
    append_reading(folder, {"blade": "K1", "cuts": 15, "check_no": 1, "sever_force_gf": 160})
    late = replace(now, stage=12)
    with pytest.raises(ManyFaults, match="cuts fall to 12 after 15"):
        record(folder, late, due, "150")
    assert open_source(folder).faults == ()


def test_a_blade_with_nothing_more_to_read_is_ended_and_taken_up_again(folder):
    end_run(folder, K1)
    assert action(folder).blade == "K2"
    assert [turn.state for turn in turns(open_source(folder))] == ["ended", "read"]
    end_run(folder, K1, ended=False)
    assert action(folder).blade == "K1"


def test_turns_say_where_every_blade_stands(folder):
    leave_out(folder, K1, 0)
    count_cuts(folder, K1, 7, stage=10)
    assert [turn.label() for turn in turns(open_source(folder))] == [
        "K1: 7 of 20 cuts",
        "K2: 0 cuts, readings due",
    ]
    assert turns(open_source(folder))[0].left_out == (0,)
    leave_out(folder, K1, 0, left_out=False)
    assert action(folder).due


def test_a_refused_photograph_is_asked_for_again_and_gives_way(folder):
    source = open_source(folder)
    now, due = next_action(source), due_of(folder, "edge_width_um")
    name = save_station_photo(source, now, due, no_edge(), "DSC1.PNG")
    assert not measure_one(open_source(folder), name).measured
    assert due_of(folder, "edge_width_um") == due
    again = save_station_photo(open_source(folder), action(folder), due, photograph(3), "DSC2.PNG")
    assert measure_one(open_source(folder), again).measured
    assert due_of(folder, "edge_width_um").station_mm == 30
    (photo,) = stage_photos(open_source(folder), K1, 0)
    assert (photo.photo, photo.station_mm) == (again, 10)
    # 3 µm rendered at 0.42 µm a pixel: the truth lies inside a fair interval of the measurement
    width = photo.numbers["width_um"]
    assert width["low"] - 0.1 < 3 < width["high"] + 0.1
    assert read_history(folder)[-1].before["photo"] == name
    assert (folder / "photos" / name).read_bytes() == no_edge()


def test_no_picture_is_no_photograph(folder):
    source = open_source(folder)
    due = due_of(folder, "edge_width_um")
    with pytest.raises(UnusableInput):
        save_station_photo(source, next_action(source), due, b"no picture", "a.png")
    assert read_history(folder) == []


def test_a_mishap_stands_at_the_count_it_happened_at(folder):
    leave_out(folder, K1, 0)
    count_cuts(folder, K1, 7, stage=10)
    remark(folder, action(folder, K1), mishap="hit the board or clamp")
    source = open_source(folder)
    (row,) = [row for row in source.log.rows if row.mishap]
    assert (row.blade, row.cuts, row.mishap) == ("K1", 7, "hit the board or clamp")
    assert source.faults == ()
    assert next_action(source, run=K1).cuts_done == 7  # a remark is no reading


def test_a_correction_keeps_the_old_value_and_refuses_a_stale_one(folder):
    now = action(folder)
    record(folder, now, due_of(folder, "edge_width_um"), "70.1")
    record(folder, now, due_of(folder, "grade"), "shaves")
    shown = {entry.column: entry for entry in entries(open_source(folder), K1)}
    assert next(iter(shown)) == "grade"  # the last that was entered comes first
    correct_entry(folder, shown["edge_width_um"], "7.1")
    with pytest.raises(UnusableInput, match=r'says "7\.1" now; it said "70\.1" when'):
        correct_entry(folder, shown["edge_width_um"], "8")
    source = open_source(folder)
    words = change_words(read_history(folder)[-1], {"K1": "K1"}, source.protocol)
    assert words == "K1, 0 cuts, station 10 mm: corrected edge width 70.1 → 7.1 µm"
    leave_entry_out(folder, shown["grade"], "another hand")
    assert [row.exclude for row in open_source(folder).log.rows if row.exclude] == ["another hand"]


def test_a_blade_past_its_limit_is_called(folder):
    for stage, width in ((0, 3), (10, 9), (20, 14)):
        assert not standing(open_source(folder), K1).past
        for station in (10, 30):
            append_reading(
                folder,
                {"blade": "K1", "cuts": stage, "station_mm": station, "edge_width_um": width},
            )
    stands = standing(open_source(folder), K1)
    assert (stands.past, stands.last, stands.last_stage, stands.limit) == (True, 14, 20, 12)
    assert not standing(open_source(folder), K2).past
    # w² grows by the same amount each cut: sqrt(9 + k n) = 12 with k from 14² - 9 over 20
    assert stands.fit.life.cuts == pytest.approx(20 * (144 - 9) / (196 - 9), rel=0.15)


@pytest.mark.parametrize(("rule", "good", "bad"), [(GRADE, "tears paper", "will not bite"),
                                                   (PAPER, "pass", "fail")])  # fmt: skip
def test_a_limit_on_the_ladder_or_a_failed_check_is_called_too(tmp_path, rule, good, bad):
    folder = bench_study(tmp_path, readings=(rule,), limit=None)
    source = open_source(folder)
    limit = {"limit": "will not bite"} if rule is GRADE else {}
    changed = source.study.to_toml_dict() | {"reading": rule["name"]} | limit
    change_study(folder, lambda _: type(source.study).model_validate(changed))
    record(folder, action(folder), due_of(folder, rule["name"]), good)
    assert not standing(open_source(folder), K1).past
    count_cuts(folder, K1, 10, stage=10)
    record(folder, action(folder, K1), due_of(folder, rule["name"], K1), bad)
    stands = standing(open_source(folder), K1)
    assert (stands.past, stands.last, stands.last_stage) == (True, bad, 10)
