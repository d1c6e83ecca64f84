"""A mean of which a piece had a knot says so beside it, with what the clear pieces took."""

import pytest

from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
blades = [{id = "H1"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,diameter_mm,knots,chops"


def poles(folder, counts, knots):
    rows = [
        f"H1,billet,{n},P{n},hazel,green,45,{met},{count}"
        for n, (count, met) in enumerate(zip(counts, knots, strict=True), 1)
    ]
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def mean_of(result):
    """The line of the text that tells the mean."""
    lines = result.summary().splitlines()
    (line,) = [one for one in lines if one.startswith("H1: ") and " strokes for hazel" in one]
    return line


@pytest.mark.parametrize(
    ("counts", "knots", "told"),
    [
        ((31, 18, 21), (1, 0, 0), "1 of 3 pieces had a knot in the cut (31 strokes); the other 2 "
                                  "average 19.5."),
        ((31, 40, 21), (1, 2, 0), "2 of 3 pieces had a knot in the cut (31, 40 strokes); the other "
                                  "took 21."),
        ((31, 18, ">41"), (1, 0, 0), "1 of 3 pieces had a knot in the cut (31 strokes)."),
        ((31, 18), (1, 1), "All had knots in the cut."),
        ((31,), (1,), "It had a knot in the cut."),
    ],
)  # fmt: skip
def test_the_mean_names_its_knotted_pieces_and_the_mean_of_the_others(
    tmp_path, counts, knots, told
):
    result = poles(tmp_path, counts, knots)
    in_text = f"{told[0].lower()}{told[1:-1]}".replace(" pieces had", " had")
    assert mean_of(result).endswith(f"; {in_text}")
    assert f". {told}" in tool_sentences(result, "H1")[1]


def test_a_mean_of_clear_pieces_says_nothing_of_knots(tmp_path):
    result = poles(tmp_path, (31, 18, 21), (0, 0, 0))
    assert "knot" not in mean_of(result)
    assert "knot" not in tool_sentences(result, "H1")[1]
