"""Strokes far from those of the blade's like pieces are asked about, and a number twice."""

from dataclasses import replace

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.asked_of_likes import asked_of_likes, stroke_doubts


def piece(line, chops, *, blade="H1", width_mm=50.0, order=None, **more):
    return ChopRow(line, blade, "billet", order, chops=parse_strokes(chops), width_mm=width_mm,
                   thickness_mm=50.0, **more)  # fmt: skip


def asked(*rows, line=None):
    return [str(one) for one in asked_of_likes("chops.csv", rows, line)]


LIKE = [piece(k, n) for k, n in enumerate(("11", "14", "19", "12"), 2)]


def test_a_tenfold_slip_is_asked_about_at_its_row_alone():
    (told,) = asked(*LIKE, piece(9, "130"))
    assert told.startswith("chops.csv, row 9, chops: 130 strokes are 10 times as many as the 13 of "
                           "4 like pieces of H1")  # fmt: skip
    assert asked(*LIKE, piece(9, "130"), line=2) == []
    assert len(asked(*LIKE, piece(9, "130"), line=9)) == 1
    (few,) = asked(*LIKE, piece(9, "2"))
    assert "2 strokes are 6.5 times as few as the 13 of" in few


@pytest.mark.parametrize(("chops", "odd"), [("38", False), ("39", True), ("5", False),
                                            ("4", True), (">38", False), (">130", True),
                                            (">2", False)])  # fmt: skip
def test_three_times_is_the_border(chops, odd):
    assert len(asked(*LIKE, piece(9, chops))) == odd


@pytest.mark.parametrize(
    ("chops", "odd"),
    [("41", True), ("31", True), ("21", False), ("40", False), ("28", False), ("61", True)],
)
def test_a_number_that_is_like_the_others_with_its_digits_swapped_is_asked_about(chops, odd):
    """31 is 2.2 times the 14 of the others, and 13 is like them; 28 is twice, and 82 is not."""
    like = [piece(k, n) for k, n in enumerate(("15", "14", "12", "14"), 2)]
    told = asked(*like, piece(9, chops))
    assert bool(told) == odd
    if chops == "31":
        assert "; were it 13, its digits swapped, it would be like them; check" in told[0]
    assert ("swapped" in "".join(told)) == (chops in ("41", "31", "61"))


def test_of_two_pieces_the_later_is_asked_about():
    (told,) = asked(piece(2, "130"), piece(3, "13"))
    assert "row 3, chops: 13 strokes are 10 times as few as the 130 of a like piece" in told


@pytest.mark.parametrize("other", [piece(9, "130", blade="C1"), piece(9, "130", width_mm=70.0),
                                   piece(9, "130", species="oak"), piece(9, "130", exclude="x"),
                                   piece(9, "130", moisture_pct="green")])  # fmt: skip
def test_another_blade_size_or_wood_is_no_like_piece(other):
    assert asked(*LIKE, other) == []


def test_few_strokes_differ_by_chance():
    assert asked(piece(2, "1"), piece(3, "1"), piece(4, "7")) == []


def poles(*strokes, last=("2", "3")):
    """Poles of unlike thickness, a piece of each with OLD and then with H1, and a last one."""
    rows = []
    for n, (mine, theirs) in enumerate((*strokes, last)):
        more = {"board": f"hazel {n}", "width_mm": 30.0 * 1.4**n}
        rows += [piece(2 + 2 * n, theirs, blade="OLD", **more), piece(3 + 2 * n, mine, **more)]
    return rows


ALIKE = [("3", "4"), ("5", "7"), ("6", "9")]


def test_where_no_like_piece_stands_the_other_tool_s_of_the_same_board_is_the_measure():
    (told,) = asked(*poles(*ALIKE, last=("20", "3")))
    said = (
        "row 9, chops: 20 strokes are 6.7 times as many as the 3 of OLD on the same board (row 8)"
    )
    assert said in told
    assert asked(*poles(*ALIKE)) == []
    (few,) = asked(*poles(*ALIKE, last=("2", "30")))
    assert "2 strokes are 15 times as few as the 30 of OLD on the same board" in few
    assert [one.code for one in stroke_doubts("chops.csv", poles(*ALIKE, last=("20", "3")))] == [
        "strokes_asked"
    ]


def studs(*strokes):
    """Studs of one size and unlike water, one with C1 and then one with H1."""
    rows = []
    for n, (theirs, mine) in enumerate(strokes):
        more = {"board": f"stud {n}", "moisture_pct": f"{11 + n}"}
        rows += [piece(2 + 2 * n, theirs, blade="C1", **more), piece(3 + 2 * n, mine, **more)]
    return rows


