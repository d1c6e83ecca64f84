"""A chop test at the bench: what is next, what is kept, from what is on disk alone."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import undo_last
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import new_study
from edgetest.study.bench.chop_actions import next_chop, waiting_chops
from edgetest.study.bench.chop_entries import (
    add_piece,
    read,
    remark_row,
    sever,
    write_cell,
)
from edgetest.study.bench.session_file import count_taps, leave_out, note_fact, undo_tap
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops, open_source
from tests.chop import codes
from tests.study.bench.taps import count_cuts

PIECE = {"species": "Douglas-fir, coast", "width_mm": "50", "thickness_mm": "50 mm"}


@pytest.fixture
def folder(tmp_path):
    new_study(tmp_path / "chop", "billet_chop", "Two hatchets", blades=("H1", "H2"))
    return tmp_path / "chop"


def now(folder, **wanted):
    return next_chop(open_source(folder), **wanted)


def strike(folder, count, **wanted):
    action = now(folder, **wanted)
    count_cuts(folder, action.run, count, stage=action.stage, read_to=action.read_to)
    return now(folder, **wanted)


def do(folder, work, *rest, **words):
    source = open_source(folder)
    return work(source, next_chop(source), *rest, **words)


def to_the_first_billet(folder):
    for _ in range(2):
        do(folder, read, {"chips_count": "0", "rolls_count": "0"})
    for column, says in PIECE.items():
        note_fact(folder, now(folder).run, column, says)


def test_the_edges_are_looked_at_before_the_first_stroke(folder):
    action = now(folder)
    assert action.summary() == "Blade H1, look at the edge before the test"
    assert [due.name for due in action.due] == ["chips_count", "rolls_count"]
    do(folder, read, {"chips_count": "2", "rolls_count": "0"})
    assert [due.name for due in now(folder).due] == ["largest_chip_mm"]
    do(folder, read, {"largest_chip_mm": "0.4"})
    assert now(folder).row.blade == "H2"


def test_strokes_count_until_the_billet_falls_and_stand_in_the_log(folder):
    to_the_first_billet(folder)
    strike(folder, 5)
    action = strike(folder, 1)
    assert action.summary() == "Blade H1, billet 1: 6 chops"
    undo_tap(folder, action.run, shown=action.last_tap)
    strike(folder, 2)
    count_taps(folder, action.run, [("a", 1, 1), ("b", 1, 1)], stage=action.stage)
    do(folder, sever, severed=True)
    row = next(row for row in open_source(folder).chops.rows if row.line == action.row.line)
    assert (row.chops.value, row.near_misses, row.species) == (9, 2, PIECE["species"])
    assert (row.width_mm, row.thickness_mm) == (50, 50)
    assert now(folder).summary() == "Blade H1, look at the edge after billet 1"
    do(folder, read, {"chips_count": "0"})
    assert now(folder).summary() == "Blade H2, billet 1: 0 chops"  # the tools take turns
    assert dict(now(folder).facts)["width_mm"] == "50"  # as on the last piece
    assert [change.table for change in read_history(folder)] == ["chops"] * 4


def test_a_billet_that_still_stands_is_a_bound(folder):
    to_the_first_billet(folder)
    line = strike(folder, 40).row.line
    do(folder, sever, severed=False)
    row = next(row for row in open_source(folder).chops.rows if row.line == line)
    assert (row.chops.kind, row.chops.lower) == ("above", 40)
    undo_last(folder, table="chops")
    assert now(folder).summary() == "Blade H1, billet 1: 40 chops"


def test_what_cannot_be_written_is_told_and_nothing_is_lost(folder):
    for _ in range(2):
        do(folder, read, {"chips_count": "0", "rolls_count": "0"})
    with pytest.raises(UnusableInput, match="no stroke was counted"):
        do(folder, sever, severed=True)
    strike(folder, 12)
    with pytest.raises(UnusableInput, match="without its cross-section"):
        do(folder, sever, severed=True)
    assert now(folder).strokes == 12


def test_two_devices_that_finish_one_piece_are_told_of_each_other(folder):
    to_the_first_billet(folder)
    strike(folder, 9)
    source = open_source(folder)
    shown = next_chop(source)
    do(folder, sever, severed=True)
    with pytest.raises(UnusableInput, match='chops says "9" already, ">9" was not written'):
        sever(source, shown, severed=False)


def test_a_note_stands_in_its_row_and_does_not_hinder_what_comes_after(folder):
    to_the_first_billet(folder)
    strike(folder, 9)
    do(folder, remark_row, note="wet wood")
    do(folder, remark_row, note="a knot near the end")
    do(folder, remark_row, mishap="hit the clamp or the block")
    do(folder, sever, severed=True)
    row = open_source(folder).chops.of_kind("billet")[0]
    assert row.note == "wet wood; a knot near the end"
    assert row.mishap == "hit the clamp or the block"


def test_a_row_can_be_let_go_taken_out_of_turn_and_made_anew(folder):
    first, *_, last = waiting_chops(open_source(folder))
    assert now(folder, line=last.line).row.kind == "shave"
    leave_out(folder, now(folder).run, first.order or 0)
    assert now(folder).row.blade == "H2"
    add_piece(open_source(folder), "H2", "billet")
    (added,) = [row for row in waiting_chops(open_source(folder)) if row.order == 4]
    assert (added.blade, added.kind) == ("H2", "billet")


def chop(folder, strokes, line=None, **facts):
    """Sever the piece that is in turn, or that of one row; its facts as noted."""
    action = now(folder, line=line)
    for column, says in facts.items():
        note_fact(folder, action.run, column, says)
    strike(folder, strokes, line=line)
    source = open_source(folder)
    sever(source, next_chop(source, line=line), severed=True)


def work(folder):
    """What was done and what waits, down the rows."""
    return [
        f"{row.blade} {row.kind} {row.order or ''}{'' if row.waiting else ' done'}"
        for row in open_source(folder).chops.rows if row.kind in ("billet", "touch-up")
    ]  # fmt: skip


def test_one_more_of_a_piece_stands_where_it_was_chopped_and_its_edge_is_looked_at(folder):
    to_the_first_billet(folder)
    first = now(folder).row.blade
    chop(folder, 9)
    do(folder, read, {"chips_count": "0"})
    add_piece(open_source(folder), first, "billet")
    (added,) = [row for row in waiting_chops(open_source(folder)) if row.order == 4]
    chop(folder, 8, line=added.line, width_mm="44")
    assert work(folder)[:2] == [f"{first} billet 1 done", f"{first} billet 4 done"]
    look = now(folder)
    assert (look.kind, look.row.order, look.due[0].name) == ("read", 4, "chips_count")
    do(folder, read, {"chips_count": "0"})
    assert dict(now(folder).facts)["width_mm"] == "44"
    closing = [row for row in waiting_chops(open_source(folder)) if row.kind == "inspection"]
    assert {row.blade for row in closing} == {"H1", "H2"}


def test_a_planned_piece_that_is_taken_first_stands_first_and_can_be_taken_back(folder):
    to_the_first_billet(folder)
    first = now(folder).row.blade
    chop(folder, 9)
    do(folder, read, {"chips_count": "0"})
    third = next(
        row for row in waiting_chops(open_source(folder)) if (row.blade, row.order) == (first, 3)
    )
    before = work(folder)
    chop(folder, 7, line=third.line)
    assert work(folder)[:2] == [f"{first} billet 1 done", f"{first} billet 3 done"]
    undo_last(folder, table="chops")
    assert work(folder) == before


def test_a_touch_up_at_the_bench_stands_between_what_was_chopped_and_what_waits(folder):
    to_the_first_billet(folder)
    first = now(folder).row.blade
    chop(folder, 9)
    do(folder, read, {"chips_count": "0"})
    add_piece(open_source(folder), first, "touch-up")
    own = [words for words in work(folder) if words.startswith(first)]
    assert own[0].endswith("billet 1 done")
    assert own[1].startswith(f"{first} touch-up")
    assert own[2] == f"{first} billet 2"


def test_a_whole_session_gives_the_figures(folder):
    rules = load_protocol("billet_chop")
    blade, strokes = "", 0
    to_the_first_billet(folder)
    while (action := now(folder)).kind != "done":
        if action.kind == "strokes":
            blade = action.row.blade
            strokes = 8 if blade == "H1" else 11
            strike(folder, strokes)
            do(folder, sever, severed=True)
        else:
            usual = {"result": "pass"}
            do(folder, read, {due.name: usual.get(due.name, "0") for due in action.due})
    result = analyse_chops(open_chops(folder))
    assert len(result.pieces) == 2 * len(rules.stages)
    assert {(p.blade, p.chops) for p in result.pieces} == {("H1", 8.0), ("H2", 11.0)}
    assert result.design == "in_turn"
    assert "no_look_before" not in codes(result)


def test_single_chops_are_counted_through_to_the_one_that_is_measured(tmp_path):
    folder = tmp_path / "single"
    new_study(folder, "single_chop", "One chop in turn", blades=("H1",))
    do(folder, read, {"chips_count": "0", "rolls_count": "0"})
    for order in (1, 2, 3, 4, 5):
        assert now(folder).summary() == f"Blade H1, chop to number {order}: 1 to go"
        strike(folder, 1)
        assert now(folder).summary() == f"Blade H1, measure chop {order}"
        do(folder, read, {"depth_mm": str(14 - order / 10), "board": "pine 1"})
    assert now(folder).summary() == "Blade H1, chop to number 10: 5 to go"
    strike(folder, 50)  # a slip of the thumb does not run past the chop that is measured
    assert now(folder).summary() == "Blade H1, measure chop 10"


def test_any_column_goes_into_the_row_under_way_and_a_touch_up_is_done_when_it_is_added(folder):
    to_the_first_billet(folder)
    note_fact(folder, now(folder).run, "orientation", "on edge")
    strike(folder, 9)
    do(folder, sever, severed=True)
    do(folder, write_cell, "rolls_count", "2")
    add_piece(open_source(folder), "H1", "touch-up")
    rows = open_chops(folder).chops.rows
    billet = next(row for row in rows if row.chops is not None)
    assert (billet.orientation, billet.rolls_count) == ("on edge", 2)
    (touched,) = [row for row in rows if row.kind == "touch-up"]
    assert touched.line == billet.line + 1
    assert touched.line not in [row.line for row in waiting_chops(open_source(folder))]


def test_what_was_weighed_or_counted_on_one_piece_is_not_taken_for_the_next(folder):
    to_the_first_billet(folder)
    note_fact(folder, now(folder).run, "mass_g", "551")
    strike(folder, 9)
    do(folder, sever, severed=True)
    do(folder, read, {"chips_count": "0"})
    facts = dict(now(folder).facts)
    assert (facts["mass_g"], facts["width_mm"]) == ("", "50")


LOOK_HEAD = "blade,kind,order,species,moisture_pct,diameter_mm,board,chops,chips_count,rolls_count"
WOOD = "white ash,12,50"


@pytest.mark.parametrize(
    ("rows", "waiting"),
    [
        # The edge went on: its looks are past; the last piece may still be looked at.
        (["H1,inspection,0,,,,,,,", f"H1,billet,1,{WOOD},a,9,,", f"H1,billet,2,{WOOD},b,8,1,",
          f"H1,billet,3,{WOOD},c,8,,", "H2,inspection,0,,,,,,,"], [5, 6]),
        # Looked at in a row of its own, whatever its number; another tool's row is no such look.
        ([f"H1,billet,4,{WOOD},a,9,,", f"H2,billet,4,{WOOD},a,9,,", "H1,inspection,1,,,,,,0,0"],
         [3]),
        # Shaving leaves the edge as it was, a touch-up does not.
        ([f"H1,billet,1,{WOOD},a,9,,", f"H2,billet,1,{WOOD},a,9,,", "H1,shave,1,,,,,,,",
          "H2,touch-up,1,,,,,,,"], [2, 4]),
        # A later row that waits is neither.
        ([f"H1,billet,1,{WOOD},a,9,,", f"H1,billet,2,{WOOD},b,,,", "H1,inspection,1,,,,,,,"],
         [2, 3, 4]),
    ],
)  # fmt: skip
def test_a_look_that_was_made_since_or_is_too_late_is_not_asked_for(folder, rows, waiting):
    (folder / "chops.csv").write_text("\n".join([LOOK_HEAD, *rows]) + "\n", encoding="utf-8")
    assert [row.line for row in waiting_chops(open_source(folder))] == waiting
