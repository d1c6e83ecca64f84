"""Each board gives a piece to every tool, in turns that favour none."""

import re
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.store.chop_log import ChopRow, read_chops
from edgetest.study.chop.board_order import (
    board_order,
    boards_missed,
    boards_of,
    first_told,
    first_words,
    tools_alone,
    usual_boards,
)
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_source


def study(*treatments, control=None):
    blades = [SimpleNamespace(id=f"B{n}", heat_treatment=name) for n, name in enumerate(treatments)]
    return SimpleNamespace(blades=blades, control=control)


BOARDS = ("stud 1", "stud 2", "hazel 1", "hazel 2")


def test_boards_may_be_more_than_tools_and_each_tool_is_first_as_often():
    runs = board_order(study(None, None, control="B1"), BOARDS, np.random.default_rng(1))
    by_board = {board: [r.blade for r in runs if r.block == board] for board in BOARDS}
    assert all(sorted(tools) == ["B0", "B1"] for tools in by_board.values())
    assert sorted(tools[0] for tools in by_board.values()) == ["B0", "B0", "B1", "B1"]
    assert [r.block for r in runs] == [board for board in BOARDS for _ in range(2)]
    assert {r.blade: r.treatment for r in runs} == {"B0": "not named", "B1": "control"}


def test_blades_of_two_heat_treatments_chop_every_board_too():
    of = study("a", "a", "b", "b", None, control="B4")
    runs = board_order(of, BOARDS[:2], np.random.default_rng(1))
    for board in BOARDS[:2]:
        here = [r for r in runs if r.block == board]
        assert sorted(r.blade for r in here) == ["B0", "B1", "B2", "B3", "B4"]
        assert {r.treatment for r in here if r.blade == "B4"} == {"control"}


@pytest.mark.parametrize(
    ("of", "alone"),
    [
        (study(None, None), True),
        (study("a", None), True),
        (study("a", "", "a"), True),
        (study("a", "b", control="B1"), True),
        (study("a", "b"), False),
        (study("a", "b", "c", control="B2"), False),
    ],
)
def test_tools_stand_alone_where_no_two_heat_treatments_are_named(of, alone):
    assert tools_alone(of) is alone


def test_boards_are_those_of_the_log_under_way_else_one_for_each_piece():
    lumber = SimpleNamespace(chop_kinds=("lumber",), stages=(1, 2))
    billets = SimpleNamespace(chop_kinds=("billet",), stages=(1, 2, 3))
    assert usual_boards(lumber) == ("stud 1", "stud 2")
    assert usual_boards(billets) == ("board 1", "board 2", "board 3")
    rows = [ChopRow(2, "B", "billet", board="ash", chops=9), ChopRow(3, "B", "billet", block="oak")]
    others = [ChopRow(1, "B", "inspection"), ChopRow(4, "B", "single", board="deep", depth_mm=9)]
    log = SimpleNamespace(rows=[*others, *rows])
    assert usual_boards(billets, log) == ("ash", "oak")
    assert usual_boards(billets, SimpleNamespace(rows=rows[1:]))[0] == "board 1"
    bare = SimpleNamespace(rows=[ChopRow(2, "B", "billet", chops=9)])
    assert usual_boards(billets, bare) == ("board 1", "board 2", "board 3")


def test_a_board_that_is_named_twice_gives_each_tool_two_pieces_in_turn():
    runs = board_order(study(None, None, control="B1"), ("a", "a", "b"), np.random.default_rng(1))
    of_a = [r.blade for r in runs if r.block == "a"]
    assert sorted(of_a[:2]) == sorted(of_a[2:]) == ["B0", "B1"]
    assert [(r.block, r.turn) for r in runs] == [("a", 1), ("a", 2), ("a", 3), ("a", 4),
                                                 ("b", 1), ("b", 2)]  # fmt: skip
    assert boards_of(runs) == ("a", "a", "b")


@pytest.mark.parametrize("seed", range(4))
def test_no_tool_begins_every_board_where_each_gets_two_pieces_of_it(seed):
    boards = [name for name in BOARDS for _ in range(2)]
    runs = board_order(study(None, None, control="B1"), boards, np.random.default_rng(seed))
    first = {r.block: r.blade for r in reversed(runs)}
    assert sorted(first.values()) == ["B0", "B0", "B1", "B1"]
    turns = [[r.blade for r in runs if r.block == name] for name in BOARDS]
    assert all(sorted(of[:2]) == sorted(of[2:]) == ["B0", "B1"] for of in turns)
    assert all(of[0] == of[3] for of in turns)  # begun by one, so its second piece comes last


def test_a_log_with_two_pieces_of_a_board_names_it_twice():
    rows = [
        ChopRow(k, blade, "billet", number, board=board, chops=9)
        for k, (blade, number, board) in enumerate(
            (b, n, "ash" if n < 3 else "oak") for n in (1, 2, 3) for b in ("A", "B")
        )
    ]
    billets = SimpleNamespace(chop_kinds=("billet",), stages=(1, 2, 3))
    assert usual_boards(billets, SimpleNamespace(rows=rows)) == ("ash", "ash", "oak")


