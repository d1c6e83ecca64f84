"""Boards that the others would not have foretold: which are found, and how they widen."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop.as_chopped import Piece
from edgetest.chop.notch import PieceSection
from edgetest.chop.reckoned import OtherPiece, reckon

GREEN = {60: (8, 11), 52: (6, 9), 48: (7, 8), 42: (5, 7), 38: (4, 5)}  # B1 and OLD by diameter, mm


def piece(blade, strokes, size, board, *, severed=True, water=30.0):
    section = PieceSection(diameter_mm=float(size))
    return Piece(blade, strokes, severed, section, "ash", water, board)


def green():
    return [
        piece(blade, strokes, size, f"ash {size}")
        for size, pair in GREEN.items()
        for blade, strokes in zip(("B1", "OLD"), pair, strict=True)
    ]


def asked(own, size=70.0):
    wanted = OtherPiece(PieceSection(diameter_mm=size), "ash", 5000.0, 0.1, 30.0)
    found, doubts = reckon(own, [5000.0] * len(own), wanted)
    return found, [one for one in doubts if one.code == "reckoned_misses"]


def half(one):
    return np.log(one.strokes.high / one.strokes.low) / 2


DEAD = [piece("B1", 14, 45, "dead", water=14.0),
        piece("OLD", 20, 45, "dead", severed=False, water=14.0)]  # fmt: skip


def test_a_board_that_the_others_would_not_have_foretold_is_told_and_widens():
    sane, none = asked(green())
    wide, (told,) = asked([*green(), *DEAD])
    assert none == []
    assert told.text.startswith("OLD took >20 strokes for ash, at 14 % water, round, 45 mm, where ")
    assert ", and 1 more. So strokes follow wood and size otherwise than assumed" in told.text
    assert min(map(half, wide)) > 1.8 * max(map(half, sane))
    by_blade = {one.blade: one.strokes for one in wide}
    # The dead pole draws the figures up; what the green poles say by themselves stays inside.
    for one in sane:
        assert by_blade[one.blade].low < one.strokes.value < by_blade[one.blade].high


@pytest.mark.parametrize("change", [
    {"strokes": 8, "severed": True},  # as many as the others foretell
    {"strokes": 3, "severed": False},  # given up early: it may have taken any number
    {"board": ""},  # of no board that is named
])  # fmt: skip
def test_what_may_be_so_is_no_miss(change):
    like = [replace(one, **change) for one in DEAD]
    assert asked([*green(), *like])[1] == []


def test_a_blade_with_no_other_board_is_not_foretold():
    alone = [piece("B3", 40, 45, "dead", water=14.0)]
    found, told = asked([*green(), *alone])
    assert told == []
    assert {one.blade for one in found} == {"B1", "OLD", "B3"}


def test_few_strokes_miss_as_many_do():
    few = [piece("B1", 4, 90, "rotten"), piece("OLD", 5, 90, "rotten")]
    assert "OLD took 5 strokes" in asked([*green(), *few])[1][0].text


def test_boards_after_one_that_is_not_foretold_are_looked_at_too():
    alone = [piece("B3", 40, 45, "first", water=14.0)]
    _, (told,) = asked([*alone, *green(), *DEAD])
    assert told.text.startswith("OLD took >20 strokes for ash, at 14 % water, round, 45 mm, where ")
