"""Rows that are of one board each are told once, behind what weighs more."""

from edgetest.report.documents.chopper_words import first_doubts
from edgetest.report.documents.one_board_told import one_board_lines
from tests.report.documents.hook_logs import analysed

STUD = "T1,billet,14,50,50,white ash,12,,a,,\nT1,billet,15,50,50,white ash,12,,a,,\n"
THICK = "T1,billet,24,70,70,white ash,12,,b,,\nT1,billet,25,70,70,white ash,12,,b,,\n"
OAK = "T1,billet,16,50,50,English oak,12,,c,,\nT1,billet,17,50,50,English oak,12,,d,,\n"


def test_one_row_of_one_board_is_told_by_its_wood_and_size(tmp_path):
    (line,) = one_board_lines(analysed(tmp_path, STUD + OAK), "T1")
    assert line.startswith("All pieces of white ash, 50 mm by 50 mm, come from one board")


def test_several_rows_of_one_board_are_told_in_one_line(tmp_path):
    found = analysed(tmp_path, STUD + THICK + OAK)
    assert one_board_lines(found, "T1") == [
        "In 2 of 3 rows of the table of pieces (white ash) the pieces come from one board, so each"
        " such mean is that board's. The interval allows for boards that differ by 14 %, which is"
        " assumed."
    ]
    assert one_board_lines(found, "C1") == []
    (line,) = one_board_lines(analysed(tmp_path, STUD + THICK), "T1")
    assert line.startswith("In all 2 rows of the table of pieces")


def test_what_was_given_up_stands_before_it_on_page_one(tmp_path):
    stood = "T1,billet,>40,50,50,hazel,green,,e,,\nT1,billet,20,50,50,hazel,green,,f,,\n"
    first, later = first_doubts(analysed(tmp_path, STUD + THICK + stood), "T1")
    told = [*first, *later]
    places = [
        next(n for n, line in enumerate(told) if words in line)
        for words in ("given up still standing", "come from one board")
    ]
    assert places == sorted(places)
    assert sum("come from one board" in line for line in told) == 1
