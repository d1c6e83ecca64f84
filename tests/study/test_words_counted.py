"""Counts and names in words, at one and beside it."""

import pytest

from edgetest.study.words import counted, freedom_words, listed, name_of_reading, were


@pytest.mark.parametrize(("count", "said"), [(0, "0 rows"), (1, "1 row"), (2, "2 rows")])
def test_one_is_one_and_all_else_are_several(count, said):
    assert counted(count, "row") == said
    assert were(count, "row") == f"{said} {'is' if count == 1 else 'are'}"
    assert counted(count, "person", "people").endswith("person" if count == 1 else "people")


def test_names_stand_in_a_row():
    assert listed("A") == "A"
    assert listed("AB") == "A and B"
    assert listed([1, 2, 3]) == "1, 2 and 3"


@pytest.mark.parametrize(
    ("df", "said"),
    [(1, "1 degree of freedom"), (4.236, "4.24 degrees of freedom"),
     (0.99, "0.99 degrees of freedom")],
)  # fmt: skip
def test_degrees_of_freedom_have_three_digits(df, said):
    assert freedom_words(df) == said


@pytest.mark.parametrize(
    ("reading", "name"),
    [("edge_width_um", "edge width"), ("w30_um", "W30"), ("chips_count", "chips"),
     ("sever_force_gf", "thread severing force"), ("grade", "grade"), ("pass_fail", "pass fail")],
)  # fmt: skip
def test_a_reading_loses_its_unit(reading, name):
    assert name_of_reading(reading) == name
