"""A size with its point lost is asked about: by itself, beside its board, and for its strokes."""

import pytest

from edgetest.report.documents.chopper_words import SAID_ELSEWHERE
from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.asked_about import asked_about, asked_of_last
from edgetest.study.chop.asked_of_sizes import asked_of_sizes
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.enter_rows import asked_of, enter
from edgetest.study.sources import open_chops, open_source


def pole(line, diameter_mm, chops="30", board="pole 1", **more):
    return ChopRow(line, "T1", "billet", chops=parse_strokes(chops), diameter_mm=diameter_mm,
                   board=board, **more)  # fmt: skip


def stud(line, width_mm, thickness_mm, chops="30", board="stud 1", **more):
    return ChopRow(line, "T1", "lumber", chops=parse_strokes(chops), width_mm=width_mm,
                   thickness_mm=thickness_mm, board=board, **more)  # fmt: skip


def asked(*rows, line=None):
    return [str(one) for one in asked_of_sizes("chops.csv", rows, line)]


def test_a_size_far_from_the_others_of_its_board_is_asked_about_with_both():
    (told,) = asked(pole(2, 42.0), pole(3, 420.0))
    assert told.startswith(
        'chops.csv, row 3, diameter_mm: 420 mm is far from 42 mm in row 2, and both are of "pole 1"'
    )
    assert "if they are right, leave them" in told


def test_the_odd_one_of_several_is_asked_about_wherever_it_stands():
    (told,) = asked(pole(2, 28.0), pole(3, 42.0), pole(4, 44.0))
    assert "row 2, diameter_mm: 28 mm is far from 42 mm in row 3" in told


@pytest.mark.parametrize(("second", "odd"), [(59.9, False), (60.0, True), (26.7, False),
                                             (26.6, True)])  # fmt: skip
def test_half_as_large_again_is_the_border(second, odd):
    assert len(asked(pole(2, 40.0), pole(3, second))) == odd


def test_each_side_of_a_flat_piece_is_held_against_its_like_whichever_is_called_width():
    assert asked(stud(2, 89.0, 38.0), stud(3, 38.0, 89.0)) == []
    (told,) = asked(stud(2, 89.0, 38.0), stud(3, 89.0, 20.0))
    assert "row 3, thickness_mm: 20 mm is far from 38 mm" in told


@pytest.mark.parametrize(
    "other",
    [
        pole(3, 90.0, board="pole 2"),
        pole(3, 90.0, board=""),
        pole(3, 90.0, species="ash"),
        pole(3, 90.0, exclude="another pole"),
        stud(3, 90.0, 90.0, board="pole 1"),
    ],
)
def test_pieces_of_another_board_wood_or_shape_may_have_another_size(other):
    assert asked(pole(2, 42.0), other) == []


@pytest.mark.parametrize(
    ("piece", "told"),
    [
        # 42 mm thick are 13.9 cm²: one stroke is possible. 320 mm are 804 cm².
        (pole(2, 42.0, "1"), None),
        (pole(2, 320.0, "7"), "7 strokes for a piece of 320 mm thick: 115 cm² a stroke"),
        (pole(2, 320.0, "21"), None),
        (pole(2, 320.0, ">7"), None),
        (stud(2, 89.0, 138.0, "3"), "3 strokes for a piece of 89 mm × 138 mm: 41 cm² a stroke"),
        (stud(2, 89.0, 134.0, "3"), None),
        (pole(2, 420.0, "7"), None),  # asked about by itself, for no piece is as thick
    ],
)
def test_few_strokes_for_a_thick_piece_are_asked_about(piece, told):
    found = asked(piece)
    assert len(found) == (told is not None)
    assert all(f"row 2, chops: {told}" in one for one in found)
    assert asked(piece, line=3) == []


def flat(line, width_mm, thickness_mm, board="stud 1", lies="flat"):
    return stud(line, width_mm, thickness_mm, board=board, orientation=lies)


def test_sides_typed_the_other_way_round_than_their_board_are_asked_about():
    (told,) = asked(flat(2, 60.0, 40.0), flat(3, 40.0, 60.0), flat(4, 61.0, 40.0))
    assert (
        "row 3, width_mm: 40 mm wide and 60 mm thick, where row 2 is 60 mm wide and 40 mm thick; "
        'both are of "stud 1" and lay flat; swap the two'
    ) in told
    others = [flat(4, 60.0, 40.0, "stud 2"), flat(5, 60.0, 40.0, "stud 3")]
    (first,) = asked(flat(2, 40.0, 60.0), flat(3, 60.0, 40.0), *others)  # the log decides a tie
    assert "row 2, width_mm" in first
    (later,) = asked(flat(2, 40.0, 60.0), flat(3, 60.0, 40.0))
    assert "row 3, width_mm" in later


