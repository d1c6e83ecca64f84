"""Damage is the worst ever seen; a touch-up starts a new edge; what falls is asked about."""

import pytest

from edgetest.store.chop_log import read_chops
from edgetest.store.workspace import new_study
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_rows import strokes, strokes_of_edge
from edgetest.study.sources import open_chops
from tests.chop import codes

HEAD = (
    "blade,kind,order,chops,width_mm,thickness_mm,species,chips_count,largest_chip_mm,rolls_count\n"
)
BILLET = 'H1,billet,{},20,60,60,"ash, European",{}\n'


def piece(number, chips="", largest="", rolls=""):
    return BILLET.format(number, f"{chips},{largest},{rolls}")


@pytest.fixture
def analysed(tmp_path):
    def go(rows):
        folder = tmp_path / "s"
        new_study(folder, "billet_chop", "Hatchet", blades=["H1"])
        (folder / "chops.csv").write_text(HEAD + rows, encoding="utf-8")
        return analyse_chops(open_chops(folder))

    return go


BEFORE = "H1,inspection,0,,,,,0,,0\n"


def new(result, kind="chips"):
    return next(one.new for one in result.growth if one.kind == kind)


def test_a_chip_logged_in_the_middle_is_not_denied_by_a_later_look(analysed):
    result = analysed(BEFORE + piece(1, 0, "", 0) + piece(2, 1, 0.8, 0) + piece(3, 0, "", 0))
    assert new(result) == 1
    (verdict,) = result.limit
    assert (verdict["value"], verdict["verdict"]) == (1.0, "reached")
    (asked,) = [one for one in result.doubts if one.code == "damage_fell"]
    assert (asked.where.row, asked.where.blade) == (5, "H1")
    assert "touched up? Log it" in asked.text
    standing = result.look("H1", "after").to_dict()["standing"]
    assert standing["chips"] == {"worst": 1, "row": 4, "new_in_all": 1}


def test_a_later_row_that_says_nothing_of_rolls_does_not_take_them_back(analysed):
    result = analysed(BEFORE + piece(1, 0, "", 2) + piece(2, 0))
    assert (new(result, "rolls"), new(result)) == (2, 0)
    assert "damage_fell" not in codes(result)


def test_counts_of_one_look_are_of_the_whole_edge_and_do_not_add_up(analysed):
    result = analysed(BEFORE + piece(1, 2, 0.5) + "H1,inspection,1,,,,,2,,0\n")
    assert new(result) == 2


def test_what_was_there_before_the_test_is_not_of_the_test(analysed):
    result = analysed("H1,inspection,0,,,,,2,0.4,0\n" + piece(1, 2, 0.4) + piece(2, 3, 0.6))
    assert new(result) == 1
    assert "damage_fell" not in codes(result)


def test_touching_up_starts_a_new_edge_and_keeps_what_was_new_before_it(analysed):
    rows = BEFORE + piece(1, 2, 0.7, 0) + "H1,touch-up,,,,,,,,\n" + piece(2, 0, "", 0) + piece(3, 1)
    result = analysed(rows)
    assert new(result) == 3
    assert "damage_fell" not in codes(result)
    (event,) = result.to_dict()["events"]
    assert (event["blade"], event["row"], event["chops"]) == ("H1", 4, 20)
    assert [one.chops_before for one in result.pieces] == [0, 0, 20]


def test_chops_are_counted_anew_from_a_touch_up_and_in_all():
    rows = piece(1) + "H1,touch-up,,,,,,,,\n" + piece(2)
    log = read_chops((HEAD + rows).encode())
    assert strokes(log.rows) == {2: (0, 20), 3: (20, 20), 4: (20, 40)}
    assert strokes_of_edge(log.rows) == {2: (0, 20), 3: (0, 0), 4: (0, 20)}
