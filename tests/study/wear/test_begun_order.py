"""Rows that were taken back or corrected tell no order; what to do about one is told."""

import json
from types import SimpleNamespace

import pytest

from edgetest.store.history import HISTORY_FILE, Change
from edgetest.study.wear.begun_order import (
    IN_PART,
    NOT_KNOWN,
    ORDER,
    begun_runs,
    order_departed,
    order_mended,
)

A, B = ("r1", "A"), ("r1", "B")


def change(what, run=None, before=None):
    read = {"edge_width_um": "5"}
    cells = [
        None if one is None else {"block": one[0], "blade": one[1], **read} for one in (before, run)
    ]
    return Change(what, "log", 2, *cells, "")


def test_runs_stand_in_the_order_of_their_first_rows():
    record = [change("append", B), change("append", A), change("append", B)]
    assert begun_runs(record, {A, B}) == [B, A]
    assert begun_runs(record, {A}) == [A]


def test_a_remark_on_a_row_of_the_file_begins_no_run():
    row = {"block": "r1", "blade": "A"}
    filled = {**row, "edge_width_um": "5"}
    noted = [
        Change("append", "log", 2, filled, {**filled, "exclude": "touched the clamp"}, ""),
        Change("append", "log", 3, row, {**row, "note": "forgot to read here"}, ""),
    ]
    assert begun_runs([*noted, change("append", B)], {A, B}) == [B]
    back = change("undo", None, A)
    assert begun_runs([noted[0], back, change("append", B)], {A, B}) == [B]
    photographed = Change("append", "log", 3, row, {**row, "photo": "a.jpg"}, "")
    assert begun_runs([photographed, change("append", B)], {A, B}) == [A, B]


def test_a_row_that_was_taken_back_began_nothing():
    record = [
        change("append", B),
        change("undo", None, B),
        change("append", A),
        change("append", B),
    ]
    assert begun_runs(record, {A, B}) == [A, B]


def test_a_row_corrected_to_another_blade_began_that_ones_run():
    record = [change("append", B), change("correct", A, B), change("append", B)]
    assert begun_runs(record, {A, B}) == [A, B]
    taken_back = [change("append", B), change("correct", A, B), change("undo", B, A)]
    assert begun_runs([*taken_back, change("append", A)], {A, B}) == [B, A]


def test_other_tables_tell_nothing():
    assert (
        begun_runs([Change("append", "chops", 2, None, {"block": "r1", "blade": "A"}, "")], {A})
        == []
    )


def at_once(runs):
    """Runs of a log with one row each, at its first stage."""
    return {run: [SimpleNamespace(cuts=0)] for run in runs}


def test_a_run_that_the_file_held_before_its_first_entry_is_not_on_record(tmp_path):
    changes = [vars(change("append", ("r1", blade))) for blade in "BCA"]
    changes[2]["after"] |= {"cuts": "100"}
    (tmp_path / HISTORY_FILE).write_text("".join(json.dumps(one) + "\n" for one in changes))
    study = SimpleNamespace(plan={"order": [["r1", name] for name in "ABC"]}, folder=tmp_path)
    runs = at_once(("r1", name) for name in "ABC")
    (told,) = order_departed(study, runs)
    assert told.done == f"{IN_PART} B (r1); C (r1); not on record: A (r1)"
    late = runs | {("r1", "A"): [SimpleNamespace(cuts=100), SimpleNamespace(cuts=150)]}
    (told,) = order_departed(study, late)
    assert told.done == "begun in this order: B (r1); C (r1); A (r1)"


def test_what_to_do_is_told_of_each_kind_of_departure():
    assert order_mended([{"of": "stages", "done": ""}]) == []
    assert "`edgetest enter`" in "".join(order_mended([{"of": ORDER, "done": NOT_KNOWN}]))
    assert "`edgetest undo`" in "".join(
        order_mended([{"of": ORDER, "done": "begun in this order: B; A"}])
    )


@pytest.mark.parametrize(("begun", "done"), [
    ("AB", f"{IN_PART} A (r1); B (r1); not on record: C (r1)"),
    ("BA", "begun in this order: B (r1); A (r1); not on record: C (r1)"),
    ("A", NOT_KNOWN),
    ("BCA", "begun in this order: B (r1); C (r1); A (r1)"),
])  # fmt: skip
def test_what_the_record_knows_of_some_runs_is_told_of_them(tmp_path, begun, done):
    changes = (vars(change("append", ("r1", blade))) for blade in begun)
    (tmp_path / HISTORY_FILE).write_text("".join(json.dumps(one) + "\n" for one in changes))
    study = SimpleNamespace(plan={"order": [["r1", name] for name in "ABC"]}, folder=tmp_path)
    (told,) = order_departed(study, at_once(("r1", name) for name in "CAB"))
    assert told.done == done
    kept = done.startswith((IN_PART, NOT_KNOWN))
    assert ("`edgetest enter`" in order_mended([told.to_dict()])[0]) == kept


def test_a_run_on_another_roll_than_drawn_is_no_run_out_of_turn(tmp_path):
    """Also where its roll was put right after its first reading was entered."""
    changes = (vars(change("append", ("r1", blade))) for blade in "ABC")
    (tmp_path / HISTORY_FILE).write_text("".join(json.dumps(one) + "\n" for one in changes))
    study = SimpleNamespace(plan={"order": [["r1", name] for name in "ABC"]}, folder=tmp_path)
    (told,) = order_departed(study, at_once([("r1", "A"), ("r1", "B"), ("r2", "C")]))
    assert told.done == (
        "begun in that order, on another roll, board or day than drawn: C on r2, drawn for r1"
    )
    turned = SimpleNamespace(plan={"order": [["r1", name] for name in "ACB"]}, folder=tmp_path)
    (told,) = order_departed(turned, at_once([("r1", "A"), ("r1", "B"), ("r2", "C")]))
    assert told.done == "begun in this order: A (r1); B (r1); C (r2)"
