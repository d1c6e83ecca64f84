"""At the prompt: looks that showed more, and strokes that missed with their share."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.estimate import Estimate
from edgetest.study.chop.chop_looks import Look
from edgetest.study.chop.edge_damage import EdgeDamage
from edgetest.study.chop.told_looks import told_looks, told_misses


def look(when, row, chips, *, since=None, photos=()):
    stands = EdgeDamage(seen=(("chips", chips, since or row),))
    counts = {"chips": chips, "rolls": None}
    return Look("B1", row, when, (row,), counts, None, photos, (), 100.0, "log", stands)


def test_looks_between_pieces_are_told_where_they_showed_more():
    refused = SimpleNamespace(measured=False, photo="a.png")
    found = [
        look("before", 2, 0), look("between", 4, 0), look("between", 6, 1),
        look("between", 8, 1, since=6), look("between", 10, 1, since=6, photos=(refused,)),
        look("after", 12, 1, since=6),
    ]  # fmt: skip
    assert list(told_looks(found)) == [
        "B1, before (2 chops): 0 chips by eye; used: log",
        "B1, between (6 chops): 1 chip by eye; used: log",
        "B1, between (10 chops): 1 chip by eye; used: log",
        "B1, after (12 chops): 1 chip by eye; used: log",
        "B1: 2 looks between pieces showed nothing new",
    ]
    assert list(told_looks([look("after", 12, 0)])) == ["B1, after (12 chops): 0 chips by eye; "
                                                        "used: log"]  # fmt: skip


def test_a_look_after_a_touch_up_is_told_apart_from_the_one_before_it():
    before, after = look("between", 45, 1), replace(look("between", 45, 1), fresh=True)
    assert list(told_looks([before, after, replace(look("before", 0, 0), fresh=True)])) == [
        "B1, between (45 chops): 1 chip by eye; used: log",
        "B1, between (45 chops, touched up): 1 chip by eye; used: log",
        "B1, before (0 chops): 0 chips by eye; used: log",
    ]


def piece(missed, chops=20, blade="B1"):
    return SimpleNamespace(blade=blade, near_misses=missed, chops=chops)


RATE = {"B1": Estimate(0.05, 0.006, 0.17, "", 0.95, "exact")}


@pytest.mark.parametrize(
    ("pieces", "rates", "told"),
    [
        ([piece(2), piece(0)], RATE, ["B1: 2 of 40 strokes missed the cut, 5 (1 to 17) %"]),
        ([piece(2), piece(None)], RATE,
         ["B1: 2 of 20 strokes missed the cut, 5 (1 to 17) %, counted on 1 of 2 pieces"]),
        ([piece(None)], {}, []),
        ([piece(0, 1, "C1")], {}, ["C1: 0 of 1 stroke missed the cut"]),
    ],
)  # fmt: skip
def test_strokes_that_missed_are_told_with_their_share(pieces, rates, told):
    assert list(told_misses(SimpleNamespace(near_misses=rates), pieces)) == told
