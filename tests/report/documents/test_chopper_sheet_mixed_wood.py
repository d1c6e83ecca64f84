"""A sheet of a tool that chopped two woods: what is said of one piece, and what of all of them."""

from dataclasses import replace

import pytest

from edgetest.report.documents.chopped_pieces import pieces_table, wood_words
from edgetest.report.documents.chopped_rows import log_section
from edgetest.report.documents.chopper_answer_rows import chop_answer_rows
from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.other_pieces import with_reckoned
from edgetest.study.sources import open_chops

STUDY = """
title = "Hedging billhook (invented)"
protocol = "lumber_chop"
control = "O1"
[[blades]]
id = "B1"
edge_length_mm = "9 1/2 in"
hardness_files = {skates = 55, bites = 60}
[[blades]]
id = "O1"
mass_g = "1 1/2 lb"
"""
HEAD = (
    "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,diameter_mm,orientation"
    ",chops"
)
POLES = {"B1": ("41.5", "45"), "O1": ("42", "44.4")}


def rows(counts):
    """A stud three times and two poles, for each tool in turn."""
    told = [HEAD]
    for n in range(3):
        told += [
            f"{blade},lumber,{n},stud {n},Scots pine,12,3 1/2 in,1 1/2 in,,flat,{counts[blade][n]}"
            for blade in POLES
        ]
    for n in range(2):
        told += [
            f"{blade},billet,{n + 3},pole {n},hazel,green,,,{sizes[n]},,{counts[blade][n + 3]}"
            for blade, sizes in POLES.items()
        ]
    return "\n".join(told) + "\n"


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    folder = tmp_path_factory.mktemp("mixed")
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    counts = {"B1": (13, 15, 14, 5, 6), "O1": (26, 29, 28, 11, 12)}
    (folder / "chops.csv").write_text(rows(counts), encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_the_ratio_of_all_pieces_is_not_said_of_the_one_piece(result):
    first = tool_sentences(result, "B1")[0]
    assert first == (
        "About 14 strokes sever a piece of Scots pine, 12 % water, 3 1/2 × 1 1/2 in, flat;"
        " over all its pieces, size for size, it took fewer than blade O1."
    )


def test_what_cannot_be_told_is_of_all_pieces_too(result, tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    alike = {"B1": (13, 15, 14, 5, 6), "O1": (14, 13, 15, 6, 5)}
    (tmp_path / "chops.csv").write_text(rows(alike), encoding="utf-8")
    first = tool_sentences(analyse_chops(open_chops(tmp_path)), "B1")[0]
    assert first.endswith(
        "; whether blade O1 takes more or fewer strokes, all pieces together, this test cannot"
        " tell."
    )


def test_the_other_tool_stands_beside_pieces_of_the_same_size(result):
    poles = pieces_table(result, "B1", "metric")["rows"][1:]
    assert [(row[1], row[4].split()[0]) for row in poles] == [
        ("round, 41.5 mm", "11.0"), ("round, 45 mm", "12.0")
    ]  # fmt: skip


def test_a_figure_of_the_other_tool_stands_beside_the_size_nearest_to_it_alone(tmp_path):
    """Sticks of 46.5 and 49.5 mm beside one of 48 mm: it stood in both rows, as if it were two."""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    sizes = [("B1", 46.5, 7, "a"), ("B1", 49.5, 9, "b"), ("O1", 48, 8, "b")]
    poles = "".join(
        f"{blade},billet,{n},{chops},{mm},hazel,green,{board}\n"
        for n, (blade, mm, chops, board) in enumerate(sizes, 1)
    )
    heading = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board\n"
    (tmp_path / "chops.csv").write_text(heading + poles, encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    first, second = (row[4] for row in pieces_table(found, "B1", "metric")["rows"])
    assert first == "–"
    assert second.startswith("8 ")


def test_a_round_piece_is_no_stud_under_whichever_kind_it_was_noted(result):
    rows = [replace(row, kind="lumber") for row in result.log.rows]
    found = replace(result, log=replace(result.log, rows=tuple(rows)))
    (section,) = log_section(found, "B1", "metric")
    table = section["blocks"][1]["rows"]
    assert [row[2] for row in table] == ["stud", "stud", "stud", "piece", "piece"]


@pytest.mark.usefixtures("framed_here")
def test_files_and_sizes_are_told_as_they_were_typed(result, tmp_path):
    (page,) = build_sheets(result, tmp_path, blade="B1", kinds=["html"])
    text = page.read_text(encoding="utf-8").replace("\xa0", " ")
    assert "hardness over 55, under 60 HRC by files" in text
    assert "hardness not measured" not in text
    (page,) = build_sheets(result, tmp_path / "o", blade="O1", kinds=["html"], units="both")
    text = page.read_text(encoding="utf-8").replace("\xa0", " ")
    assert "mass 1 1/2 lb (680 g)" in text
    assert "hardness not measured" in text
    assert "Pieces up to 6 % larger than the smallest of their row are one size, for every" in text


def test_whether_the_edges_dull_is_told_where_too_few_pieces_show_it(result):
    """The change of all together lies outside those of the tools here, and is not told."""
    lines = result.summary().splitlines()
    assert not [line for line in lines if line.startswith("as the edges")]
    for blade in ("B1", "O1"):
        (told,) = [line for line in lines if line.startswith(f"{blade} alone: ")]
        assert "; too few pieces to see whether its edge dulls" in told


def apart(folder, *changed):
    """Studs in which B1 takes half the strokes, and poles in which it takes three times as many."""
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    log = rows({"B1": (13, 15, 14, 20, 22), "O1": (26, 29, 28, 7, 8)})
    for old, new in changed:
        log = log.replace(old, new)
    (folder / "chops.csv").write_text(log, encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_where_the_woods_disagree_each_is_told_and_no_ratio_of_all_is_claimed(tmp_path):
    found = apart(tmp_path)
    (apart_told,) = [one for one in found.doubts if one.code == "ratio_differs_by_wood"]
    assert "(Scots pine); " in apart_told.text
    assert not [one for one in found.doubts if one.code == "ratio_differs_by_piece"]
    said = tool_sentences(found, "B1")
    assert said[0].endswith(
        "3 1/2 × 1 1/2 in, flat; size for size, in Scots pine it took fewer than blade O1, in"
        " hazel it took more than blade O1."
    )
    (side,) = [line for line in said if line.startswith("Side by side")]
    pine, hazel = (one.compared.ratio for one in found.report.counts.by_wood[0].woods)
    assert f"{100 * pine.value:.0f} % in Scots pine (" in side
    assert f"{100 * hazel.value:.0f} % in hazel (" in side
    assert "no one number holds for all woods" in side
    lines = [line for line in found.summary().splitlines() if " over " in line]
    assert lines[0].startswith("chops, B1 over O1: no one number holds for all woods;")
    assert lines[1].startswith("chops in Scots pine, B1 over O1: 0.5")
    assert lines[2].startswith("chops in hazel, B1 over O1: ")
    rows = [row[1] for row in chop_answer_rows(found) if " over " in row[1]]
    assert rows == ["Strokes, B1 over O1, in Scots pine", "Strokes, B1 over O1, in hazel"]


def test_woods_that_may_agree_are_told_beside_the_ratio_of_all(result):
    (side,) = [line for line in tool_sentences(result, "B1") if line.startswith("Side by side")]
    _, wood = side.split(" Wood by wood ")
    assert " % in Scots pine (" in wood
    assert wood.endswith(" %): the woods cannot be told apart.")
    rows = [row[1] for row in chop_answer_rows(result) if " over " in row[1]]
    pair = "Strokes, B1 over O1"
    assert [row.startswith(pair) for row in rows] == [True] * 3
    assert rows[1:] == [f"{pair}, in Scots pine", f"{pair}, in hazel"]


def test_where_the_tools_differ_otherwise_by_size_no_ratio_of_all_is_claimed(tmp_path):
    found = apart(tmp_path, ("hazel,green", "Scots pine,12"))
    (told,) = [one for one in found.doubts if one.code == "ratio_differs_by_piece"]
    assert "(Scots pine, 88.9 mm by 38.1 mm, flat); 2.9 (Scots pine, round, 41.5 mm)" in told.text
    said = tool_sentences(found, "B1")
    assert said[0].startswith("About 14 strokes sever a piece of Scots pine, 12 % water, ")
    assert said[0].endswith(" flat.")
    assert not any(line.startswith("Side by side") for line in said)
    lines = found.summary().splitlines()
    (place,) = [n for n, line in enumerate(lines) if line.startswith("chops, B1 over O1:")]
    assert lines[place].endswith("); no one number holds for all pieces")
    assert lines[place + 1] == f"note: {told.text}"


def test_strokes_are_reckoned_from_the_wanted_wood_where_the_woods_disagree(tmp_path):
    found = with_reckoned(apart(tmp_path), ["hazel 60"])
    own = {one.blade: one for one in found.reckoned}
    assert {one.woods for one in found.reckoned} == {("hazel",)}
    (woods,) = found.report.counts.by_wood
    ratio = own["B1"].strokes.value / own["O1"].strokes.value
    assert abs(ratio / woods.woods[1].compared.ratio.value - 1) < 0.1
    assert not [one for one in found.doubts if one.code == "reckoned_over_woods"]


def test_a_wood_that_was_never_chopped_says_that_it_rests_on_woods_that_disagree(tmp_path, result):
    found = with_reckoned(apart(tmp_path), ["14 % silver birch 60"])
    assert {one.woods for one in found.reckoned} == {("Scots pine", "hazel")}
    (over,) = [one for one in found.doubts if one.code == "reckoned_over_woods"]
    assert "every wood, and silver birch was not chopped with each of them" in over.text
    alike = with_reckoned(result, ["14 % silver birch 60"])
    assert not [one for one in alike.doubts if one.code == "reckoned_over_woods"]


def test_strokes_are_reckoned_from_all_pieces_where_the_woods_may_agree(result):
    told = with_reckoned(result, ["hazel 60"]).reckoned
    assert {one.woods for one in told} == {("Scots pine", "hazel")}


def test_both_pictures_of_an_edge_stand_side_by_side_where_no_swing_is_drawn(result, monkeypatch):
    from edgetest.report.documents import chopper_sheet

    shots = [("Before the test: no chip", b"1"), ("After 53 chops: no chip", b"2")]
    monkeypatch.setattr(chopper_sheet, "edge_pictures", lambda *_: shots)
    (edge,) = chopper_sheet._pictures_section(result, "B1", {}, "metric")
    (pair,) = edge["blocks"]
    files = [column[0]["blocks"][0]["file"] for column in pair["columns"]]
    assert files == ["edge_1.jpg", "edge_2.jpg"]


def test_words_for_one_water_are_one_water(result):
    studs = next(one for one in result.as_chopped if one.wood == "Scots pine")
    for first, told in (("fresh", "Scots pine, green"), ("air-dry", "Scots pine")):
        rows = [
            replace(row, moisture_pct=first if row.line == studs.rows[0] else "green")
            for row in result.log.rows
        ]
        assert wood_words(replace(result, log=replace(result.log, rows=rows)), studs) == told
