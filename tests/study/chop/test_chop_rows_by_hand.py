"""Strokes, depths and trials worked by hand from single rows."""

import pytest

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_rows import (
    billets,
    measured_chops,
    severings,
    single_chops,
    strokes,
    strokes_of_edge,
)


class Log:
    def __init__(self, *rows):
        self.rows, self.faults, self.name = rows, (), "chops.csv"

    def of_kind(self, *kinds):
        return [row for row in self.rows if row.kind in kinds and not row.exclude]


def piece(line, chops, blade="A", **more):
    read = None if chops is None else parse_reading(str(chops), "count")
    return ChopRow(line, blade, "billet", chops=read, diameter_mm=40.0, **more)


def chop(line, depth="9", order=None, blade="A", **more):
    return ChopRow(line, blade, "single", order, depth_mm=parse_reading(depth, "mm"), **more)


def test_single_chops_carry_their_number_in_the_run():
    """Chops between two that were measured count; without numbers each is one more."""
    numbered = [chop(2, order=1), chop(3, order=11), chop(4, order=21)]
    assert strokes(numbered) == {2: (0, 1), 3: (10, 11), 4: (20, 21)}
    bare = [chop(2), chop(3), chop(4)]
    assert strokes(bare) == {2: (0, 1), 3: (1, 2), 4: (2, 3)}


def test_a_run_of_chops_that_begins_again_counts_from_there():
    again = [chop(2, order=1), chop(3, order=11), chop(4, order=1), chop(5, order=1)]
    assert strokes(again) == {2: (0, 1), 3: (10, 11), 4: (11, 12), 5: (12, 13)}
    nought = [chop(2, order=5), chop(3, order=0)]
    assert strokes(nought)[3] == (5, 6)


def test_pieces_that_wait_or_were_not_counted_dull_nothing():
    rows = [piece(2, 10), piece(3, None), ChopRow(4, "A", "single"), piece(5, 7)]
    assert strokes(rows) == {2: (0, 10), 3: (10, 10), 4: (10, 10), 5: (10, 17)}


def test_a_touch_up_that_is_set_aside_begins_no_edge():
    rows = [piece(2, 10), ChopRow(3, "A", "touch-up", exclude="none made"), piece(4, 5)]
    assert strokes_of_edge(rows)[4] == (10, 15)
    made = [piece(2, 10), ChopRow(3, "A", "touch-up"), piece(4, 5)]
    assert strokes_of_edge(made)[4] == (0, 5)
    other = [piece(2, 10), ChopRow(3, "B", "touch-up"), piece(4, 5)]
    assert strokes_of_edge(other)[4] == (10, 15)


@pytest.mark.parametrize(
    ("depth", "value", "through"),
    [("9.5", 9.5, False), ("8-10", 9.0, False), (">20", 20.0, True)],
)
def test_a_depth_is_read_as_its_cell_says(depth, value, through):
    (found,) = measured_chops(Log(chop(2, depth)))
    assert (found.depth_mm, found.through) == (value, through)


def test_depths_that_were_not_read_are_none():
    assert measured_chops(Log(chop(2, "<2"), chop(3, ""), ChopRow(4, "A", "single"))) == ()
    assert single_chops((), {}) is None


def test_a_board_or_a_heat_treatment_that_is_not_known_of_all_is_known_of_none():
    named = measured_chops(Log(chop(2, board="a"), chop(3, block="b", blade="B")))
    assert list(single_chops(named, {}).block) == ["a", "b"]
    assert single_chops(named, {}).treatment is None
    assert list(single_chops(named, {"A": "hard"}).treatment) == ["hard", ""]
    bare = measured_chops(Log(chop(2, board="a"), chop(3)))
    assert single_chops(bare, {}).block is None


def test_a_range_of_chops_counts_by_its_middle_and_a_bound_stands():
    found = severings(Log(piece(2, "10-13"), piece(3, ">40"), piece(4, 12)))
    assert [(one.chops, one.severed, one.chops_before) for one in found] == [
        (12.0, True, 0),
        (40.0, False, 12),
        (12.0, True, 52),
    ]


def test_a_piece_is_plain_for_json_with_and_without_its_wood():
    bare, named = (one.to_dict() for one in severings(
        Log(piece(2, 10), piece(3, 10, species="oak, white", moisture_pct=12.0))
    ))  # fmt: skip
    assert (bare["wood"], bare["moisture_pct"], bare["hardness_reckoned"]) == (None, None, None)
    assert (named["wood"], named["moisture_pct"]) == ("white oak", 12.0)
    assert named["side_hardness_n"] > 0
    assert bare["area_cm2"] == pytest.approx(12.566, abs=1e-3)


def test_pieces_are_taken_with_what_is_known_of_all_of_them():
    found = severings(Log(piece(2, 10, board="a", near_misses=1), piece(3, 9, block="b")))
    assert [one.board for one in found] == ["a", "b"]
    taken, doubts = billets(found, {"A": "hard"})
    assert list(taken.treatment) == ["hard", "hard"]
    assert list(taken.board) == ["a", "b"]
    assert taken.near_misses == [1, None]
    assert [(one.code, one.where.row) for one in doubts] == [
        ("wood_unknown", 2), ("wood_unknown", 3), ("near_misses_not_counted", 3),
    ]  # fmt: skip
    assert billets(found, {})[0].treatment is None
    assert billets((), {}) == (None, [])
