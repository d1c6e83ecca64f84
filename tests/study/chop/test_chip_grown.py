"""A chip that grew is told with its first size and its last, and the strokes between."""

import pytest

from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

HEAD = "blade,kind,order,chops,diameter_mm,chips_count,largest_chip_mm"
GREW = ("inspection,0,,,0,", "billet,1,20,50,0,", "billet,2,30,50,1,0.6", "billet,3,25,50,1,0.9",
        "inspection,1,,,1,1.2")  # fmt: skip


def chopped(folder, rows):
    (folder / "study.toml").write_text(
        'title = "t"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n', encoding="utf-8"
    )
    log = "\n".join([HEAD, *(f"H1,{row}" for row in rows)])
    (folder / "chops.csv").write_text(log + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_chip_that_grew_is_told_in_one_line_of_the_text_and_on_the_sheet(tmp_path):
    result = chopped(tmp_path, GREW)
    line = (
        "H1: the largest chip, 0.6 mm when it was first measured after 50 strokes, grew to 1.2 mm "
        "by 75"
    )
    assert line in result.summary().splitlines()
    said = " ".join(tool_sentences(result, "H1"))
    assert "; the largest chip 1.2 mm, 0.6 mm when first measured after 50 strokes" in said


@pytest.mark.parametrize(
    "rows",
    [
        (*GREW[:-1], "inspection,1,,,2,1.2"),  # another chip came: it may be the larger one
        (*GREW[:3], "inspection,1,,,1,0.6"),
        (*GREW[:3], "touch-up,1,,,,", "billet,3,25,50,1,1.2"),  # another edge
    ],
)
def test_what_may_be_another_chip_did_not_grow(tmp_path, rows):
    result = chopped(tmp_path, rows)
    assert "grew to" not in result.summary()
    assert "when first measured" not in " ".join(tool_sentences(result, "H1"))
