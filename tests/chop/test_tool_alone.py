"""One tool alone: more pieces and more boards tell its mean better, as the scatter says."""

from math import log

import numpy as np
import pytest

from edgetest.chop.tool_alone import typical_factor


def factor(boards, strokes=20.0, studies=20, **more):
    return typical_factor(strokes, boards, np.random.default_rng(7), studies=studies, **more)


def test_the_factor_is_that_of_a_mean_of_so_many_boards():
    """Twelve boards: a log mean scatters by the root of (0.16² + 0.14²) / 12 and a day's 0.07."""
    sd = ((0.16**2 + 0.14**2) / 12 + 0.07**2) ** 0.5
    assert log(factor("abcdefghijkl")) == pytest.approx(1.96 * sd, rel=0.12)


def test_more_pieces_tell_more_and_those_of_one_board_less():
    assert factor("abcdef") < factor("abc") < factor("ab")
    assert factor("aaaaaa") > 1.05 * factor("abcdef")
    assert factor("abc", level=0.8) < factor("abc")


def test_pieces_that_all_fall_at_the_first_stroke_bound_the_mean():
    few = {"studies": 3}  # so few strokes take a grid of their own
    assert 1.2 < factor("abc", strokes=1.0, **few) < factor("a", strokes=1.0, **few) < 2
    assert factor("abc", strokes=3.0, **few) < 2
