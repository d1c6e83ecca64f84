"""A legend and an arrow take no more of an axis of strokes than they need."""

from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from edgetest.report.figures.chop_labels import (
    board_words,
    label_boards,
    legend_name,
    legend_of_strokes,
    raise_top,
    top_of_strokes,
)
from edgetest.report.figures.plot_style import drawn_in_look


def test_an_arrow_takes_room_only_where_it_would_leave_the_axis():
    plain = top_of_strokes(1.5, 0.32, 65, [])
    assert top_of_strokes(1.5, 0.32, 65, [30]) == plain
    assert top_of_strokes(1.5, 0.32, 65, [65]) > 1.2 * plain
    assert plain == pytest.approx(65 / (1 - 0.38 / 1.5))


@drawn_in_look
def strokes_drawn(names, boards, size_in=(3.4, 1.9)):
    """Axes with a mark of 20 strokes for each name on the first board, and its legend."""
    ax = Figure(figsize=size_in, layout="constrained").subplots()
    for number, name in enumerate(names):
        ax.plot([0.1 * number], [20], "o", label=name)
    label_boards(ax, boards)
    legend_of_strokes(ax)
    raise_top(ax, [])
    ax.figure.draw_without_rendering()
    return ax


@pytest.mark.parametrize("boards", [["ash"], [f"blackthorn {n}\nhardwood" for n in range(8)]])
@pytest.mark.parametrize("others", [["OLD"], ["OLD", "still stood"], [f"K{n}" for n in range(5)]])
def test_a_legend_lies_on_no_mark_however_long_the_names_of_the_boards(boards, others):
    ax = strokes_drawn(["new hedging billhook", *others], boards)
    mark = ax.transData.transform((0, 20))[1] + 3 * ax.figure.dpi / 72
    assert ax.get_legend().get_window_extent().y0 >= mark


def test_names_stand_in_as_few_lines_as_fit_the_axes():
    def columns(*names):
        return strokes_drawn(names, ["ash"]).get_legend()._ncols

    assert columns("control", "H1", "stood") == 3
    assert columns("OLD", "new hedging billhook") == 2
    assert columns("camp hatchet, plough disc", "camp hatchet, leaf spring") == 1


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


@pytest.mark.parametrize("boards", [3, 8, 11, 16, 40])
@pytest.mark.parametrize("size_in", [(3.4, 1.9), (3.4, 1.2)])
def test_names_of_boards_do_not_run_into_each_other(boards, size_in):
    """Each name as drawn lies beside the next, and some room is left for the marks."""
    ax = strokes_drawn(["B1", "C1"], [f"stud {n + 1}\nspruce" for n in range(boards)], size_in)
    drawn = [each for each in ax.get_xticklabels() if each.get_text()]
    turned = drawn[0].get_rotation()
    boxes = [each.get_window_extent() for each in drawn]
    if turned != 70:  # of slanted names the boxes cross where the letters do not
        assert all(a.x1 <= b.x0 for a, b in pairwise(boxes))
    else:
        step = (boxes[1].x0 - boxes[0].x0) / ax.figure.dpi
        assert step >= 2 * 0.15
    assert ax.get_window_extent().height > 0.2 * ax.figure.dpi * size_in[1]
    shown = [each.get_text().split("\n")[0] for each in drawn]
    named = [ax.get_xticks()[n] for n in range(len(shown))]
    assert shown == [f"stud {round(at) + 1}" for at in named]
    assert len(shown) == boards or boards == 40


@pytest.mark.parametrize("width_in", [3.4, 4.2])
@pytest.mark.parametrize("boards", range(5, 13))
def test_no_ink_of_a_board_s_name_lies_on_another_s(width_in, boards):
    words = [f"P{n}\n{'blackthorn' if n % 3 else 'hazel'}" for n in range(1, boards + 1)]
    ax = strokes_drawn(["OLD"], words, (width_in, 1.9))
    labels = ax.get_xticklabels()
    assert len(labels) > 3

    def ink(shown):
        for label in labels:
            label.set_alpha(float(label in shown))
        canvas = FigureCanvasAgg(ax.figure)
        canvas.draw()
        return np.asarray(canvas.buffer_rgba())[..., :3].min(axis=2) < 128

    def has_ink(label, seen):
        box = label.get_window_extent()
        rows = slice(int(len(seen) - box.y1), int(len(seen) - box.y0) + 1)
        return seen[rows, int(box.x0) : int(box.x1) + 1].any()

    without = ink([])
    turns = labels[::2], labels[1::2]  # neighbours are never drawn together
    one, two = (ink(shown) & ~without for shown in turns)
    assert all(has_ink(label, one) for label in turns[0])
    assert all(has_ink(label, two) for label in turns[1])
    assert not (one & two).any()
