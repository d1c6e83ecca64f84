"""Rows that were taken back or corrected tell no order; what to do about one is told."""

from edgetest.store.history import Change
from edgetest.study.wear.begun_order import NOT_KNOWN, ORDER, begun_runs, order_mended

A, B = ("r1", "A"), ("r1", "B")


def change(what, run=None, before=None):
    cells = [None if one is None else {"block": one[0], "blade": one[1]} for one in (before, run)]
    return Change(what, "log", 2, *cells, "")


def test_runs_stand_in_the_order_of_their_first_rows():
    record = [change("append", B), change("append", A), change("append", B)]
    assert begun_runs(record, {A, B}) == [B, A]
    assert begun_runs(record, {A}) == [A]


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


def test_what_to_do_is_told_of_each_kind_of_departure():
    assert order_mended([{"of": "stages", "done": ""}]) == []
    assert "`edgetest enter`" in "".join(order_mended([{"of": ORDER, "done": NOT_KNOWN}]))
    assert "`edgetest undo`" in "".join(
        order_mended([{"of": ORDER, "done": "begun in this order: B; A"}])
    )
