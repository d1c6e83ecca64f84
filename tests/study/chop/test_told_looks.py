"""At the prompt: looks that showed more, and strokes that missed with their share."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.estimate import Estimate
from edgetest.report.documents.chopper_damage import edge_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_looks import Look
from edgetest.study.chop.edge_damage import EdgeDamage
from edgetest.study.chop.told_looks import strokes_stoned_unseen, told_looks, told_misses
from edgetest.study.sources import open_chops


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


HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,chips_count,"
HEAD += "rolls_count,mishap\n"
STUDY = 'title = "Camp hatchet (invented)"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n'


def stoned(folder, *, looked):
    """A staple struck by an edge that was stoned then; `looked`: its chips and rolls before."""
    wood = "B1,European ash,12,50,50,30"
    rows = [
        f"H1,billet,1,{wood},,,",
        f"H1,billet,2,{wood},{looked},struck a staple",
        "H1,touch-up,,,,,,,,,,",
        f"H1,billet,3,{wood},,,",
        "H1,inspection,,,,,,,,0,1,",
    ]
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_look_after_the_stone_does_not_speak_for_the_edge_before_it(tmp_path):
    unseen = stoned(tmp_path, looked=",")
    (page,) = edge_sentences(unseen, "H1", "mm")
    assert "; nobody looked after 60 chops before it was touched up" in page
    assert strokes_stoned_unseen(unseen.looks, "H1", unseen.log.rows) == 60
    seen = stoned(tmp_path, looked="0,0")
    assert "nobody looked" not in next(edge_sentences(seen, "H1", "mm"))
    assert strokes_stoned_unseen(seen.looks, "H1", seen.log.rows) == 0


def test_a_picture_of_the_stoned_edge_does_not_speak_for_the_one_before_it(tmp_path):
    rows = stoned(tmp_path, looked=",").log.rows
    pictured = [
        SimpleNamespace(blade="H1", source="photographs", chops=60, rows=(rows[at].line,))
        for at in (1, 2)
    ]
    assert strokes_stoned_unseen(pictured[1:], "H1", rows) == 60
    assert strokes_stoned_unseen(pictured[:1], "H1", rows) == 0


def test_a_limit_is_open_where_nobody_looked_before_the_stone(tmp_path):
    def said(looked):
        (one,) = stoned(tmp_path, looked=looked).limit
        return one["verdict"], one["text"]

    verdict, text = said(",")
    assert verdict == "unknown"
    assert "before a touch-up nobody looked after 60 strokes, so it is unknown" in text
    assert said("0,0")[0] == "not_reached"


def test_a_roll_first_counted_after_the_stone_is_not_of_the_mishap_before_it(tmp_path):
    for looked in (",", "0,0"):
        (page,) = edge_sentences(stoned(tmp_path, looked=looked), "H1", "mm")
        assert "1 roll" in page or "1 new roll" in page
        assert "staple" not in page
