"""Counts and names in words: one is one, several are several."""

import pytest

from edgetest.study.words import (
    counted,
    freedom_words,
    listed,
    name_of_reading,
    percent,
    row_spans,
    were,
)


def test_one_is_one_and_none_and_two_are_several():
    assert [counted(n, "photograph") for n in (0, 1, 2)] == [
        "0 photographs", "1 photograph", "2 photographs",
    ]  # fmt: skip
    assert [counted(n, "knife", "knives") for n in (1, 3)] == ["1 knife", "3 knives"]
    assert [were(n, "reading") for n in (1, 2)] == ["1 reading is", "2 readings are"]
    assert [freedom_words(df) for df in (1.0, 1.001, 4.2, 0.5)] == [
        "1 degree of freedom", "1 degree of freedom", "4.2 degrees of freedom",
        "0.5 degrees of freedom",
    ]  # fmt: skip


def test_a_share_of_a_whole_and_more_is_told_without_a_power_of_ten():
    shares = (0.0052, 0.123, 0.996, 8.74)
    assert [percent(share) for share in shares] == ["0.52 %", "12 %", "100 %", "874 %"]


def test_names_stand_in_a_row():
    assert listed(["A1"]) == "A1"
    assert listed(["A1", "A2"]) == "A1 and A2"
    assert listed(["A1", "A2", 3]) == "A1, A2 and 3"


@pytest.mark.parametrize(
    ("column", "name"),
    [
        ("edge_width_um", "edge width"), ("sever_force_gf", "thread severing force"),
        ("w30_um", "W30"), ("grade", "grade"), ("card_mm", "card"),
    ],
)  # fmt: skip
def test_a_column_is_called_without_its_unit(column, name):
    assert name_of_reading(column) == name


def test_rows_that_follow_each_other_are_told_by_their_ends():
    assert row_spans([12, 14, 16, 15]) == "12, 14 to 16"
    assert row_spans([7]) == "7"
    assert row_spans([]) == ""
