"""What a tool's strokes beside another's lean on stands in their sentence: pieces left out."""

import pytest

from edgetest.report.documents.chopper_ratio import first_words_of
from edgetest.report.documents.chopper_words import first_doubts, tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "O1"
blades = [{id = "H1"}, {id = "O1"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,exclude\n"


@pytest.mark.parametrize(
    ("blade", "other", "doubt"),
    [
        ("O1", "H1", "Left out of O1, billet in row 7: a nail in it."),
        ("H1", "O1", "Left out, billet in row 6: a nail in it."),
        (None, None, None),
    ],
)
def test_a_piece_left_out_of_either_tool_is_told_beside_the_figure(tmp_path, blade, other, doubt):
    rows = [
        f"{name},billet,{n},board {n},European ash,12,50,50,{count + n},"
        + "a nail in it" * ((name, n) == (blade, 3))
        for n in range(1, 5)
        for name, count in (("H1", 12), ("O1", 20))
    ]
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    (line,) = (one for one in tool_sentences(result, "H1") if one.startswith("Side by side"))
    first, _ = first_doubts(result, "H1")
    which = "each shared board" if blade else "each board"
    assert first_words_of(result, "H1") == f" First on {which}: H1."
    if blade is None:
        assert "left out" not in line + " ".join(first)
        assert "alone on" not in line
    else:
        assert f", 1 piece of {blade} left out, {other} alone on board 3;" in line
        assert doubt in first
        assert "on the same boards" not in line