@pytest.mark.parametrize(
    "asked", [["--blocks", "ash,oak,elm", "--runs", "2"], ["--blocks", "ash,ash,oak,oak,elm,elm"]]
)
def test_two_pieces_of_each_of_three_boards_are_planned_under_the_boards_own_names(
    run, tmp_path, asked
):
    folder = tmp_path / "camp"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1", "--control", "C1")
    code, told, _ = run("plan", folder, *asked, "--fresh", "15")
    assert code == 0
    assert "Saw 2 pieces for each tool from every board" in told
    assert "With the 6 pieces of each tool here" in told
    rows = [row for row in read_chops(folder / "chops.csv").rows if row.kind == "billet"]
    for blade in ("H1", "C1"):
        own = [(row.order, row.board) for row in rows if row.blade == blade]
        assert own == [(1, "ash"), (2, "ash"), (3, "oak"), (4, "oak"), (5, "elm"), (6, "elm")]
    for number in range(1, 7):  # a piece with each tool before the next
        assert {row.blade for row in rows[2 * number - 2 : 2 * number]} == {"H1", "C1"}
    wood = ("species=Scots pine", "moisture_pct=12", "width_mm=50", "thickness_mm=50")
    for number, row in enumerate(rows):
        run("enter", folder, f"blade={row.blade}", "kind=billet", f"order={row.order}",
            f"chops={13 + number % 5}", *wood)  # fmt: skip
    result = analyse_chops(open_source(folder))
    assert {piece.board for piece in result.pieces} == {"ash", "oak", "elm"}
    assert len(result.pieces) == 12
    _, told, _ = run("chop", folder)
    assert "all blades in turn" in told
    log = (folder / "chops.csv").read_text(encoding="utf-8")
    gone = re.compile("C1,billet,[56],|H1,billet,6,")
    fewer = [line for line in log.splitlines() if not gone.match(line)]
    (folder / "chops.csv").write_text("\n".join(fewer) + "\n", encoding="utf-8")
    _, told, _ = run("chop", folder)
    assert "blades in turn; no piece with C1 on elm" in told
    (folder / "chops.csv").write_text(log, encoding="utf-8")
    code, told, _ = run("plan", folder, "--seed", "3", "--dry-run")
    assert code == 0
    assert "Saw 2 pieces for each tool from every board" in told


def test_a_board_that_one_tool_has_no_piece_of_is_named():
    turns = (("A", "ash"), ("B", "ash"), ("A", "oak"))
    rows = [ChopRow(k, blade, "billet", board=b, chops=9) for k, (blade, b) in enumerate(turns)]
    assert boards_missed(SimpleNamespace(rows=rows)) == "B on oak"
    assert boards_missed(SimpleNamespace(rows=rows[:2])) == ""


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        ("1 hazel AB, 2 oak AB", "A"),
        ("1 hazel AB, 2 oak BA", "of hazel A; of oak B"),
        ("1 oak AB, 2 oak BA, 3 oak AB", "A on 2 of 3 boards and B on 1"),
        ("1 oak AB, 2 oak BA, 3 ash BA, 4 ash AB", "A on 2 of 4 boards and B on 2"),
        ("1 oak AB, 2 oak BA, 3 ash BA", "of oak A on 1 of 2 boards and B on 1; of ash B"),
        ("1 oak A", ""),
    ],
)
def test_the_tool_that_was_first_on_a_board_is_told_by_wood_where_that_differs(turns, said):
    rows = [
        ChopRow(1, blade, "billet", board=board, species=wood, chops=9)
        for board, wood, blades in map(str.split, turns.split(", "))
        for blade in blades
    ]
    assert first_words(SimpleNamespace(rows=rows)) == said


@pytest.mark.parametrize("left_out", ["", "split lengthwise"])
def test_a_board_without_a_counting_piece_of_two_tools_has_no_first(left_out):
    turns = (("A", "1", ""), ("B", "1", ""), ("B", "2", ""), ("A", "2", ""), ("A", "3", left_out))
    log = SimpleNamespace(rows=[
        ChopRow(k, blade, "billet", board=board, species="oak", chops=9, exclude=why)
        for k, (blade, board, why) in enumerate(turns)
    ])  # fmt: skip
    which = "each board" if left_out else "each shared board"
    assert first_told(log) == f"first on {which}: A on 1 of 2 boards and B on 1"


def test_pieces_of_boards_that_nobody_noted_have_no_first():
    turns = (("A", ""), ("B", ""), ("A", "1"), ("B", "1"))
    rows = [ChopRow(k, blade, "billet", board=b, chops=9) for k, (blade, b) in enumerate(turns)]
    assert first_told(SimpleNamespace(rows=rows[:2])) == ""
    assert first_told(SimpleNamespace(rows=rows)) == "first on each shared board: A"


def test_a_piece_left_out_and_done_again_was_a_turn_of_its_board():
    turns = (("A", "lost count"), ("B", ""), ("A", ""))
    rows = [ChopRow(k, blade, "billet", board="1", chops=9, exclude=why)
            for k, (blade, why) in enumerate(turns)]  # fmt: skip
    assert first_told(SimpleNamespace(rows=rows)) == "first on each board: A"
    assert first_told(SimpleNamespace(rows=rows[:1])) == ""
