"""Strokes reckoned for another piece: geometry, priors, refusals, and what is said."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop.as_chopped import Piece
from edgetest.chop.notch import PieceSection
from edgetest.chop.reckoned import WATER_FROM, WOODS_SD, OtherPiece, reckon
from edgetest.errors import UnusableInput

FLAT = PieceSection(90.0, 45.0, orientation="flat")
EDGE = PieceSection(90.0, 45.0, orientation="on edge")


def pieces(counts, section, blade="H1", wood="oak"):
    return [
        Piece(blade, n, True, section, wood, 12.0, f"{section.lies} {k}")
        for k, n in enumerate(counts)
    ]


def told(own, wanted, hardness=5000.0):
    return reckon(own, [hardness] * len(own), wanted)


def test_a_round_notch_holds_its_area_times_the_depth_of_its_centre():
    wide, deep = PieceSection(diameter_mm=60.0).sides
    assert wide * deep**2 == pytest.approx(2 * np.pi * 30**2 * 30)


def test_on_edge_takes_more_by_the_prior_power_and_the_interval_is_wider():
    own = pieces([20, 21, 19, 20], FLAT)
    (same,), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    (edge,), _ = told(own, OtherPiece(EDGE, "oak", 5000.0))
    assert edge.strokes.value / same.strokes.value == pytest.approx(2**0.7, rel=0.05)
    ends = [np.log(one.strokes.high / one.strokes.low) for one in (same, edge)]
    assert ends[1] > 1.3 * ends[0]
    assert edge.depth_exponent_from == "prior"
    assert "strokes reckoned for oak" in edge.summary()
    assert edge.to_dict()["depth_exponent"]["from"] == "prior"


def test_sizes_that_differ_tell_the_power():
    own = [*pieces([20, 21, 19, 20], FLAT), *pieces([40, 41, 39, 40], EDGE)]
    (one,), _ = told(own, OtherPiece(EDGE, "oak", 5000.0))
    assert one.depth_exponent_from == "estimated"
    assert 1.75 < one.depth_exponent.value < 2.1
    assert one.depth_exponent.high - one.depth_exponent.low < 4 * 0.35


def test_laths_open_no_notch():
    lath = PieceSection(40.0, 8.0, orientation="flat")
    found, doubts = told(pieces([1, 2, 1], lath), OtherPiece(FLAT, "oak", 5000.0))
    assert (found, [one.code for one in doubts]) == ((), ["no_notch"])
    found, doubts = told(pieces([20, 21], FLAT), OtherPiece(lath, "oak", 5000.0))
    assert (found, [one.code for one in doubts]) == ((), ["no_notch"])
    said = f"No strokes are reckoned for oak, {lath.summary()}: a piece that falls in 3 strokes"
    assert doubts[0].text.startswith(said)


def test_another_wood_costs_width_and_needs_both_hardnesses():
    own = pieces([20, 21, 19, 20], FLAT)
    (same,), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    (other,), _ = told(own, OtherPiece(FLAT, "ash", 10000.0, 0.2))
    assert other.strokes.value / same.strokes.value == pytest.approx(2**0.55, rel=0.05)
    assert other.strokes.high / other.strokes.low > 1.3 * same.strokes.high / same.strokes.low
    with pytest.raises(UnusableInput, match="chopped wood has no known hardness"):
        reckon(own, [None] * 4, OtherPiece(FLAT, "ash", 10000.0))


def test_how_the_wanted_piece_lies_is_never_assumed():
    own = pieces([20, 21, 19, 20], FLAT)
    (one,), doubts = told(own, OtherPiece(PieceSection(90.0, 45.0), "oak", 5000.0))
    assert "orientation_not_noted" in [each.code for each in doubts]
    (flat,), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    assert one.strokes.high / one.strokes.low > 1.3 * flat.strokes.high / flat.strokes.low


def test_notches_of_measured_opening_scatter_no_more_than_others():
    bare = pieces([14, 32, 14, 32, 15, 31], FLAT)
    angles = [40.0, 80.0] * 3  # the tangents of their halves differ by 2.3
    measured = [replace(one, notch_angle_deg=a) for one, a in zip(bare, angles, strict=True)]
    (blind,), _ = told(bare, OtherPiece(FLAT, "oak", 5000.0))
    (known,), _ = told(measured, OtherPiece(FLAT, "oak", 5000.0))
    ends = [np.log(one.strokes.high / one.strokes.low) for one in (blind, known)]
    assert ends[1] < 0.8 * ends[0]
    assert known.strokes.low < np.sqrt(14.3 * 31.7) < known.strokes.high
    (partly,), _ = told([*measured[:-1], bare[-1]], OtherPiece(FLAT, "oak", 5000.0))
    assert partly.strokes == blind.strokes


def test_a_wood_never_chopped_adds_both_woods_errors():
    """Of one hardness: twice WOODS_SD² + (0.55 × sd of log hardness)² on the log scale."""
    own = pieces([20, 21, 19, 20] * 4, FLAT)
    (same,), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    (other,), _ = told(own, OtherPiece(FLAT, "ash", 5000.0, 0.3))
    halves = [np.log(one.strokes.high / one.strokes.low) / 2 for one in (same, other)]
    added = 2 * (WOODS_SD**2 + (0.55 * 0.3) ** 2)
    assert halves[1] ** 2 - halves[0] ** 2 == pytest.approx(1.96**2 * added, rel=0.1)


def test_a_piece_far_from_those_chopped_is_said_to_be():
    own = pieces([14, 15, 13, 16], FLAT)
    for times, said in ((1.9, False), (2.1, True), (1 / 1.9, False), (1 / 2.1, True)):
        wide, thin = FLAT.sides
        far = PieceSection(times * wide, times * thin, orientation="flat")
        found, doubts = told(own, OtherPiece(far, "oak", 5000.0))
        far = [one for one in doubts if one.code == "reckoned_far"]
        assert bool(far) == (said and bool(found)), times
        assert all(("thicker" if times > 1 else "thinner") in one.text for one in far)


def test_the_water_of_the_wood_is_told():
    own = pieces([14, 15, 13, 16], FLAT)
    for pct, words in ((14.0, "oak, at 14 % water"), (30.0, "oak, green"), (None, "oak")):
        (one,), _ = told(own, OtherPiece(EDGE, "oak", 5000.0, moisture_pct=pct))
        assert one.wood_words == words
        assert one.to_dict()["moisture_pct"] == pct
        assert f"reckoned for {words}, " in one.summary()


def test_where_the_water_comes_from_is_told():
    own = pieces([14, 15, 13, 16], FLAT)
    for water_from, words in WATER_FROM.items():
        wanted = OtherPiece(EDGE, "oak", 5000.0, moisture_pct=14.0, moisture_from=water_from)
        (one,), _ = told(own, wanted)
        assert one.wood_words == f"oak, at 14 % water{words}"
        assert one.to_dict()["moisture_from"] == water_from


def test_a_piece_that_may_lie_either_way_is_said_to_hold_both():
    own = pieces([20, 21, 19, 20], FLAT)
    either = PieceSection(90.0, 45.0)
    (open_way,), _ = told(own, OtherPiece(either, "oak", 5000.0))
    assert "90 mm by 45 mm, flat or on edge (the interval holds both)" in open_way.summary()
    ends = [told(own, OtherPiece(section, "oak", 5000.0))[0][0].strokes for section in (FLAT, EDGE)]
    assert open_way.strokes.low < ends[0].value < ends[1].value < open_way.strokes.high
    (square,), _ = told(own, OtherPiece(PieceSection(60.0, 60.0), "oak", 5000.0))
    assert "both" not in square.summary()


def test_a_figure_says_what_it_rests_on_and_which_pieces_it_leaves_out():
    small = PieceSection(diameter_mm=30.0)
    own = [*pieces([20, 21, 19], FLAT), *pieces([4, 3, 1, 2], small, wood="hazel")]
    (one,), _ = told(own, OtherPiece(EDGE, "oak", 5000.0))
    assert (one.pieces, one.left_out, one.woods) == (3, 4, ("oak",))
    assert "It rests on 3 pieces of oak taken together" in one.summary()
    for woods in (("oak", "ash"), ("elm", "oak", "ash")):
        said = replace(one, woods=woods).summary()
        assert f"pieces of {'elm, ' * (len(woods) > 2)}oak and ash taken together" in said
    assert "4 pieces left out, of sizes that took 3 strokes or fewer on average" in one.summary()
    own = [*pieces([20, 21, 19], FLAT), *pieces([4, 3, 5, 2], small, wood="hazel")]
    (one,), _ = told(own, OtherPiece(EDGE, "oak", 5000.0))  # a mean above three: all are kept
    assert (one.pieces, one.left_out) == (7, 0)
    assert "left out" not in one.summary()


def test_a_notch_twice_as_open_takes_twice_the_wood():
    """Its width is its depth times twice the tangent: no more than that parts the two tools."""
    counts, angles = ([40, 42, 38, 40], [20, 21, 19, 20]), np.degrees(2 * np.arctan([0.8, 0.4]))
    own = [
        replace(one, notch_angle_deg=angle)
        for blade, strokes, angle in zip(("H1", "C1"), counts, angles, strict=True)
        for one in pieces(strokes, FLAT, blade=blade)
    ]
    (wide, narrow), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    assert wide.strokes.value / narrow.strokes.value == pytest.approx(1.0, rel=0.03)


def test_a_wood_of_unknown_scatter_is_as_one_of_a_fifth():
    own = pieces([20, 21, 19, 20] * 3, FLAT)
    ends = {
        (one.strokes.low, one.strokes.high)
        for known in (0.0, 0.2)
        for one in told(own, OtherPiece(FLAT, "ash", 5000.0, known))[0]
    }
    assert len(ends) == 1


def test_a_wider_piece_of_one_depth_takes_more_in_step_with_its_width():
    own = pieces([20, 21, 19, 20], FLAT)
    (same,), _ = told(own, OtherPiece(FLAT, "oak", 5000.0))
    wider = PieceSection(2 * 90.0, 45.0, orientation="flat")
    (wide,), _ = told(own, OtherPiece(wider, "oak", 5000.0))
    assert wide.strokes.value / same.strokes.value == pytest.approx(2, rel=0.05)
    ends = [np.log(one.strokes.high / one.strokes.low) for one in (same, wide)]
    assert 1.005 * ends[0] < ends[1] < 1.5 * ends[0]
