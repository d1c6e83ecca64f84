"""The section of a piece and how it lay: face, depth, and which pieces are alike."""

from math import log, pi

import pytest

from edgetest.chop.notch import FLAT, ON_EDGE, PieceSection, mean_section

STUD = {"width_mm": 90.0, "thickness_mm": 45.0}


def test_how_a_stud_lay_says_which_side_is_the_face():
    flat, edge = (PieceSection(**STUD, orientation=how) for how in (FLAT, ON_EDGE))
    assert flat.log_face_depth == pytest.approx((log(90), log(45)))
    assert edge.log_face_depth == pytest.approx((log(45), log(90)))
    assert flat.either_way == edge.either_way == 0.0
    turned = PieceSection(width_mm=45.0, thickness_mm=90.0, orientation=FLAT)
    assert turned.sides == (90.0, 45.0)
    assert flat.area_cm2 == pytest.approx(40.5)
    assert flat.summary() == "90 mm by 45 mm, flat"


def test_not_noted_it_lies_midway_and_half_the_ratio_is_in_doubt():
    piece = PieceSection(**STUD)
    assert piece.lies == "not noted"
    assert piece.log_face_depth == pytest.approx((log(90 * 45) / 2,) * 2)
    assert piece.either_way == pytest.approx(log(2) / 2)
    assert piece.summary() == "90 mm by 45 mm"


def test_of_squares_and_rounds_it_does_not_matter():
    assert PieceSection(width_mm=52.0, thickness_mm=50.0).lies == ""
    assert PieceSection(width_mm=53.0, thickness_mm=50.0).lies == "not noted"
    assert PieceSection(width_mm=50.0, thickness_mm=52.0, orientation=ON_EDGE).lies == ""
    pole = PieceSection(diameter_mm=60.0)
    # The mean chord of a circle is its area over its diameter.
    assert pole.sides == pytest.approx((pi * 60**2 / 4 / 60, 60.0))
    assert pole.lies == ""
    assert pole.area_cm2 == pytest.approx(pi * 9)
    assert pole.log_face_depth == pytest.approx((log(pi * 15), log(60)))
    assert pole.size_words() == "round, 60 mm"
    # Its volume by the opening's tangent: area times the distance of its centre from the mouth.
    width, depth = pole.sides
    assert width * depth**2 == pytest.approx((pi * 60**2 / 4) * 30 * 2)


def test_pieces_are_alike_in_shape_lie_and_size():
    one = PieceSection(**STUD, orientation=FLAT)
    assert one.like(PieceSection(width_mm=98.0, thickness_mm=45.0, orientation=FLAT), 1.1)
    assert one.like(PieceSection(width_mm=82.0, thickness_mm=45.0, orientation=FLAT), 1.1)
    assert not one.like(PieceSection(width_mm=100.0, thickness_mm=45.0, orientation=FLAT), 1.1)
    assert not one.like(PieceSection(width_mm=90.0, thickness_mm=51.0, orientation=FLAT), 1.1)
    assert not one.like(PieceSection(**STUD, orientation=ON_EDGE), 1.1)
    assert not one.like(PieceSection(diameter_mm=60.0), 3.0)
    assert PieceSection(diameter_mm=60.0).like(PieceSection(diameter_mm=63.0), 1.1)


def test_sides_typed_the_other_way_round_are_turned_before_their_mean():
    ways = [(60.0, 40.0), (62.0, 41.0), (40.0, 60.0)]
    pieces = [PieceSection(wide, thick, orientation=FLAT) for wide, thick in ways]
    mean = mean_section(pieces)
    assert (mean.width_mm, mean.thickness_mm) == pytest.approx((182 / 3, 121 / 3))
    two = mean_section([pieces[2], pieces[0]])  # of a tie as the first was typed
    assert (two.width_mm, two.thickness_mm) == (40.0, 60.0)
    edge = [PieceSection(38.0, 89.0, orientation=ON_EDGE)] * 2
    assert mean_section(edge).summary() == "38 mm by 89 mm, on edge"
    square = mean_section([PieceSection(51.0, 50.0), PieceSection(50.0, 51.0)])
    assert (square.width_mm, square.thickness_mm) == (50.5, 50.5)
    poles = [PieceSection(diameter_mm=40.0), PieceSection(diameter_mm=42.0)]
    assert mean_section(poles).summary() == "round, 41 mm"