def test_of_two_tools_unlike_on_one_board_the_one_is_named_that_is_unlike_its_own_pieces():
    (told,) = asked(*studs(("91", "13"), ("21", "13"), ("23", "15"), ("22", "14")))
    assert "row 2, chops: 91 strokes are 7 times as many as the 13 of H1 on the same board" in told
    assert "one of the two" not in told
    (told,) = asked(*studs(("19", "13"), ("21", "2"), ("23", "15"), ("22", "14")))
    assert "row 5, chops: 2 strokes are 10 times as few as the 21 of C1" in told


def test_before_either_tool_has_another_piece_either_number_may_be_the_slip():
    (told,) = asked(*studs(("91", "13")))
    assert "row 3, chops: 13 strokes are 7 times as few as the 91 of C1" in told
    assert "(row 2); one of the two may be a slip" in told


def test_a_piece_is_not_asked_about_because_the_only_other_pair_has_a_slip():
    (told,) = asked(*studs(("91", "13"), ("13", "21")))
    assert "91" in told


def test_a_tool_that_takes_four_times_as_many_on_every_board_is_not_asked_about():
    assert asked(*poles(("12", "3"), ("20", "5"), ("24", "6"), last=("28", "7"))) == []
    assert len(asked(*poles(("12", "3"), ("20", "5"), ("24", "6"), last=("7", "7")))) == 1


@pytest.mark.parametrize(
    ("last", "odd"),
    [(("20", ">3"), False), ((">2", "20"), False), ((">20", "3"), True), (("7", "2"), False)],
)
def test_a_piece_that_still_stood_may_have_taken_any_number_more(last, odd):
    """Few strokes, below eight, differ by chance."""
    assert bool(asked(*poles(*ALIKE, last=last))) == odd


def test_another_board_or_size_is_no_measure():
    rows = poles(last=("20", "3"))
    assert len(asked(*rows)) == 1
    for more in ({"board": "hazel 9"}, {"width_mm": 60.0}, {"board": ""}, {"species": "oak"}):
        assert asked(rows[0], replace(rows[1], **more)) == []
    nameless = [replace(row, board="") for row in rows]
    assert asked(*nameless) == []


def test_a_number_that_stands_twice_on_two_boards_is_asked_about():
    rows = [piece(k, "14", order=k - 1, board=f"board {k - 1}") for k in (2, 3, 4)]
    (told,) = asked(*rows, piece(9, "14", order=1, board="1"))
    assert 'row 9, order: billet 1 of H1 stands in row 2 too, there of "board 1"' in told
    anew = [piece(k + 9, "14", order=k, board="board 9") for k in (1, 2)]
    assert asked(*rows, *anew) == []  # each board numbers its own


def test_it_is_asked_at_the_prompt_and_by_check(run, tmp_path):
    folder = tmp_path / "slip"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1")
    wood = ("species=Scots pine", "moisture_pct=12", "width_mm=50", "thickness_mm=50")
    for number, chops in enumerate((13, 14, 130), 1):
        code, out, _ = run("enter", folder, "blade=H1", "kind=billet", f"order={number}",
                           f"chops={chops}", *wood)  # fmt: skip
        assert code == 0
    assert "130 strokes are 9.6 times as many as the 13.5 of 2 like pieces of H1" in out
    _, told, _ = run("check", folder)
    assert "130 strokes are 9.6 times as many" in told


def test_a_slip_of_the_strokes_is_a_doubt_of_the_figures_too():
    (found,) = stroke_doubts("chops.csv", [*LIKE, piece(9, "130")])
    assert (found.code, found.where.row, found.where.blade) == ("strokes_asked", 9, "H1")
    assert found.text.startswith("chops.csv, row 9, chops: 130 strokes are 10 times as many")
    assert list(stroke_doubts("chops.csv", LIKE)) == []


def test_of_three_pieces_the_one_that_is_unlike_both_others_is_asked_about_alone():
    (found,) = stroke_doubts("chops.csv", [piece(2, "20"), piece(3, "190"), piece(4, "22")])
    assert found.where.row == 3


def test_a_number_that_stands_twice_is_a_doubt_of_the_figures_too():
    numbers = ((2, 1, "a"), (3, 2, "b"), (4, 3, "c"), (5, 2, "d"))
    rows = [piece(line, "14", order=order, board=board) for line, order, board in numbers]
    (found,) = stroke_doubts("chops.csv", rows)
    assert (found.code, found.where.row) == ("strokes_asked", 5)
    assert 'row 5, order: billet 2 of H1 stands in row 3 too, there of "b"' in found.text
