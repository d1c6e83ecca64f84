"""Rows whose own numbers fall down the log are asked about, and doubted."""

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.told_order import asked_of_order, order_doubts
from tests.study.chop.noted_pieces import noted_piece


def row(line, order, blade="T1", **more):
    return noted_piece(line, blade=blade, order=order, **more)


def test_a_tool_whose_numbers_fall_is_asked_about_once_and_doubted():
    rows = [row(2, 1), row(3, 3), row(4, 1, "T2"), row(5, 2), row(6, 1), row(7, 2, "T2")]
    (asked,) = asked_of_order("chops.csv", rows)
    assert str(asked) == (
        "chops.csv, row 5, order: billet 2 of T1 stands below billet 3 of row 3; rows are read as "
        "the order of the work: sort them so, or mend the number"
    )
    (found,) = order_doubts("chops.csv", rows)
    assert (found.code, found.where.row, found.where.blade) == ("chops_out_of_order", 5, "T1")
    assert "billet 2 of T1 stands below billet 3 of row 3" in found.text


@pytest.mark.parametrize("more", [{"board": "b"}, {"block": "b"}, {"kind": "single"}])
def test_another_board_or_kind_may_begin_its_numbers_anew(more):
    rows = [row(2, 5), row(3, 1, **more), row(4, None), row(5, 6), row(6, 9, kind="antler")]
    assert list(order_doubts("chops.csv", [*rows, row(7, 1, kind="antler")])) == []


def dated(line, blade, typed, column="date"):
    return noted_piece(line, blade=blade, **{column: typed})


def asked(*rows, line=None):
    return [str(each) for each in asked_of_order("chops.csv", rows, line)]


@pytest.mark.parametrize(
    ("typed", "column", "said"),
    [
        (("21.11.2026", "22.11.2026", "21.11.2026"), "date", "of 21.11.2026"),
        (("2026-11-21", "22 Nov 2026", "2026-11-21"), "date", "of 2026-11-21"),
        (("day 1", "Day 2", "day 1"), "day", "of day 1"),
        (("1", "2", "1"), "day", "of day 1"),
        (("1", "2", "day 1"), "day", "of day 1"),
    ],
)
def test_a_tool_whose_days_fall_is_asked_about_and_doubted(typed, column, said):
    rows = [dated(line, "T1", day, column) for line, day in enumerate(typed, 2)]
    (found,) = order_doubts("chops.csv", rows)
    assert (found.code, found.where.row) == ("chops_out_of_order", 4)
    (told,) = asked(*rows)
    assert told.startswith(f"chops.csv, row 4, {column}: a row of T1 {said} stands below row 3 of")
    assert told.endswith(f"sort them so, or mend the {column}")


def test_days_that_fall_between_tools_alone_are_asked_about_once():
    rows = [dated(2, "T1", "2026-11-21"), dated(3, "T1", "2026-11-22"),
            dated(4, "T2", "2026-11-21"), dated(5, "T2", "2026-11-22")]  # fmt: skip
    (told,) = asked(*rows)
    assert "row 4, date: a row of T2 of 2026-11-21 stands below row 3 (T1) of 2026-11-22" in told


@pytest.mark.parametrize(
    "days", [("Sat", "Sun", "Sat"), ("03/04/2026", "02/04/2026"), ("a 2", "b 1"), ("", "x", "")]
)
def test_days_that_tell_no_order_are_not_asked_about(days):
    assert not asked(*(dated(line, "T1", day, "day") for line, day in enumerate(days, 2)))


def test_a_row_that_waits_has_no_day_and_one_entered_is_asked_about_alone():
    rows = [
        dated(2, "T1", "2026-11-22"),
        dated(3, "T1", "2026-11-21"),
        dated(4, "T2", "2026-11-22"),
    ]
    assert asked(*rows, line=3)
    assert not asked(*rows, line=4)
    assert not asked(ChopRow(2, "T1", "billet", date="2026-11-22"), rows[1])


def test_a_trial_of_number_0_and_one_without_are_asked_about():
    nails = [row(2, 1), row(3, 2), row(4, 3), row(5, 0, kind="inspection"), row(6, 0, kind="nail")]
    assert asked(*nails) == [
        "chops.csv, row 6, order: nail 0 of T1; numbers begin at 1, and 0 is the look before;"
        " write the number that it has; if it is meant so, leave it"
    ]
    bare = [*nails[:4], row(6, None, kind="nail")]
    assert asked(*bare) == [
        "chops.csv, row 6, order: a nail of T1 without a number, where its other rows have one;"
        " write its number; if it is left out on purpose, leave it"
    ]
    assert asked(*bare, line=3) == []
    assert asked(*bare, line=6) == asked(*bare)


def test_a_log_without_numbers_is_not_asked_for_them():
    assert asked(row(2, None), row(3, None), row(4, None), row(5, 1)) == []
    assert asked(row(2, 1), row(3, None)) == []  # too few to say that the others have one
    assert asked(row(2, 1), row(3, 2), row(4, 3), row(5, None, kind="touch-up")) == []
