"""Tools that other hands chopped with: doubted beside their ratio, and asked about once."""

from types import SimpleNamespace

import pytest

from edgetest.report.documents.chopper_sheet import sheet_contents
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.report.documents.frame import settings_for
from edgetest.report.documents.strokes_method import people_words
from edgetest.store.chop_log import read_chops
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.hands_unlike import asked_of_hands, hands_doubts
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "lumber_chop"
control = "C1"
blades = [{id = "H1"}, {id = "C1"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,nominal,orientation,chops,operator\n"
STROKES = {"H1": (14, 16, 13, 17, 19), "C1": (19, 21, 18, 25, 24)}


def log_of(h1, c1, board="board"):
    """A log in which H1 and C1 were in the hands named, piece by piece."""
    rows = [
        f"{tool},lumber,{n + 1},{f'{board} {n + 1}' * bool(board)},Douglas-fir,air-dry,2x4,flat,"
        f"{STROKES[tool][n]},{hands[n]}"
        for n in range(5)
        for tool, hands in (("H1", h1), ("C1", c1))
    ]
    return (HEAD + "\n".join(rows) + "\n").encode()


def pieces_of(h1, c1, board="board"):
    return [row for row in read_chops(log_of(h1, c1, board), name="chops.csv").rows]


RAY, BEN = ["Ray"] * 5, ["Ben"] * 5
ONE = ["Ray"] * 3 + ["Ben"] + ["Ray"]


@pytest.mark.parametrize(
    ("h1", "c1", "board", "code", "told"),
    [
        (RAY, BEN, "board", "hands_apart", "H1 by Ray, C1 by Ben"),
        (RAY, BEN, "", "hands_apart", "H1 by Ray, C1 by Ben"),
        (RAY, ONE, "board", "hands_unlike", "board 4: H1 by Ray, C1 by Ben"),
        (RAY, ONE, "", "hands_unlike", "other pieces: H1 by Ray, C1 by Ray and Ben"),
    ],
)
def test_other_hands_on_the_one_tool_are_named(h1, c1, board, code, told):
    (one,) = hands_doubts(pieces_of(h1, c1, board), "H1", "C1")
    assert (one.code, one.where.blade, one.where.other) == (code, "H1", "C1")
    assert told in one.text


@pytest.mark.parametrize(
    ("h1", "c1"), [(RAY, RAY), (ONE, ONE), (RAY, [""] * 5), ([""] * 5, [""] * 5)]
)
def test_hands_that_chopped_alike_or_were_not_noted_are_not_doubted(h1, c1):
    pieces = pieces_of(h1, c1)
    assert list(hands_doubts(pieces, "H1", "C1")) == []
    assert list(asked_of_hands("chops.csv", pieces)) == []


def test_a_hand_on_boards_of_one_tool_alone_is_named():
    pieces = [row for row in pieces_of(RAY, ONE) if (row.blade, row.order) != ("H1", 4)]
    (one,) = hands_doubts(pieces, "H1", "C1")
    assert (one.code, one.where.blade) == ("hands_unlike", "H1")
    assert "on all pieces together: H1 by Ray, C1 by Ray and Ben." in one.text
    (asked,) = asked_of_hands("chops.csv", pieces)
    assert asked.where == "chops.csv, row 9, operator"


def test_a_hand_that_may_have_had_both_tools_is_not_doubted():
    pieces = pieces_of(["Ray"] * 3 + ["", "Ray"], ONE)
    assert list(hands_doubts(pieces, "H1", "C1")) == []


def test_check_asks_once_at_a_row_of_the_odd_hand():
    (asked,) = asked_of_hands("chops.csv", pieces_of(RAY, ONE))
    assert str(asked).startswith(
        "chops.csv, row 9, operator: other hands chopped with H1 than with C1 (board 4: H1 by Ray"
    )
    assert len(list(asked_of_hands("chops.csv", pieces_of(RAY, BEN)))) == 1


@pytest.mark.parametrize(("last", "asked"), [("Ben", False), ("Ray", True)])
def test_a_board_under_way_is_not_asked_about_before_the_other_tool_had_its_turn(
    run, tmp_path, last, asked
):
    run("new", tmp_path / "s", "--protocol", "billet_chop", "--blade", "H1", "--control", "C1")
    wood = ("species=hazel", "moisture_pct=green", "diameter_mm=42", "kind=billet")

    def enter(tool, number, strokes, hand):
        cells = (f"blade={tool}", f"order={number}", f"board=A{number}", f"operator={hand}")
        code, told, _ = run("enter", tmp_path / "s", *cells, *wood, f"chops={strokes}")
        assert code == 0
        return told

    enter("H1", 1, 9, "Ray")
    enter("C1", 1, 12, "Ray")
    assert "hand" not in enter("H1", 2, 9, "Ben")
    assert ("other hands chopped with H1 than with C1" in enter("C1", 2, 12, last)) == asked


def test_a_ratio_of_two_hands_stands_nowhere_alone(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_bytes(log_of(RAY, BEN))
    result = analyse_chops(open_chops(tmp_path))
    first = tool_sentences(result, "H1")[0]
    assert first.endswith("which is of the hands as much as of the tools).")
    (ratio,) = [one for one in tool_sentences(result, "H1") if one.startswith("Side by side")]
    assert ratio.endswith(" (which is of the hands as much as of the tools).")
    lines = result.summary().splitlines()
    (at,) = [n for n, line in enumerate(lines) if line.startswith("chops, H1 over C1")]
    assert lines[at + 1].startswith("note: No hand chopped with both H1 and C1 (H1 by Ray, C1 by")
    assert sum("No hand chopped" in line for line in lines) == 1
    assert "hands_apart" in [one["code"] for one in result.to_dict()["doubts"]]
    page = repr(sheet_contents(result, "H1", settings_for(result.study), day="a day"))
    assert "No hand chopped with both" in page
    assert "14 strokes, by Ray" in page
    assert "19 strokes, by Ben" in page


def test_the_method_says_that_hands_widen_a_mean_where_several_chopped():
    def told(*hands, days=("1", "1")):
        rows = [
            SimpleNamespace(line=line, operator=hand, day=day, date="")
            for line, (hand, day) in enumerate(zip(hands, days, strict=True))
        ]
        result = SimpleNamespace(log=SimpleNamespace(rows=rows))
        return people_words(result, SimpleNamespace(rows=[0, 1]))

    assert told("Ray", "Ray") == told("", "") == ""
    of_days = " Chopped on 2 days: days differ, and the interval allows for it."
    assert told("Ray", "Ray", days=("1", "2")) == of_days
    wider = ": hands differ, and the interval allows for it."
    assert told("Ray", "Ben") == f" These pieces were chopped by Ben and Ray{wider}"
    half = f" These pieces were chopped by Ray, and of some it is not noted by whom{wider}"
    assert told("Ray", "") == half
    assert (
        told("Ray", "Ben", days=("1", "2"))
        == f" These pieces were chopped by Ben and Ray, on 2 days{wider}"
    )
