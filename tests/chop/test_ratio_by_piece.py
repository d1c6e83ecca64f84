"""Do two tools differ alike over every wood and size?"""

import pytest

from edgetest.chop.as_chopped import Piece
from edgetest.chop.notch import PieceSection
from edgetest.chop.ratio_by_piece import SELDOM, ratios_by_piece

STUD, POLE = PieceSection(89.0, 38.0, orientation="flat"), PieceSection(diameter_mm=40.0)


def pieces(blade, strokes, section=STUD, wood="pine, Scots", severed=True):
    return [Piece(blade, n, severed, section, wood=wood, moisture_pct=12.0) for n in strokes]


STUDS = [*pieces("B1", (13, 15, 14)), *pieces("O1", (26, 30, 28))]


def poles(mine, theirs, size=40.0):
    section = PieceSection(diameter_mm=size)
    return [*pieces("B1", mine, POLE, "hazel"), *pieces("O1", theirs, section, "hazel")]


def test_the_same_ratio_over_two_woods_is_alike():
    kinds, p = ratios_by_piece([*STUDS, *poles((5, 6), (10, 12))], "B1", "O1", 0.5)
    assert [(one.words, one.ratio) for one in kinds] == [
        ("pine, Scots, 89 mm by 38 mm, flat", pytest.approx(0.5, rel=0.01)),
        ("hazel, round, 40 mm", pytest.approx(0.5, rel=0.01)),
    ]
    assert p > 0.5


def test_a_tool_that_is_better_in_one_wood_and_worse_in_another_is_named():
    _, p = ratios_by_piece([*STUDS, *poles((14, 15), (7, 7))], "B1", "O1", 1.0)
    assert p < SELDOM


def test_pieces_of_one_tool_alone_that_carry_the_ratio_away_are_named():
    """A pole of 42 mm typed as 420: no piece of the other tool is like it."""
    slip = [*STUDS, *poles((5,), (10,), size=420.0)]
    kinds, p = ratios_by_piece(slip, "B1", "O1", 14.0)
    assert len(kinds) == 1
    assert p < SELDOM
    assert ratios_by_piece(slip, "B1", "O1", 0.5)[1] > 0.5


def test_where_no_kind_was_severed_by_both_nothing_is_told():
    apart = [*pieces("B1", (13, 15)), *pieces("O1", (7, 8), POLE, "hazel")]
    assert ratios_by_piece(apart, "B1", "O1", 14.0) == ((), 1.0)
    standing = [*pieces("B1", (13, 15)), *pieces("O1", (40,), severed=False)]
    assert ratios_by_piece(standing, "B1", "O1", 14.0) == ((), 1.0)


def test_single_pieces_are_judged_by_the_usual_scatter():
    one_each = [*pieces("B1", (14,)), *pieces("O1", (28,)), *poles((5,), (10,))]
    assert ratios_by_piece(one_each, "B1", "O1", 0.5)[1] > 0.5
    far = [*pieces("B1", (14,)), *pieces("O1", (28,)), *poles((20,), (2,))]
    assert ratios_by_piece(far, "B1", "O1", 2.0)[1] < SELDOM
