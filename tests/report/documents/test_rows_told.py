"""A mishap of the tool that is sold stands on page one, however full it is, and never twice."""

import pytest

from edgetest.report.documents.chopper_words import first_doubts
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "C1"
blades = [{id = "H1"}, {id = "C1"}]
"""
HEAD = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board,chips_count,mishap,exclude\n"
LOOSE = "handle worked loose in the eye: wedge driven"


def told(folder, mishaps, excluded=None, chips=None, tool="H1"):
    """Page one and what follows for H1, of a log of three pieces a tool."""
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = [f"{blade},inspection,0,,,,,,0,,\n" for blade in ("H1", "C1")]
    for n in range(1, 4):
        for blade in ("H1", "C1"):
            own = blade == tool
            said = mishaps.get(n, "") if own else ""
            left = (excluded or {}).get(n, "") if own else ""
            seen = (chips or {}).get(n, 0) if own else 0
            rows.append(
                f"{blade},billet,{n},{12 + n},50,European ash,12,b{n},{seen},{said},{left}\n"
            )
    (folder / "chops.csv").write_text(HEAD + "".join(rows), encoding="utf-8")
    return first_doubts(analyse_chops(open_chops(folder)), "H1")


@pytest.mark.parametrize("counts", ["", "; it counts"])
def test_a_loose_handle_of_the_tool_that_is_sold_stands_on_page_one(tmp_path, counts):
    left = {1: "lost count", 3: "lost count again"}
    first, later = told(tmp_path, {2: f"{LOOSE}{counts}"}, left)
    assert f"Mishap noted in a row that counts, billet in row 6: {LOOSE}." in first
    assert "Mishap" not in " ".join(later)


def test_a_mishap_of_the_tool_beside_it_is_told_by_its_name(tmp_path):
    lines = [line for part in told(tmp_path, {2: LOOSE}, tool="C1") for line in part]
    assert f"Mishap of C1 noted in a row that counts, billet in row 7: {LOOSE}." in lines


def test_many_mishaps_are_three_and_a_number(tmp_path):
    first, _ = told(tmp_path, {1: "slipped", 2: "slipped", 3: "dropped"})
    (line,) = [one for one in first if one.startswith("Mishap noted in rows that count")]
    assert line.endswith(
        "billet in row 4: slipped; billet in row 6: slipped; billet in row 8: dropped."
    )


def test_a_mishap_that_stands_beside_its_chip_or_is_a_knot_is_not_told_again(tmp_path):
    first, _ = told(tmp_path, {1: "knot", 2: "hit the clamp"}, chips={2: 1, 3: 1})
    assert [line for line in first if line.startswith("Mishap")] == []


def test_a_row_left_out_says_its_mishap_too(tmp_path):
    first, later = told(tmp_path, {2: LOOSE}, {2: "spoilt"})
    assert f"Left out, billet in row 6: spoilt; mishap: {LOOSE}." in [*first, *later]
    assert "Mishap noted" not in " ".join([*first, *later])


def test_more_than_three_rows_left_out_are_counted(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = [f"H1,billet,{n},{12 + n},50,European ash,12,b{n},,,slip\n" for n in range(1, 6)]
    rows += [f"{blade},billet,9,15,50,European ash,12,b9,,,\n" for blade in ("H1", "C1")]
    (tmp_path / "chops.csv").write_text(HEAD + "".join(rows), encoding="utf-8")
    lines = [x for part in first_doubts(analyse_chops(open_chops(tmp_path)), "H1") for x in part]
    assert any(
        one.startswith("Left out, billet") and one.endswith("; and 2 more.") for one in lines
    )
