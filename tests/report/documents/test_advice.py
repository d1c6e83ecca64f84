"""What a document asks of the maker stands apart, each with its place."""

import pytest

from edgetest.doubts import doubt
from edgetest.report.documents.advice import maker_section, parted

SLIP = "log.csv, row 14, H.2: It reads 40 at 25 cuts, where about 4 is expected. Look at your note."


def test_a_line_is_parted_where_it_asks_something():
    facts, asked = parted([SLIP, "The medium changed. The interval allows for it."])
    assert facts == [SLIP.removesuffix(" Look at your note."),
                     "The medium changed. The interval allows for it."]  # fmt: skip
    assert asked == ["log.csv, row 14, H.2: Look at your note."]


def test_advice_that_points_back_is_told_with_what_it_points_at():
    odd = "H2: Its life is far from the others. Look at its edge and its notes."
    assert parted([odd]) == (["H2: Its life is far from the others."], [odd])


def test_where_nothing_is_asked_there_is_no_section():
    assert maker_section(["All is well."]) == []
    assert len(maker_section([SLIP, SLIP])) == 1


@pytest.mark.parametrize("code", ["outlying_reading", "readings_stand_out"])
def test_that_nothing_was_dropped_is_a_fact_and_no_order(code):
    text = doubt(code, met="40", cuts="25", expected="4", count=3).text
    facts, asked = parted([f"log.csv, row 3, H2: {text}"])
    assert facts[0].endswith("Nothing was dropped.")
    assert "dropped" not in asked[0]
