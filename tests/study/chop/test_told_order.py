"""Rows whose own numbers fall down the log are asked about, and doubted."""

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.told_order import asked_of_order, order_doubts


def row(line, order, blade="T1", kind="billet", **more):
    return ChopRow(line, blade, kind, order=order, **more)


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
