"""Page one says of each tool whether its edge dulled, or that it cannot be seen yet."""

from dataclasses import replace

from edgetest.chop.count_results import rounded_up
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


def bound(result, blade):
    own = result.report.counts.dulling_by_tool
    return next(one.pct_per_100_chops.high for one in own if one.blade == blade)


def told(result, blade):
    (line,) = (one for one in tool_sentences(result, blade) if "dull" in one)
    return line


def test_each_tools_own_edge_is_told_on_its_own_sheet(tmp_path):
    result = chopped(tmp_path, H1=EVEN, C1=WORN)
    unseen, seen = told(result, "H1").split(" That of C1")
    assert unseen.startswith("Whether its edge dulls cannot be seen yet: ")
    unseen, third = unseen.split(" A piece takes a third more (our choice) ")
    assert unseen.endswith(" % per 100 strokes would most likely have shown.")
    assert third.startswith("after at least ")
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
    assert line.startswith("as the test went on, ")
    assert "too few pieces to see whether the edge dulls: its 9 pieces would show" in line


def test_where_nothing_of_use_is_shown_the_bound_of_its_own_pieces_stands(tmp_path):
    """Three pieces each: no dulling of use would show, and how much there may be is said."""
    result = chopped(tmp_path, H1=(13, 18, 12), C1=(15, 13, 17))
    line = told(result, "H1")
    room = "Whether its edge dulls cannot be seen yet; 100 strokes later a piece may take up to "
    (own,) = [each for each in result.summary().splitlines() if each.startswith("H1 alone: ")]
    most = own.split(" % more); ")[0].rpartition(" to ")[2]
    assert line.startswith(f"{room}{most} % more strokes. ")
    assert most != rounded_up(bound(result, "H1"))  # a number has one rounding on every page


def test_a_figure_of_all_tools_that_lies_outside_each_own_is_not_told(tmp_path):
    counts = chopped(tmp_path, H1=EVEN, C1=WORN).report.counts
    of_all = counts.dulling_pct_per_100_chops
    least, most = sorted(one.pct_per_100_chops.value for one in counts.dulling_by_tool)
    between = replace(of_all, value=(least + most) / 2)
    assert "of all tools together" in replace(counts, dulling_pct_per_100_chops=between).summary()
    far = replace(counts, dulling_pct_per_100_chops=replace(of_all, value=most + 0.1))
    assert far.dulling_words() == ""
    assert "of all tools together" not in far.summary()
    assert "H1 alone: " in far.summary()
