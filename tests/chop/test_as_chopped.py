"""Strokes for one piece as chopped: what is pooled, what is kept apart, what is said."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop.as_chopped import Piece, _holding, as_chopped
from edgetest.chop.notch import PieceSection
from edgetest.estimate import Estimate
from tests.chop import codes

POST = PieceSection(60.0, 60.0)


def pieces(strokes, *, boards=None, section=POST, blade="H1", wood="oak, European", **more):
    boards = boards or [f"board {n}" for n in range(len(strokes))]
    return [
        Piece(blade, abs(n), n > 0, section, wood=wood, moisture_pct=12.0, board=board, **more)
        for n, board in zip(strokes, boards, strict=True)
    ]


def test_the_value_is_the_plain_mean_and_the_interval_holds_it():
    (one,) = as_chopped(pieces([18, 20, 25]))
    assert one.strokes_per_piece.value == pytest.approx(21)
    assert one.strokes_per_piece.low < 21 < one.strokes_per_piece.high
    assert (one.pieces, one.standing, one.boards, one.strokes) == (3, 0, 3, (18, 20, 25))


def test_a_board_of_which_more_was_chopped_counts_once_and_that_is_said():
    """Three boards of 30, 30 and 12 strokes: 24, however many pieces of the last were chopped."""
    strokes, boards = [29, 31, 30, 30], ["a", "a", "b", "b"]
    (even,) = as_chopped(pieces([*strokes, 12, 12], boards=[*boards, "c", "c"]))
    (more,) = as_chopped(pieces([*strokes, *[12] * 8], boards=[*boards, *["c"] * 8]))
    assert even.strokes_per_piece.value == more.strokes_per_piece.value == pytest.approx(24)
    assert codes(even) == []
    assert codes(more) == ["boards_counted_once"]
    assert (
        "each board once: 24.0 strokes; of all pieces alike it would be 18.0."
        in more.doubts[0].text
    )
    low, high = more.strokes_per_piece.low, more.strokes_per_piece.high
    assert 1.1 * low < 24 < high / 1.1  # not at an end of it


def test_pieces_of_one_board_say_less_than_of_as_many_boards_and_that_is_said():
    (one,) = as_chopped(pieces([18, 20, 22, 21], boards=["a"] * 4))
    (many,) = as_chopped(pieces([18, 20, 22, 21]))
    assert wide(one) > 1.3 * wide(many)
    assert codes(one) == ["one_board"]
    said = f"All pieces of {one.piece_words()}, come from one board, so their mean is"
    assert one.doubts[0].text.startswith(said)
    assert codes(many) == []
    (unknown,) = as_chopped(pieces([18, 20, 22, 21], boards=[""] * 4))
    assert codes(unknown) == ["boards_not_noted"]
    assert wide(unknown) == pytest.approx(wide(one))


def test_a_flat_piece_lying_flat_is_not_the_same_piece_set_on_edge():
    flat, edge = (PieceSection(90.0, 40.0, orientation=way) for way in ("flat", "on edge"))
    unknown = PieceSection(90.0, 40.0)
    rows = [([14, 15], flat), ([30, 36], edge), ([21, 22], unknown)]
    found = as_chopped([one for row, lay in rows for one in pieces(row, section=lay)])
    assert [one.strokes for one in found] == [(14, 15), (30, 36), (21, 22)]
    assert codes(found[2]) == ["orientation_not_noted"]
    assert [one.to_dict()["orientation"] for one in found] == ["flat", "on edge", None]


def test_sizes_sawn_a_little_differently_are_one_size_and_their_mean_is_told():
    other = pieces([19], section=PieceSection(61.0, 60.5))
    (one,) = as_chopped([*pieces([18, 20], section=PieceSection(60.0, 59.0)), *other])
    assert one.section.width_mm == pytest.approx(181 / 3)
    assert len(as_chopped([*pieces([18]), *pieces([30], section=PieceSection(70.0, 70.0))])) == 2


def test_wood_blade_and_green_or_dry_are_kept_apart():
    dry = pieces([18, 20])
    wet = [Piece("H1", 12, True, POST, wood="oak, European", moisture_pct=40.0, board="c")]
    other = pieces([11, 12], wood="ash, European")
    assert [one.pieces for one in as_chopped([*dry, *wet, *other])] == [2, 1, 2]
    assert len(as_chopped([*dry, *pieces([18, 20], blade="C1")])) == 2


def test_a_piece_that_still_stands_is_more_than_its_strokes():
    (all_fell,) = as_chopped(pieces([18, 20, 22]))
    (one_stands,) = as_chopped(pieces([18, 20, -22]))
    assert one_stands.strokes_per_piece.value > all_fell.strokes_per_piece.value
    assert one_stands.strokes == (18, 20, ">22")
    (none_fell,) = as_chopped(pieces([-40, -40]))
    bound = none_fell.strokes_per_piece
    assert bound.high == np.inf
    assert 25 < bound.low < 40 < bound.value
    assert codes(none_fell) == ["none_severed"]
    assert "only a bound of the mean: pieces differ, and such take at least" in none_fell.summary()


def wide(one):
    return np.log(one.strokes_per_piece.high / one.strokes_per_piece.low)


@pytest.mark.parametrize(("boards", "each"), [(1, 4), (2, 2), (3, 1), (4, 3)])
def test_the_interval_holds_the_mean_over_boards(boards, each):
    rng = np.random.default_rng(boards)
    held = 0
    for _ in range(75):
        board = rng.normal(0, 0.16, boards).repeat(each)
        strokes = np.maximum(np.rint(25 * np.exp(board + rng.normal(0, 0.2, len(board)))), 1)
        names = np.arange(boards).repeat(each).astype(str)
        (one,) = as_chopped(pieces(strokes.tolist(), boards=list(names)))
        truth = 25 * np.exp((0.16**2 + 0.2**2) / 2)
        held += one.strokes_per_piece.low <= truth <= one.strokes_per_piece.high
    assert held >= 70  # 93 % of 75


def test_sizes_are_parted_alike_for_every_blade():
    """41.5 and 45 mm of one, 42 and 44.4 mm of the other: two sizes each, side by side."""
    poles = [
        one
        for blade, sizes in (("B1", (41.5, 45.0)), ("O1", (44.4, 42.0)))
        for size in sizes
        for one in pieces([5], section=PieceSection(diameter_mm=size), blade=blade)
    ]
    found = as_chopped(poles)
    assert [(one.blade, one.section.diameter_mm) for one in found] == [
        ("B1", 41.5), ("O1", 42.0), ("B1", 45.0), ("O1", 44.4)
    ]  # fmt: skip


def test_the_pieces_of_one_pole_are_of_one_size_whichever_size_comes_before():
    """44.2 mm is within 6 % of 41.9, its twin of 45.1 mm is not: both go to the larger row."""
    poles = [
        one
        for blade, sizes in (("B1", (41.9, 45.1, 46.4)), ("O1", (41.9, 44.2, 45.4)))
        for board, size in zip("abc", sizes, strict=True)
        for one in pieces([5], boards=[board], section=PieceSection(diameter_mm=size), blade=blade)
    ]
    found = as_chopped(poles)
    assert [(one.blade, one.pieces) for one in found] == [
        ("B1", 1),
        ("O1", 1),
        ("B1", 2),
        ("O1", 2),
    ]
    no_board = [replace(one, board="") for one in poles]
    assert [one.pieces for one in as_chopped(no_board)] == [1, 2, 2, 1]


def test_the_tools_of_every_wood_stand_in_one_order_whichever_was_first_on_it():
    ash = pieces([9], blade="C1", wood="ash") + pieces([8], wood="ash")
    oak = pieces([16]) + pieces([22], blade="C1")
    told = [(one.wood, one.blade) for one in as_chopped(ash + oak)]
    oaks = "oak, European"
    assert told == [("ash", "C1"), ("ash", "H1"), (oaks, "C1"), (oaks, "H1")]


@pytest.mark.parametrize(
    ("strokes", "low", "high"),
    [((1,), 1, 3), ((1, 1, 1, 1), 1, 1.8), ((2,), 1, 4), ((2, 2, 2, 2), 1.3, 3), ((3,), 1.5, 6)],
)
def test_poles_that_fall_in_a_few_strokes_have_a_mean_that_can_be_told(strokes, low, high):
    pieces = [
        Piece("B1", float(count), True, PieceSection(30.0, 30.0), board=f"{number}")
        for number, count in enumerate(strokes)
    ]
    (found,) = as_chopped(pieces)
    mean = found.strokes_per_piece
    assert low <= mean.low <= mean.value <= mean.high <= high


def test_few_strokes_beside_many_leave_those_as_they_were_but_for_the_scatter():
    many = [Piece("A", n, True, PieceSection(60.0, 60.0), board=f"{n}") for n in (18.0, 20.0, 22.0)]
    few = [Piece("A", 2.0, True, PieceSection(25.0, 25.0), board=f"s{n}") for n in range(3)]
    alone, (beside, small) = as_chopped(many)[0], as_chopped([*many, *few])
    told = alone.strokes_per_piece
    assert beside.strokes_per_piece.high == pytest.approx(told.high, rel=0.05)
    assert "summed" in small.strokes_per_piece.method


def test_one_piece_of_many_more_strokes_leaves_the_interval_open():
    """Scatters too small for 1 beside 6 have no chance at all: the others still tell the mean."""
    (one,) = as_chopped(pieces([1, 1, 1, 1, 6], boards=["a"] * 5))
    assert one.strokes_per_piece.value == 2
    assert 1 <= one.strokes_per_piece.low < 1.5
    assert 2.5 < one.strokes_per_piece.high < 6


def test_one_piece_of_far_more_strokes_is_no_end_of_the_interval():
    """One knot among poles of one stroke: the interval holds the plain mean well within."""
    (one,) = as_chopped(pieces([1, 1, 1, 1, 1, 30], boards=list("abcdef")))
    told = one.strokes_per_piece
    assert told.value == pytest.approx(35 / 6)
    assert 1 <= told.low < 3
    assert told.high > 9


def test_hundreds_of_pieces_of_few_strokes_are_still_told():
    (one,) = as_chopped(pieces([1, 2] * 400, boards=[str(n) for n in range(800)]))
    told = one.strokes_per_piece
    assert 1.2 < told.low < 1.5 < told.high < 1.9


def test_pieces_that_all_still_stand_take_at_least_what_the_next_stroke_would_have_made():
    (stand,), (fell,) = as_chopped(pieces([-40, -40, -40])), as_chopped(pieces([41, 41, 41]))
    assert stand.strokes_per_piece.low == pytest.approx(fell.strokes_per_piece.low, rel=1e-9)


@pytest.mark.parametrize(("mean", "low", "high"), [(15, 8, 18.75), (6, 4.8, 12.5), (11, 8, 12.5)])
def test_a_mean_beyond_the_interval_is_held_well_within(mean, low, high):
    held = _holding(Estimate(10.0, 8.0, 12.5, "strokes"), mean)
    assert (held.low, held.high) == pytest.approx((low, high))