@pytest.mark.parametrize(
    "other",
    [
        flat(3, 40.0, 60.0, lies="on edge"),  # width may be the face that took the blow
        flat(3, 40.0, 60.0, "stud 2"),
        flat(3, 40.0, 60.0, lies=""),  # asked about by itself
        flat(3, 50.0, 52.0),  # of a square it does not matter
    ],
)
def test_sides_that_may_be_meant_so_are_not_asked_about(other):
    assert asked(flat(2, 60.0, 40.0), other) == []


def own(line, thickness_mm, chops, board):
    return stud(line, 50.0, thickness_mm, chops, board=board)


def test_a_piece_of_its_own_ten_times_too_large_is_held_against_the_strokes_on_other_boards():
    others = [own(n, 50.0, "10", f"b{n}") for n in (2, 3, 4)]  # 2.5 cm² a stroke
    (told,) = asked(*others, own(5, 300.0, "9", "b5"))
    assert (
        "row 5, chops: 9 strokes for a piece of 50 mm × 300 mm: 17 cm² a stroke, and those of the "
        "other boards are usually 2.5 cm²"
    ) in told
    assert asked(*others, own(5, 300.0, "11", "b5")) == []  # 5.5 times
    assert asked(*others[:2], own(5, 300.0, "9", "b5")) == []  # two show no usual stroke


@pytest.mark.parametrize("first", [42.0, 300.0])
def test_of_two_sizes_on_a_board_the_one_is_asked_about_that_its_strokes_do_not_fit(first):
    second = 342.0 - first
    others = [pole(n, 42.0, "8", board=f"p{n}") for n in (4, 5, 6)]
    for beside in ([], others):  # without any, what a stroke opens as a rule decides
        told = asked(pole(2, first, "8"), pole(3, second, "8"), *beside)
        assert len(told) == 1
        assert f"row {2 if first == 300 else 3}, diameter_mm: 300 mm is far from 42 mm" in told[0]


HEADING = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board\n"
STUDY = """title = "hazel"
protocol = "billet_chop"
[[blades]]
id = "B1"
[[blades]]
id = "O1"
"""


@pytest.fixture
def study(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = "B1,billet,1,8,42,hazel,green,pole 1\n"
    (tmp_path / "chops.csv").write_text(HEADING + rows, encoding="utf-8")
    return tmp_path


TOLD = (
    "row 3, diameter_mm: 420 is unusual: 10 to 350 mm is what is met",
    "row 3, diameter_mm: 420 mm is far from 42 mm in row 2",
)


def test_check_asks_about_a_pole_with_its_point_lost(study):
    with (study / "chops.csv").open("a", encoding="utf-8") as log:
        log.write("O1,billet,1,7,420,hazel,green,pole 1\n")
    told = "\n".join(str(one) for one in asked_about(open_source(study)))
    assert [words in told for words in TOLD] == [True, True]


def test_enter_and_the_bench_ask_about_it_as_it_is_saved(study):
    cells = {"blade": "O1", "kind": "billet", "order": "1", "chops": "7", "diameter_mm": "420"}
    change = enter(study, {**cells, "species": "hazel", "moisture_pct": "green", "board": "pole 1"})
    for told in (asked_of(study, change), asked_of_last(open_source(study), table="chops")):
        assert [any(words in str(one) for one in told) for words in TOLD] == [True, True]


def test_chop_tells_the_size_above_its_figures_and_the_sheet_does_not(study):
    with (study / "chops.csv").open("a", encoding="utf-8") as log:
        log.write("O1,billet,1,7,420,hazel,green,pole 1\nB1,billet,2,2,9,hazel,green,pole 2\n")
        log.write("B1,billet,3,2,300,hazel,green,pole 3\n")
    result = analyse_chops(open_chops(study))
    lines = result.summary().splitlines()
    asked = [line for line in lines if line.startswith("asked: ")]
    assert lines.index(asked[0]) < 3
    assert [line.split(": ", 2)[1] for line in asked] == [
        "chops.csv, row 3, diameter_mm", "chops.csv, row 4, diameter_mm", "chops.csv, row 5, chops",
    ]  # fmt: skip
    assert "420 mm is far from 42 mm in row 2" in asked[0]
    assert "9 mm, and 10 to 350 mm is what is met. The strokes of its tool" in asked[1]
    assert not [line for line in lines if line.startswith("note: ") and "is met" in line]
    assert [one.where.row for one in result.doubts if one.code == "piece_size_asked"] == [3, 4, 5]
    assert "piece_size_asked" in SAID_ELSEWHERE


def test_enter_asks_of_its_row_what_check_tells_once_a_log(study):
    cells = {"kind": "billet", "chops": "7", "diameter_mm": "42", "species": "hazel",
             "moisture_pct": "wet", "board": "pole 1"}  # fmt: skip
    for blade, line in (("O1", 3), ("B1", 4)):
        order = {"blade": blade, "order": str(line)}
        told = asked_of(study, enter(study, {**cells, **order}))
        words = [one for one in told if "moisture_pct" in one]
        assert len(words) == 1, blade
        assert f'row {line}, moisture_pct: "wet" counts as green' in words[0]
    assert sum("moisture_pct" in str(one) for one in asked_about(open_source(study))) == 1
