"""Natural poles are of many sizes: no one pole's size speaks for all."""

import re

from edgetest.report.documents.chopped_pieces import pieces_table
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops
from tests.report.documents.hook_logs import STUDY

HEAD = "blade,kind,chops,diameter_mm,species,moisture_pct,board\n"
POLES = """T1,billet,8,40,hazel,green,hazel 1
C1,billet,8,39,hazel,green,hazel 1
T1,billet,8,41,hazel,green,hazel 1
C1,billet,7,41,hazel,green,hazel 2
T1,billet,7,43,hazel,green,hazel 2
T1,billet,6,38,hazel,green,hazel 3
C1,billet,9,38,hazel,green,hazel 3
T1,billet,6,42,hazel,green,hazel 4
"""


def of(folder, log):
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + log, encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_headline_of_one_pole_stands_beside_what_all_poles_of_like_size_took(tmp_path):
    _, spread, *_ = tool_sentences(of(tmp_path, POLES), "T1")
    assert "2 pieces, 1 board." in spread
    told = "All 5 pieces of hazel, green, round, 38 to 43 mm, from 4 boards: 6 to 8 strokes each."
    assert told in spread


def test_pieces_of_which_nobody_noted_the_board_are_of_no_number_of_boards(tmp_path):
    bare = re.sub(",hazel .$", ",", POLES, flags=re.MULTILINE)
    assert " pieces, board not noted." in tool_sentences(of(tmp_path, bare), "T1")[1]
    some = bare.replace("T1,billet,8,41,hazel,green,", "T1,billet,8,41,hazel,green,hazel 1")
    assert " pieces, board noted for 1 of them." in tool_sentences(of(tmp_path, some), "T1")[1]


def test_poles_far_off_in_size_and_one_that_still_stood_are_not_told_with_them(tmp_path):
    far = POLES.replace("T1,billet,7,43", "T1,billet,17,63")
    spread = tool_sentences(of(tmp_path, far), "T1")[1]
    assert "All 4 pieces of hazel, green, round, 38 to 42 mm, from 3 boards" in spread
    assert "from 3 boards: 6 to 8 strokes each; 1 more piece, 63 mm: 17." in spread
    gave_up = tool_sentences(of(tmp_path, far.replace("T1,billet,17", "T1,billet,>17")), "T1")[1]
    assert "strokes each; 1 more piece, 63 mm: 17 and more." in gave_up
    stood = POLES.replace("T1,billet,6,42", "T1,billet,>6,42")
    assert not any("from 4 boards" in one for one in tool_sentences(of(tmp_path, stood), "T1"))
    one_board = POLES.replace("hazel 2", "hazel 1").replace("hazel 3", "hazel 1")
    one_board = one_board.replace("hazel 4", "hazel 1")
    assert not any("strokes each." in one for one in tool_sentences(of(tmp_path, one_board), "T1"))


def test_the_other_tools_size_stands_in_the_row_where_it_is_another(tmp_path):
    rows = pieces_table(of(tmp_path, POLES), "T1", "metric")["rows"]
    beside = {row[1]: row[-1] for row in rows}
    assert "), of 41 mm, on hazel 2" in beside["round, 43 mm and 42 mm"]
    assert beside["round, 40 mm and 41 mm"].endswith("), of 39 mm")
    assert beside["round, 38 mm"].endswith(")")


def test_a_knot_and_a_count_noted_as_a_range_are_told_where_the_strokes_stand(tmp_path):
    log = """T1,billet,12,40,European ash,green,ash 1,1
T1,billet,7,40,European ash,green,ash 1,
C1,billet,9,40,European ash,green,ash 1,
C1,billet,14,40,European ash,green,ash 1,2
T1,billet,8,52,hazel,green,hazel 2,
C1,billet,9-11,52,hazel,green,hazel 2,
"""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(f"{HEAD.strip()},knots\n{log}", encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    ash, hazel = pieces_table(result, "T1", "metric")["rows"]
    assert ash[2] == "12 (knot), 7"
    assert ash[-1].endswith("), knots in 1 of 2")
    assert hazel[2] == "8"
    assert hazel[-1].endswith("), noted as 9 to 11")
    ash, hazel = pieces_table(result, "C1", "metric")["rows"]
    assert ash[2] == "9, 14 (2 knots)"
    assert hazel[2] == "9 to 11"


def test_one_size_typed_in_two_ways_is_one_size(tmp_path):
    log = """T1,billet,12,1.25in,hazel,green,hazel 1
T1,billet,11,1.25 in,hazel,green,hazel 1
C1,billet,13,"1.250 in",hazel,green,hazel 1
"""
    (row,) = pieces_table(of(tmp_path, log), "T1", "both")["rows"]
    assert row[1] == "round, 1.25in (31.8 mm)"
    assert ", of " not in row[-1]
