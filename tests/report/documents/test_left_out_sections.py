"""What a document says of rows that do not count, and of mishaps whose rows do."""

from math import nan
from types import SimpleNamespace

import pytest

from edgetest.report.documents.left_out_sections import (
    KEPT,
    NEVER,
    OTHERS,
    left_out_sections,
)
from edgetest.store.log_rows import LogRow


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


@pytest.mark.parametrize(
    ("exclude", "after", "lead", "said"),
    [
        ("", [], OTHERS, "at 140 cuts (row 8): hit the board; the blade was not read after it"),
        ("", ["chip"], OTHERS, "after 140 cuts, before the readings at 160 (row 8): hit the board; "
                               "what was read after it is left out"),
        ("", ["chip", ""], KEPT, "after 140 cuts, before the readings at 200 (row 8): "
                                 "hit the board"),
        ("not cut on", ["chip"], OTHERS, "after 140 cuts, before the readings at 160 (row 8): "
                                         "hit the board; the row is left out: not cut on; "
                                         "what was read after it is left out"),
    ],
)  # fmt: skip
def test_a_mishap_between_two_stages_says_what_became_of_the_readings(exclude, after, lead, said):
    rows = [
        LogRow(4, "P3", 130, readings={"edge_width_um": 7}),
        *(LogRow(line, "P3", cuts, readings={"edge_width_um": 9}, exclude=why)
          for line, (cuts, why) in enumerate(zip((160, 200), after, strict=False), 5)),
        LogRow(8, "P3", 140, mishap="hit the board", exclude=exclude),
    ]  # fmt: skip
    (found,) = sections([reading(4, excluded=False)], rows)
    assert found["blocks"][0]["text"] == lead
    assert found["blocks"][1]["items"] == [f"P3 {said}"]
    assert len(found["blocks"]) == 2


def test_stages_that_were_left_out_unread_stand_with_their_reason():
    rows = [LogRow(line, "P3", cuts, exclude="cracked") for line, cuts in ((7, 200), (8, 250))]
    (found,) = sections([reading(4, excluded=False)], rows)
    assert found["heading"] == "Left out"
    assert found["blocks"][0]["text"] == NEVER
    assert found["blocks"][1]["items"] == ["P3 at 200 and 250 cuts (rows 7 to 8): cracked"]


def test_a_place_that_was_left_out_unread_does_not_make_its_stage_unread():
    rows = [
        LogRow(4, "P3", 100, readings={"edge_width_um": 7}),
        LogRow(5, "P3", 100, exclude="rust"),
    ]
    (found,) = sections([reading(4, excluded=False)], rows)
    assert found["blocks"][0]["text"] == "Rows without a reading, with the reason:"
    assert found["blocks"][1]["items"] == ["P3 at 100 cuts (row 5): rust"]
