"""A depth ten times the tool's others is asked about, and said where figures rest on it."""

import pytest

from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.asked_depths import asked_of_depths
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Depths (invented)"
protocol = "single_chop"
control = "C1"
blades = [{id = "H1"}, {id = "C1"}]
"""
MINE, THEIRS = (14.1, 14.7, 14.2, 13.3, 14.5, 13.8), (11.8, 12.3, 11.6, 12.4, 11.0, 11.9)


def chop(line, depth, blade="H1", **more):
    return ChopRow(line, blade, "single", depth_mm=parse_reading(str(depth), "mm"), **more)


def asked(*depths, line=None):
    rows = [chop(n, depth) for n, depth in enumerate(depths, 2)]
    return [str(one) for one in asked_of_depths("chops.csv", rows, line)]


def test_a_depth_ten_times_too_large_or_too_small_is_asked_about():
    (told,) = asked(14.0, 14.2, 141, 13.9, 14.4)
    assert told.startswith(
        "chops.csv, row 4, depth_mm: 141 mm is 10 times as deep as the 14.1 mm of 4 like chops "
        "of H1; check the number"
    )
    (told,) = asked(14.0, 1.41, 14.2, 13.9)
    assert "row 3, depth_mm: 1.41 mm is 9.9 times as shallow as the 14 mm" in told
    assert asked(14.0, 1.41, 14.2, 13.9, line=2) == []


@pytest.mark.parametrize("depths", [(14.0, 14.2, 141), (14.0, 13.0, 12.0, 9.0, 6.0, 5.0)])
def test_too_few_depths_and_an_edge_that_dulls_are_not_asked_about(depths):
    assert asked(*depths) == []


def test_a_depth_in_harder_wood_is_not_asked_about_beside_those_in_soft():
    soft = [chop(n, 14.0 + n / 10, species="spruce (softwood)") for n in range(2, 6)]
    hard = [chop(n, 4.0 + n / 100, species="oak (hardwood)") for n in range(6, 10)]
    assert not list(asked_of_depths("x", [*soft, *hard]))
    dry = chop(9, 4.0, species="spruce (softwood)", moisture_pct=12.0)
    assert not list(asked_of_depths("x", [*soft, dry]))
    (told,) = asked_of_depths("x", [*soft, *hard, chop(10, 14.0, species="oak (hardwood)")])
    assert "14 mm is 3.4 times as deep" in str(told)


def test_a_depth_left_out_is_not_asked_about():
    rows = [chop(n, 14.0 + n / 10) for n in range(2, 6)]
    assert not list(asked_of_depths("x", [*rows, chop(9, 141.0, exclude="slip")]))
    assert list(asked_of_depths("x", [*rows, chop(9, 141.0)]))


def depths(folder, mine=MINE):
    rows = ["blade,kind,order,board,species,depth_mm"]
    for n, pair in enumerate(zip(mine, THEIRS, strict=True), 1):
        rows += [f"{blade},single,{n},1,spruce (softwood),{mm}"
                 for blade, mm in zip(("H1", "C1"), pair, strict=True)]  # fmt: skip
    folder.mkdir()
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_depths_of_two_tools_are_compared_where_a_person_reads(tmp_path):
    result = depths(tmp_path / "a")
    assert "depth per chop, H1 over C1: 1.1" in result.summary()
    assert "; H1 goes deeper" in result.summary()
    said = tool_sentences(result, "H1")
    assert said[1].startswith("Side by side, half way through the test, blade H1 went 1")
    assert said[1].endswith(" %) as deep as blade C1.")
    assert said[2] == "Beside it, C1: nobody looked at its edge after it had chopped."
    alike = depths(tmp_path / "b", mine=THEIRS)
    assert tool_sentences(alike, "H1")[1].endswith("; the two cannot be told apart.")


def test_figures_that_rest_on_an_odd_depth_say_so(tmp_path):
    result = depths(tmp_path / "a", mine=(*MINE[:3], 133, *MINE[4:]))
    (told,) = [one for one in result.doubts if one.code == "depth_asked"]
    assert told.text.startswith("chops.csv, row 8, depth_mm: 133 mm is 9.4 times as deep")
    assert "The depths of its tool, and their comparison, rest on this number." in told.text
    first, second = tool_sentences(result, "H1")[:2]
    assert first.endswith("; 1 depth in it lies far off the others.")
    assert second.endswith("; 1 depth in it lies far off the others.")
    assert "far off" not in " ".join(tool_sentences(depths(tmp_path / "b"), "H1"))


def test_the_maker_reads_when_an_edge_was_touched_up(tmp_path):
    depths(tmp_path / "a")
    log = tmp_path / "a" / "chops.csv"
    log.write_text(log.read_text("utf-8") + "H1,touch-up,,1,,\n", encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path / "a"))
    assert "\nH1: its edge was touched up after 6 strokes\n" in result.summary()
