"""Page one says of each tool whether its edge dulled, or that it cannot be seen yet."""

from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "C1"
blades = [{id = "H1"}, {id = "C1", title = "shop hatchet"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops\n"
EVEN = (38, 32, 33, 29, 31, 34, 31, 32, 34)
WORN = (30, 39, 40, 44, 62, 54, 60, 65, 78)


def chopped(folder, **counts):
    rows = [
        f"{name},billet,{n + 1},board {n // 3},European ash,12,50,50,{own[n]}"
        for n in range(max(map(len, counts.values())))
        for name, own in counts.items()
        if n < len(own)
    ]
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def told(result, blade):
    (line,) = (one for one in tool_sentences(result, blade) if "dull" in one)
    return line


def test_each_tools_own_edge_is_told_on_its_own_sheet(tmp_path):
    result = chopped(tmp_path, H1=EVEN, C1=WORN)
    unseen, seen = told(result, "H1").split(" That of C1")
    assert unseen.startswith("Whether its edge dulls cannot be seen yet: ")
    assert unseen.endswith(" % per 100 strokes would most likely have shown.")
    assert seen.startswith(" dulled: ")
    mine = told(result, "C1")
    assert mine.startswith("Its edge dulled: ")
    assert "more strokes per 100 strokes" in mine
    assert mine.count("dulled") == 1


def test_strokes_that_fall_are_no_dulling_and_one_piece_says_nothing(tmp_path):
    result = chopped(tmp_path, H1=WORN[::-1], C1=(40,))
    line = told(result, "H1")
    assert line.startswith("Its edge is not seen to dull: ")
    assert "fewer strokes per 100 strokes" in line
    assert line.endswith("Whether that of C1 dulls cannot be seen yet.")


def test_the_summary_says_what_would_show_it(tmp_path):
    lines = chopped(tmp_path, H1=EVEN, C1=WORN).summary().splitlines()
    (mine,) = [line for line in lines if line.startswith("H1 alone: ")]
    assert "too few pieces to see whether its edge dulls: its 9 pieces would show" in mine
    assert "more with each tool, some " in mine
    (theirs,) = [line for line in lines if line.startswith("C1 alone: ")]
    assert "too few" not in theirs


def test_a_tool_alone_says_so_once(tmp_path):
    lines = [line for line in chopped(tmp_path, H1=EVEN).summary().splitlines() if "dull" in line]
    (line,) = lines
    assert line.startswith("as the edges dull, ")
    assert "too few pieces to see whether the edge dulls: its 9 pieces would show" in line
