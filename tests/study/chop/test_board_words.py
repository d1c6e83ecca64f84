"""A blank wood or water of a piece counts as the other pieces of its board have it."""

import pytest

from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.report.documents.chopper_words import first_doubts
from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.asked_about import asked_about
from edgetest.study.chop.board_words import board_word_doubts, of_boards
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops, open_source

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

STUDY = 'title = "poles"\nprotocol = "billet_chop"\nblades = [{id = "B1"}, {id = "OLD"}]\n'
HEADING = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board\n"
WILLOW = (
    "B1,billet,1,6,42,white willow,{0},willow 1\nOLD,billet,1,8,42,white willow,{1},willow 1\n"
    "B1,billet,2,7,43,white willow,{0},willow 2\nOLD,billet,2,7,43,white willow,{1},willow 2\n"
)


def pole(line, species="hazel", moisture_pct="green", board="pole 1", **more):
    return ChopRow(line, "T1", "billet", chops=parse_strokes("5"), diameter_mm=40.0,
                   species=species, moisture_pct=moisture_pct, board=board, **more)  # fmt: skip


def put(folder, *waters):
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEADING + WILLOW.format(*waters), encoding="utf-8")
    return folder


def test_water_typed_once_a_board_gives_the_ratio_of_water_typed_in_every_row(tmp_path):
    once, every = (
        analyse_chops(open_chops(put(tmp_path / name, "green", second)))
        for name, second in (("once", ""), ("every", "green"))
    )
    assert once.report.counts.ratios == every.report.counts.ratios
    told = [one.text for one in once.doubts if one.code == "taken_from_board"]
    assert told == [
        "What is blank counts as the other rows of its board have it: moisture of rows 3 and 5"
        " (green). If a piece was otherwise, type its own."
    ]
    assert not any(one.code == "taken_from_board" for one in every.doubts)
    on_sheet = [line for part in first_doubts(once, "OLD") for line in part]
    assert not any("What is blank counts" in line for line in on_sheet)  # its rows say it
    assert not any("board" in str(one) for one in asked_about(open_source(tmp_path / "once")))


def test_nothing_counts_for_a_piece_that_was_never_chopped(tmp_path, run):
    log = put(tmp_path, "green", "green") / "chops.csv"
    log.write_text(log.read_text("utf-8") + "B1,billet,3,8,44,white willow,green,willow 3\n"
                   "OLD,billet,3,,,,,willow 3\n", "utf-8")  # fmt: skip
    code, told, _ = run("chop", tmp_path)
    assert code == 0
    assert "What is blank counts" not in told
    log.write_text(log.read_text("utf-8").replace("3,,,,,willow", "3,9,44,,,willow"), "utf-8")
    assert "wood and moisture of row 7 (white willow, green)" in run("chop", tmp_path)[1]


def test_the_row_of_the_sheet_says_whose_word_it_is(tmp_path):
    result = analyse_chops(open_chops(put(tmp_path, "green", "")))
    (page,) = build_sheets(result, tmp_path, blade="OLD", kinds=["html"])
    text = page.read_text(encoding="utf-8").replace("\xa0", " ")
    assert text.count("white willow, green, water as its board, round, 4") == 2
    assert "moisture not noted" not in text


def test_a_blank_stays_blank_where_its_board_does_not_say_one_thing():
    rows = [pole(2, moisture_pct=12.0), pole(3, moisture_pct=14.0), pole(4, "", None)]
    filled = of_boards(rows)[2]
    assert (filled.species, filled.moisture_pct, filled.from_board) == ("hazel", None, ("species",))
    two_woods = [pole(2), pole(3, "European ash"), pole(4, "", None)]
    assert of_boards(two_woods) == tuple(two_woods)


@pytest.mark.parametrize(
    "other",
    [
        pole(3, "", None, board="pole 2"),
        pole(3, "", None, board=""),
        pole(3, "", None, exclude="another pole"),
    ],
)
def test_a_blank_of_another_board_or_left_out_takes_nothing(other):
    assert of_boards([pole(2), other])[1] is other


def test_woods_and_waters_taken_over_are_told_in_one_sentence():
    rows = of_boards([pole(2), pole(3, "", None), pole(4, board="p"), pole(5, "Hazel", None, "p")])
    (told,) = board_word_doubts(rows)
    assert "wood and moisture of row 3 (hazel, green); moisture of row 5 (green)." in told.text
