"""What touch-ups took off an edge is told where somebody looked, and what is on it now."""

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.touched_off import touched_off, touched_up_after


def chips(*looks):
    """What touch-ups took, what is there and the most there was, from looks, work and stones."""
    rows = []
    for line, each in enumerate(looks, 2):
        if each == "stone":
            rows.append(ChopRow(line, "H1", "touch-up"))
        elif each == "work":
            rows.append(ChopRow(line, "H1", "billet", chops=parse_strokes("20")))
        else:
            rows.append(ChopRow(line, "H1", "inspection", chips_count=each))
    found = touched_off(rows, "H1")[0]
    return found.taken, found.now, found.most


@pytest.mark.parametrize(
    ("looks", "told"),
    [
        ((0, "work", 2), (0, 2, 2)),
        ((1, "work", 2, "stone", 1, "work", 2), (1, 2, 2)),
        ((0, "work", 2, "stone", "work", 0), (2, 0, 2)),
        ((0, "work", 2, "stone", "work", 1), (None, 1, 2)),
        ((0, "work", 0, "stone", "work", 1), (0, 1, 1)),
        ((0, "work", 2, "stone", 0, "work", 1, "stone", 0), (3, 0, 2)),
        ((0, "work", 2, "stone"), (None, None, 2)),
        (("work", "stone", 0), (None, 0, 0)),
        ((0, "work", 2, "stone", "stone", 0, "work", 1), (2, 1, 2)),
        ((0, "work", 2, "stone", "work", "stone", 0), (None, 0, 2)),
        ((0, "work", 2, "stone", 1, "stone", 0, "work", 1), (2, 1, 2)),
    ],
)
def test_what_is_taken_off_follows_from_the_looks_about_it(looks, told):
    assert chips(*looks) == told


def test_a_blade_of_no_row_has_nothing():
    assert [(one.taken, one.now, one.most) for one in touched_off([], "H1")] == [(0, None, 0)] * 2


def test_after_how_many_strokes_an_edge_was_touched_up_is_said():
    piece, stone = {"chops": parse_strokes("20")}, "touch-up"
    rows = [ChopRow(2, "H1", "billet", **piece), ChopRow(3, "H1", stone),
            ChopRow(4, "C1", "billet", **piece), ChopRow(5, "H1", "billet", **piece),
            ChopRow(6, "H1", stone)]  # fmt: skip
    assert touched_up_after(rows, "H1") == "edge was touched up after 20 and 40 strokes"
    assert touched_up_after(rows, "C1") == ""
