"""What `check` shows of each board: both tools' pieces side by side."""

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.boards_told import boards_told


def piece(line, blade, chops, board="ash 1", *, wood="ash, European", water=12.0, **size):
    return ChopRow(line, blade, "billet", chops=parse_strokes(chops), board=board, species=wood,
                   moisture_pct=water, **size or {"diameter_mm": 45.0})  # fmt: skip


def test_a_line_a_board_with_size_water_and_strokes_tool_beside_tool():
    rows = [
        piece(2, "B1", "10"),
        piece(3, "OLD", "15", wood="", water=None, diameter_mm=44.2),
        piece(4, "OLD", ">40", "oak", water="green", width_mm=98.0, thickness_mm=47.0),
        piece(5, "B1", "12", "oak", wood="hazel", water="green", nominal="2x4"),
        piece(6, "B1", "13", "oak", wood="hazel", water="green", nominal="2x4"),
        piece(7, "B1", "9", ""),
        piece(8, "B1", "8", diameter_mm=None),
    ]
    assert boards_told(rows) == (
        "ash 1, European ash, 12 % water: B1 45 mm 10, size not noted: 8; OLD 44.2 mm 15",
        "oak, European ash or hazel, green: B1 2x4 12, 2x4 13; OLD 98 mm × 47 mm over 40",
    )


def test_a_tool_alone_has_nothing_to_stand_beside():
    assert boards_told([piece(2, "B1", "10"), piece(3, "B1", "11", "ash 2")]) == ()


def test_check_shows_the_boards_in_text_and_json(answer, run, tmp_path):
    log = tmp_path / "chops.csv"
    head = "blade,kind,chops,diameter_mm,species,board\n"
    log.write_text(f"{head}A,billet,9,40,hazel,p\nB,billet,8,40,hazel,p\n", encoding="utf-8")
    told = "p, hazel: A 40 mm 9; B 40 mm 8"
    assert answer("check", log)["boards"] == [told]
    assert (
        f"strokes of each board, with the size of each piece:\n  {told}\n" in run("check", log)[1]
    )
