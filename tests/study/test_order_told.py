"""A look or a touch-up stands below the piece that it came after, and the program says so."""

import csv
from types import SimpleNamespace

import pytest

from edgetest.store.chop_log import ChopRow, read_chops
from edgetest.study.chop.chop_rows import strokes_of_edge
from edgetest.study.order_told import order_told

HEADING = "blade,kind,order,block,board,species,moisture_pct,width_mm,thickness_mm,chops,chips_count,result,note"  # noqa: E501
WOOD = "Scots pine,12,50,50"


def log(done, closed=False):
    """Six billets with each of two blades, so many of them chopped."""
    lines = ["H1,inspection,0,,,,,,,,0,,", "C1,inspection,0,,,,,,,,0,,"]
    for number in range(1, 7):
        wood = f"{WOOD},14" if number <= done else ",,,,"
        lines += [f"{blade},billet,{number},,board {number},{wood},,," for blade in ("H1", "C1")]
    end = "2" if closed else ""
    lines += [f"{blade},inspection,1,,,,,,,,{end},," for blade in ("H1", "C1")]
    lines += [f"{b},shave,1,,,,,,,,,{'pass' if closed else ''}," for b in ("H1", "C1")]
    return f"{HEADING}\n" + "\n".join(lines) + "\n"


@pytest.fixture
def shop(run, tmp_path):
    folder = tmp_path / "shop"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1", "--control", "C1")

    def write(*about, **more):
        (folder / "chops.csv").write_text(log(*about, **more), encoding="utf-8")
        return folder

    return write


def place(folder, kind, *, order=None, blade="H1"):
    """Name and number of the blade's row above the one of this kind."""
    with (folder / "chops.csv").open(encoding="utf-8") as file:
        own = [row for row in csv.DictReader(file) if row["blade"] == blade]
    at = next(k for k, row in enumerate(own) if row["kind"] == kind
              and (order is None or row["order"] == order))  # fmt: skip
    return own[at - 1]["kind"], own[at - 1]["order"]


@pytest.mark.parametrize("order", [["order=3"], []])
def test_a_touch_up_goes_below_the_last_piece_and_above_those_that_wait(run, shop, order):
    folder = shop(3)
    code, out, _ = run("enter", folder, "blade=H1", "kind=touch-up", *order, "note=on a stone")
    assert code == 0
    assert place(folder, "touch-up") == ("billet", "3")
    assert "the touch-up was put below row 8 (H1, billet 3), the last piece that has" in out
    assert "strokes, and above row 11 (H1, billet 4)" in out
    run("undo", folder)
    assert (folder / "chops.csv").read_text(encoding="utf-8") == log(3)


def test_the_strokes_of_the_edge_are_counted_anew_from_its_touch_up(run, shop):
    folder = shop(3)
    run("enter", folder, "blade=H1", "kind=touch-up", "order=3")
    wood = ("species=Scots pine", "moisture_pct=12", "width_mm=50", "thickness_mm=50")
    for number in (4, 5):
        run("enter", folder, "blade=H1", "kind=billet", f"order={number}", "chops=10", *wood)
    rows = read_chops(folder / "chops.csv").rows
    made = strokes_of_edge(rows)
    edge = [made[row.line][0] for row in rows if row.blade == "H1" and row.kind == "billet"]
    assert edge == [0, 14, 28, 0, 10, 20]


def test_a_look_between_goes_below_its_piece_and_a_touch_up_below_the_look(run, shop):
    folder = shop(3)
    code, out, _ = run("enter", folder, "blade=H1", "kind=inspection", "order=3", "chips_count=1")
    assert code == 0
    assert place(folder, "inspection", order="3") == ("billet", "3")
    assert "the look was put below row 8 (H1, billet 3)" in out
    run("enter", folder, "blade=H1", "kind=touch-up")
    assert place(folder, "touch-up") == ("inspection", "3")
    assert place(folder, "billet", order="4") == ("touch-up", "")


