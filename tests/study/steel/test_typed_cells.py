"""A prompt takes text with quotes and without."""

import pytest

from edgetest.study.steel.typed_cells import bare_cell, typed_cell


@pytest.mark.parametrize(
    ("typed", "taken"),
    [('"wet oak"', "wet oak"), ("'60'", "60"), ("wet oak", "wet oak"), ('5"', '5"'), ('"', '"'),
     ('"a" or "b"', '"a" or "b"'), ("\"a'", "\"a'"), ("", "")],
)  # fmt: skip
def test_quotes_about_all_of_a_cell_are_taken_off(typed, taken):
    assert bare_cell(typed) == taken


@pytest.mark.parametrize("key", ["beside", "source", "form", "note", "day", "hit"])
def test_a_text_that_looks_like_a_number_stays_text(key):
    assert typed_cell(key, "2019") == "2019"
    assert typed_cell("strokes", "2019") == 2019


@pytest.mark.parametrize(("typed", "kept"), [("yes", 1), ("no", 0), ("2", 2)])
def test_that_a_coupon_cracked_may_be_said_by_yes(typed, kept):
    found = typed_cell("cracked", typed)
    assert found == kept
    assert type(found) is int
    assert typed_cell("oven_checked", "yes") is True
