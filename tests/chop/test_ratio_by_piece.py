"""Do two tools differ alike over every wood and size?"""

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.chop.as_chopped import PIECES_SD, Piece
from edgetest.chop.notch import PieceSection
from edgetest.chop.ratio_by_piece import SELDOM, USUAL_PIECES, ratios_by_piece

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


def test_two_kinds_of_single_pieces_differ_by_student_s_t_of_the_usual_scatter():
    """Four counts, each with the usual variance: that of the difference is four times as much.

    Doubled twice, for its two sides and for the second question; the ratio over all pieces is
    their middle, so it is not what differs. Counts are large, their rounding adds next to nothing.
    """
    rows = [*pieces("B1", (1400,)), *pieces("O1", (2800,)), *poles((2000,), (2000,))]
    _, p = ratios_by_piece(rows, "B1", "O1", np.sqrt(0.5))
    away = np.log(2.0) / (2 * PIECES_SD.middle)
    assert p == pytest.approx(4 * student.sf(away, USUAL_PIECES), rel=1e-3)


def test_pieces_that_scatter_as_is_usual_are_held_against_that_scatter():
    """Two of a kind, one usual deviation either side of their mean, say no more and no less."""
    sd = PIECES_SD.middle
    each = np.rint(2000 * np.exp([-sd, sd])).astype(int).tolist()
    rows = [*pieces("B1", each), *pieces("O1", (2000,))]
    _, p = ratios_by_piece(rows, "B1", "O1", 2.0)
    scatter, df = (2 * sd**2 + USUAL_PIECES * sd**2) / (USUAL_PIECES + 1), USUAL_PIECES + 1
    away = np.log(2.0) / np.sqrt(scatter * (1 / 2 + 1))
    assert p == pytest.approx(4 * student.sf(away, df), rel=1e-2)
