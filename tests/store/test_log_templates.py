"""The empty rows of a chop test by boards: a look, a piece with each tool in turn, the end."""

import pytest

from edgetest.store.log_templates import empty_table, planned_table
from edgetest.store.protocol import load_protocol


def cells(runs, protocol):
    name, (heading, *rows) = planned_table(runs, load_protocol(protocol))
    assert name == "chops"
    assert {len(row) for row in rows} == {len(heading)}
    return [tuple(dict(zip(heading, row, strict=True))[key] for key in
                  ("kind", "order", "board", "blade")) for row in rows]  # fmt: skip


def test_every_board_gives_a_piece_to_every_tool_in_its_turn():
    runs = [("stud 1", "H"), ("stud 1", "C"), ("pole", "C"), ("pole", "H"), ("bar", "H"),
            ("bar", "C")]  # fmt: skip
    assert cells(runs, "lumber_chop") == [
        ("inspection", "0", "", "H"), ("inspection", "0", "", "C"),
        ("lumber", "1", "stud 1", "H"), ("lumber", "1", "stud 1", "C"),
        ("lumber", "2", "pole", "C"), ("lumber", "2", "pole", "H"),
        ("lumber", "3", "bar", "H"), ("lumber", "3", "bar", "C"),
        ("inspection", "1", "", "H"), ("inspection", "1", "", "C"),
        ("shave", "1", "", "H"), ("shave", "1", "", "C"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("boards", "pieces"),
    [("a", "aaa"), ("ab", "aab"), ("abc", "abc"), ("abcd", "abcd")],
)
def test_fewer_boards_than_pieces_give_more_of_the_first(boards, pieces):
    rows = cells([(board, "H") for board in boards], "billet_chop")
    assert "".join(board for kind, _, board, _ in rows if kind == "billet") == pieces
    orders = [order for kind, order, *_ in rows if kind == "billet"]
    assert orders == [str(n) for n in range(1, len(pieces) + 1)]


def test_without_boards_the_pieces_come_as_the_protocol_asks():
    _, (_, *rows) = empty_table(["H", "C"], load_protocol("billet_chop"))
    assert [row[:3] for row in rows if row[1] == "billet"] == [
        [blade, "billet", str(n)] for n in (1, 2, 3) for blade in ("H", "C")
    ]
    assert {row[4] for row in rows} == {""}


@pytest.mark.parametrize(
    ("protocol", "round_ones"), [("billet_chop", True), ("lumber_chop", False)]
)
def test_a_billet_may_be_a_pole_and_has_a_cell_for_its_diameter(protocol, round_ones):
    _, (heading, *_) = planned_table([("", "H")], load_protocol(protocol))
    assert ("diameter_mm" in heading) == round_ones
