"""Marks are counted by row, and the worst row stands first."""

from math import inf, log

from tests.benchmarks.folder_worlds.held_shares import factor, part, rows_of_marks, share


def marks_of(held):
    return {"ratio": [held]}


def test_rows_stand_by_their_ratio_with_all_of_a_half_last():
    judged = [
        ("well", 2, marks_of(True)),
        ("ill", 2, marks_of(True)),
        ("ill", 4, marks_of(False)),
        ("well", 3, marks_of(False)),
    ]
    rows = [(row, marks["ratio"]) for row, marks in rows_of_marks(judged)]
    assert [row for row, _ in rows] == [
        ("well", "odd"), ("ill", "even"), ("well", "even"), ("all", "odd"), ("all", "even"),
    ]  # fmt: skip
    assert dict(rows)["all", "even"] == [True, True, False]


def test_a_share_stands_with_its_count():
    assert share([True, True, False]) == "66.7 % of 3"
    assert part([True, True, False]) == "2 of 3"
    assert share([]) == part([]) == "–"


def test_a_factor_is_the_median_and_none_where_half_are_open():
    assert factor([log(1.2), log(1.5), inf]) == "1.50"
    assert factor([log(1.2), inf, inf]) == factor([]) == "–"
