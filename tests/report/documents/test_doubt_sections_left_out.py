"""What a document says of rows that do not count, and of mishaps whose rows do."""

from math import nan
from types import SimpleNamespace

from edgetest.report.documents.doubt_sections import left_out_sections


def reading(line, *, excluded):
    return SimpleNamespace(
        line=line, blade="P3", cuts=100.0, station="20", value=7.5, lower=nan, upper=nan,
        excluded=excluded, reason="twisted the edge" if excluded else "",
    )  # fmt: skip


def row(line, *, mishap="", exclude=""):
    return SimpleNamespace(line=line, blade="P3", cuts=100.0, mishap=mishap, exclude=exclude,
                           waiting=False)  # fmt: skip


def sections(readings, rows):
    result = SimpleNamespace(
        readings=readings, reading="edge_width_um", log=SimpleNamespace(rows=rows)
    )
    return left_out_sections(result, "metric")


def test_a_row_that_is_left_out_keeps_the_mishap_that_was_noted_of_it():
    rows = [row(4, mishap="hit a knot", exclude="twisted the edge")]
    (found,) = sections([reading(4, excluded=True)], rows)
    assert found["heading"] == "Left out"
    assert found["blocks"][0]["rows"][0][-1] == "twisted the edge; mishap: hit a knot"
    again = [row(4, mishap="twisted the edge", exclude="twisted the edge")]
    (found,) = sections([reading(4, excluded=True)], again)
    assert found["blocks"][0]["rows"][0][-1] == "twisted the edge"


def test_mishaps_whose_rows_count_do_not_stand_under_left_out():
    (found,) = sections([reading(4, excluded=False)], [row(4, mishap="hit a knot")])
    assert found["heading"] == "Mishaps"
    assert found["blocks"][-1]["items"] == ["P3 at 100 cuts (row 4): hit a knot"]
    assert not sections([reading(4, excluded=False)], [row(4)])