def test_a_number_of_an_earlier_piece_is_placed_there_and_asked_about(run, shop):
    folder = shop(5)
    code, out, _ = run("enter", folder, "blade=H1", "kind=touch-up", "order=3")
    assert code == 0
    assert place(folder, "touch-up") == ("billet", "3")
    assert "asked: when was the touch-up done?" in out
    assert "put below row 8 (H1, billet 3)" in out
    assert "was it done after row 13 (H1, billet 5), move row 9 there in the file" in out


def test_a_first_touch_up_with_the_number_one_is_asked_about_too(run, shop):
    folder = shop(5)
    _, out, _ = run("enter", folder, "blade=H1", "kind=touch-up", "order=1")
    assert place(folder, "touch-up") == ("billet", "5")
    assert "was it done after row 4 (H1, billet 1), move row" in out


def test_after_the_closing_tests_it_stands_below_them(run, shop):
    folder = shop(6, closed=True)
    code, out, _ = run("enter", folder, "blade=C1", "kind=touch-up")
    assert code == 0
    assert place(folder, "touch-up", blade="C1") == ("shave", "1")
    assert "the touch-up was put below row 15 (C1, billet 6)" in out


def test_a_touch_up_before_all_work_goes_above_the_first_piece(run, shop):
    folder = shop(0)
    _, out, _ = run("enter", folder, "blade=H1", "kind=touch-up")
    assert place(folder, "touch-up") == ("inspection", "0")
    assert "it was put above row 5 (H1, billet 1)" in out


def test_a_closing_look_that_is_filled_in_while_pieces_wait_is_told(run, shop):
    folder = shop(3)
    _, out, _ = run("enter", folder, "blade=H1", "kind=inspection", "order=1", "chips_count=1")
    assert "order: row 16 is the look below all pieces, and row 10 (H1, billet 4) still" in out


def test_a_look_that_its_date_put_above_a_piece_is_not_told_to_stand_below_it():
    piece = {"chops": 12, "kind": "billet", "blade": "H1"}
    rows = [ChopRow(2, order=1, **piece), ChopRow(3, "H1", "inspection", chips_count=0),
            ChopRow(4, order=2, **piece)]  # fmt: skip
    source = SimpleNamespace(chops=SimpleNamespace(rows=rows))
    (said,) = order_told(source, SimpleNamespace(table="chops", row=3, before=None))
    assert "it was put above row 4 (H1, billet 2); was it done at another time" in said


def test_a_forgotten_stage_says_above_which_row_it_was_put():
    rows = [
        SimpleNamespace(line=n, blade=blade, block="", cuts=cuts)
        for n, (blade, cuts) in enumerate([("K1", 0), ("K1", 50), ("K2", 100), ("K1", 100)], 2)
    ]
    source = SimpleNamespace(log=SimpleNamespace(rows=rows), chops=None)

    def told(row, before=None):
        change = SimpleNamespace(table="log", row=row, before=before)
        return list(order_told(source, change))

    (said,) = told(3)
    assert "it was put above row 5 (K1 at 100 cuts); were the cuts others, take it back" in said
    assert told(3, before={"cuts": "50"}) == told(5) == told(4) == []


def test_a_piece_that_waits_as_wood_of_another_kind_is_asked_about(run, shop):
    folder, ash = shop(3), ("species=European ash", "moisture_pct=12", "width_mm=40",
                            "thickness_mm=40", "chops=30")  # fmt: skip
    own = ("blade=H1", "kind=lumber", "order=4")
    told = run("enter", folder, *own, "board=board 4", *ash)[1]
    assert "(H1, billet 4) of board 4 still waits; if this is that piece, take row" in told
    run("undo", folder)
    assert "still waits; if" not in run("enter", folder, *own, "board=pole 1", *ash)[1]
    of_another = ("blade=H1", "kind=lumber", "order=7", "board=board 4")
    assert "still waits; if" not in run("enter", folder, *of_another, *ash)[1]
