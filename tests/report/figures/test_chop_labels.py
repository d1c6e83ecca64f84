"""A legend and an arrow take no more of an axis of strokes than they need."""

from types import SimpleNamespace

import pytest
from matplotlib.figure import Figure

from edgetest.report.figures.chop_labels import (
    board_words,
    columns_of_legend,
    legend_name,
    top_of_strokes,
)


def test_an_arrow_takes_room_only_where_it_would_leave_the_axis():
    plain = top_of_strokes(2.2, 2, 65, [])
    assert top_of_strokes(2.2, 2, 65, [30]) == plain
    assert top_of_strokes(2.2, 2, 65, [65]) > 1.3 * plain
    assert plain == pytest.approx(1.12 * 65 / (1 - 0.32 / 1.5))


def test_three_short_names_stand_in_two_columns():
    assert columns_of_legend(["control blade", "H1", "still stood"]) == 2
    assert columns_of_legend(["control blade", "H1"]) == 1
    assert columns_of_legend(["camp hatchet, plough disc", "H1", "still stood"]) == 1


@pytest.mark.parametrize(("board", "told"), [("ash 1", "ash 1"), ("board 1", "board 1\nash")])
def test_a_board_that_is_called_by_its_wood_does_not_tell_it_twice(board, told):
    piece = SimpleNamespace(board=board, wood=SimpleNamespace(name="European ash"))
    assert board_words(SimpleNamespace(pieces=[piece]), board) == told


def test_two_woods_of_one_board_are_both_told():
    pieces = [SimpleNamespace(board="board 2", wood=SimpleNamespace(name=name))
              for name in ("coast Douglas-fir", "European ash", "white ash")]  # fmt: skip
    assert board_words(SimpleNamespace(pieces=pieces), "board 2") == "board 2\nDouglas-fir\nash"
    assert board_words(SimpleNamespace(pieces=pieces), "board 3") == "board 3"


def test_a_blade_whose_name_begins_with_a_line_stands_in_the_legend():
    result = SimpleNamespace(study=None)
    ax = Figure().subplots()
    ax.plot([0], [0], label=legend_name(result, "_H1"))
    ax.plot([0], [0], label=legend_name(result, "C1"))
    assert [text.get_text() for text in ax.legend().get_texts()] == [" _H1", "C1"]
