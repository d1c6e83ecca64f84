"""Rows of a chop log as numbers: what dulled the edge, what is a bound, how large a stud is."""

import pytest

from edgetest.store.chop_log import read_chops
from edgetest.study.chop.chop_rows import (
    measured_chops,
    severings,
    single_chops,
    strokes,
)

HEAD = (
    "blade,kind,order,chops,width_mm,thickness_mm,nominal,species,moisture_pct,depth_mm,exclude\n"
)


def read(*rows):
    log = read_chops((HEAD + "\n".join(rows) + "\n").encode(), name="chops.csv")
    assert log.faults == ()
    return log


def test_chops_of_a_piece_that_is_left_out_dulled_the_edge_all_the_same():
    log = read(
        "H1,billet,1,12,50,50,,white ash,12,,",
        "H1,billet,2,30,50,50,,white ash,12,,knot",
        "H1,billet,3,14,50,50,,white ash,12,,",
        "B1,billet,1,9,50,50,,white ash,12,,",
    )
    assert strokes(log.rows) == {2: (0, 12), 3: (12, 42), 4: (42, 56), 5: (0, 9)}
    assert [(piece.row, piece.chops_before) for piece in severings(log)] == [
        (2, 0),
        (4, 42),
        (5, 0),
    ]


def test_a_piece_that_still_stands_is_a_bound():
    pieces = severings(
        read("H1,billet,1,12,50,50,,white ash,12,,", "H1,billet,2,>40,50,50,,white ash,12,,")
    )
    assert [(piece.chops, piece.severed) for piece in pieces] == [(12.0, True), (40.0, False)]


def test_a_chop_right_through_is_a_bound():
    chops = measured_chops(read("H1,single,1,,,,,,,9.5,", "H1,single,2,,,,,,,>20,"))
    assert [(chop.depth_mm, chop.through) for chop in chops] == [(9.5, False), (20.0, True)]
    assert list(single_chops(chops, {}).through) == [False, True]


@pytest.mark.parametrize(("moisture", "area_cm2"), [("12", 33.87), ("30", None), ("", 33.87)])
def test_a_stud_is_larger_green_than_dry(moisture, area_cm2):
    (piece,) = severings(read(f"H1,lumber,1,31,,,2x4,white ash,{moisture},,"))
    # 1 1/2 by 3 1/2 inch dry, 1 9/16 by 3 9/16 inch green (PS 20; from memory).
    green = 25.4**2 * (1 + 9 / 16) * (3 + 9 / 16) / 100
    assert piece.area_cm2 == pytest.approx(area_cm2 or green, abs=0.01)
