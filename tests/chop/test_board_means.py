"""Each board counts once in a mean, and that is told where it shows."""

import pytest

from edgetest.chop.board_means import boards_once, mean_of_boards
from edgetest.doubts import Where

EVEN = [(30, "a"), (32, "a"), (12, "b"), (14, "b")]


def told(counts):
    return [one.text for one in boards_once("H1", counts, Where(blade="H1"))]


def test_of_as_many_pieces_of_each_board_it_is_the_mean_of_all():
    assert mean_of_boards(EVEN) == pytest.approx(22)
    assert told(EVEN) == []


def test_more_pieces_of_one_board_move_it_no_more_than_two():
    more = [*EVEN, (13, "b"), (13, "b"), (13, "b")]
    assert mean_of_boards(more) == pytest.approx(22)
    (said,) = told(more)
    assert "H1 severed more pieces of some boards" in said
    assert "22.0 strokes; of all pieces alike it would be 18.1." in said


def test_what_does_not_show_is_not_told():
    assert told([(20, "a"), (20, "a"), (20.02, "b")]) == []
