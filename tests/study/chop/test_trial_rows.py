"""Trials of a chop log: how they ended, and of which edge a shave tells."""

from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.trial_rows import trials


def test_passes_and_fails_are_counted_by_blade_and_kind():
    rows = [
        ChopRow(2, "A", "billet", result="pass"),
        ChopRow(3, "A", "billet", result="fail", note="chip"),
        ChopRow(4, "A", "billet", result="fail", exclude="slip"),
        ChopRow(5, "A", "bend", result="pass", bend_deg=10.0, note="straight"),
        ChopRow(6, "A", "bend", result="pass", bend_deg=10.0, note="straight"),
        ChopRow(7, "B", "billet"),
    ]
    billet, bend = trials(SimpleNamespace(rows=rows))
    assert (billet.passed, billet.tried) == (1, 2)
    assert "edge sound after a billet" in str(billet)
    assert "chip" in str(billet)
    assert (bend.passed, bend.tried) == (2, 2)
    assert str(bend).count("to 10°, straight") == 1


def work(*kinds):
    """Rows of blade A: "8" strokes through a piece, "+" and "-" shaves, "/" a touch-up."""
    rows = []
    for line, kind in enumerate(kinds, 2):
        if kind.isdigit():
            strokes = parse_reading(kind, "count")
            rows.append(ChopRow(line, "A", "billet", chops=strokes, diameter_mm=40.0))
        elif kind == "/":
            rows.append(ChopRow(line, "A", "touch-up"))
        else:
            rows.append(ChopRow(line, "A", "shave", result={"+": "pass", "-": "fail"}[kind]))
    return rows


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (work("8", "9", "+"), [("shave", 1, "")]),
        (work("8", "+", "9"), [("shaving between the pieces", 1, "after 8 of 17 strokes")]),
        (work("8", "+", "9", "-"),
         [("shaving between the pieces", 1, "after 8 of 17 strokes"), ("shave", 0, "")]),
        (work("+", "8"), [("shaving before the chopping", 1, "")]),
        (work("+"), [("shaving, with no strokes in the log", 1, "")]),
        (work("8", "/", "+"), [("shaving after a touch-up", 1, "")]),
        (work("8", "/", "+", "9"), [("shaving after a touch-up", 1, "after 8 of 17 strokes")]),
        (work("8", "/", "9", "+"), [("shave", 1, "9 strokes after a touch-up")]),
        (work("8", "/", "9", "+", "5"), [("shaving between the pieces", 1,
                                         "after 17 of 22 strokes, 9 strokes after a touch-up")]),
    ],
)  # fmt: skip
def test_a_shave_tells_of_the_edge_as_the_last_stroke_left_it_or_stands_apart(rows, told):
    found = trials(SimpleNamespace(rows=rows))
    assert [(one.test, one.passed, one.note) for one in found] == told


def test_strokes_of_a_piece_left_out_came_after_a_shave_too():
    rows = work("8", "+")
    rows.append(ChopRow(9, "A", "billet", chops=parse_reading("5", "count"), exclude="lost count"))
    (one,) = trials(SimpleNamespace(rows=rows))
    assert one.note == "after 8 of 13 strokes"
