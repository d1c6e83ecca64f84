"""Damage that stands with an edge after each row, worked by hand."""

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.edge_damage import (
    EdgeDamage,
    asked_of_stopped,
    damage_by_row,
    falls,
    looks_kept,
    stopped_counting,
    touch_ups,
)


def row(line, chips=None, kind="inspection", **more):
    return ChopRow(line, "A", kind, chips_count=chips, **more)


def test_the_worst_stands_with_the_row_after_which_it_came():
    damage = damage_by_row([row(2, 1), row(3, 3, "single"), row(4, 3), row(5, 2)])
    assert [damage[line].worst("chips") for line in (2, 3, 4, 5)] == [1, 3, 3, 3]
    assert damage[5].came_after("chips") == 3
    assert damage[5].came_after("rolls") is None
    assert damage[5].worst("rolls") is None
    assert damage[5].new("chips") == 2
    assert damage[5].new("rolls") is None


def test_several_looks_at_a_fresh_edge_count_as_the_worst_of_them():
    damage = damage_by_row([row(2, 2), row(3, 1), row(4, 3, "single")])
    assert damage[4].new("chips") == 1


def test_a_look_that_is_set_aside_says_nothing():
    damage = damage_by_row([row(2, 5, exclude="slip"), row(3, 1)])
    assert damage[2] == EdgeDamage()
    assert damage[3].worst("chips") == 1


def test_strokes_are_left_out_and_damage_stays():
    """Of a piece the strokes are left out; what was seen of the edge after it counts."""
    rows = [row(2, 1), row(3, 1, "billet"), row(4, 3, "billet", exclude="lost count"), row(5, 3)]
    assert damage_by_row(rows)[4].new("chips") == 2
    (one,) = looks_kept(rows)
    assert (one.code, one.where.row) == ("look_kept", 4)
    assert one.text.startswith(
        "2 new chips first seen at a piece that is left out (lost count) count all the same:"
    )
    assert list(looks_kept([*rows[:2], row(4, 1, "billet", exclude="lost count")])) == []
    assert list(looks_kept([row(2, 0), row(3, 4, exclude="slip")])) == []
    stoned = [row(2, 1), ChopRow(3, "A", "touch-up", chips_count=0, exclude="none made")]
    assert damage_by_row(stoned)[3].worst("chips") == 1
    assert list(falls(stoned)) == []


def test_a_row_that_waits_is_no_work_yet():
    damage = damage_by_row([row(2, None, "billet"), row(3, 2)])
    assert damage[3].new("chips") == 0


def test_a_touch_up_keeps_what_was_new_and_counts_edges():
    rows = [
        row(2, 1), row(3, 3, "single"), ChopRow(4, "A", "touch-up"), row(5, 1),
        row(6, 2, "single"), ChopRow(7, "A", "touch-up"), row(8, 0),
    ]  # fmt: skip
    damage = damage_by_row(rows)
    assert [damage[line].edge for line in (3, 4, 7)] == [1, 2, 3]
    assert damage[4].worst("chips") is None
    assert damage[4].new("chips") == 2  # of the first edge
    assert damage[6].new("chips") == 3
    assert damage[8].new("chips") == 3
    assert damage[8].to_dict() == {"edge": 3, "chips": {"worst": 0, "row": 8, "new_in_all": 3}}
    aside = damage_by_row([row(2, 3), ChopRow(3, "A", "touch-up", exclude="none made")])
    assert aside[3].edge == 1


def test_a_fall_is_asked_about_once_an_edge_and_kind():
    rows = [row(2, 3), row(3, 2), row(4, 1), row(5, 3), ChopRow(6, "A", "touch-up"), row(7, 1),
            row(8, 0), row(9, 0, exclude="slip")]  # fmt: skip
    assert [(one.where.row, one.where.blade) for one in falls(rows)] == [(3, "A"), (8, "A")]
    (one,) = list(falls(rows[:3]))
    assert "chips, 3 before and 2 now" in one.text
    assert list(falls([row(2, 3), row(3, 3), row(4, 4)])) == []


def test_touch_ups_are_told_with_the_strokes_before_them():
    rows = [ChopRow(4, "A", "touch-up", note="stone"), ChopRow(5, "A", "touch-up", exclude="none"),
            ChopRow(6, "A", "touch-up"), row(7)]  # fmt: skip
    made = {4: (20, 21), 5: (20, 20), 6: (30, 30), 7: (30, 30)}
    assert [(one["row"], one["chops"], one["note"]) for one in touch_ups(rows, made)] == [
        (4, 20, "stone"), (6, 30, None),
    ]  # fmt: skip


def maybe_old(*rows):
    (*_, last) = damage_by_row(rows).values()
    return last.new("chips"), last.maybe_old("chips")


def test_without_a_look_below_a_touch_up_as_many_as_stood_may_be_the_old_ones():
    first = (row(2, 0), row(3, 1, "single"), ChopRow(4, "A", "touch-up"))
    assert maybe_old(*first, row(5, 2, "single")) == (3, 1)
    assert maybe_old(*first, row(5, 1), row(6, 2, "single")) == (2, 0)  # looked at
    assert maybe_old(*first, row(5, 0, "single"), row(6, 2, "single")) == (3, 0)  # none was left
    again = (*first, row(5, 2, "single"), ChopRow(6, "A", "touch-up"), row(7, 0))
    assert maybe_old(*again) == (3, 1)
    assert maybe_old(row(2, 0), row(3, 4, "single")) == (4, 0)


def test_without_a_look_before_the_work_no_more_is_older_than_the_first_look_counts():
    assert maybe_old(row(2, 2, "single"), row(3, 3, "single")) == (3, 2)
    assert maybe_old(row(2, 0, "single"), row(3, 3, "single")) == (3, 0)
    assert maybe_old(row(2, 1), row(3, 3, "single")) == (2, 0)  # looked at


def test_a_kind_that_was_no_longer_counted_is_told_with_the_strokes_since():
    def piece(line, strokes, **more):
        return ChopRow(line, "A", "billet", chops=parse_reading(strokes, "count"), **more)

    rows = [piece(2, "11", chips_count=0, rolls_count=0), piece(3, "12", chips_count=0),
            piece(4, "5")]  # fmt: skip
    (one,) = stopped_counting(rows)
    assert one.text.startswith(
        "Rolls of A were last counted after 11 chops, the other kind after 23: "
    )
    assert list(stopped_counting([*rows, piece(5, "1", chips_count=0, rolls_count=0)])) == []
    assert list(stopped_counting([piece(2, "11", chips_count=0)])) == []  # rolls never


def test_the_first_look_that_leaves_a_kind_blank_is_asked_about():
    def look(line, chips, rolls):
        chops = parse_reading("5", "count")
        return ChopRow(line, "A", "billet", chops=chops, chips_count=chips, rolls_count=rolls)

    rows = [look(2, 0, 0), look(3, 0, None), look(4, 0, None)]
    (one,) = map(str, asked_of_stopped("chops.csv", rows))
    assert one.startswith("chops.csv, row 3, rolls_count: blank, and rolls of A were counted in")
    assert list(asked_of_stopped("chops.csv", [*rows, look(5, 0, 1)])) == []
    assert list(asked_of_stopped("chops.csv", [look(2, 0, None), look(3, None, None)])) == []
