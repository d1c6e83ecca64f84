"""A table of results reads as lines on a desk and as cards on a phone, and never says None."""

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.cards import PAGE_ROWS, plain_cell, rows_html
from tests.app.shown_rows import tables


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        (None, ""), (float("nan"), ""), (float("inf"), ""), (pd.NA, ""), (pd.NaT, ""),
        (2.0, "2"), (0.123456, "0.1235"), (12345.678, "12346"), (True, "yes"), (0, "0"),
        (["A1", None, "B1"], "A1, B1"), ("170 (161 to 178)", "170 (161 to 178)"),
    ],
)  # fmt: skip
def test_a_cell_says_what_is_known_and_nothing_else(cell, words):
    assert plain_cell(cell) == words


def test_what_was_typed_never_becomes_markup():
    html = rows_html(pd.DataFrame([{"<i>": "<script>x</script>"}]), '"><b>')
    assert "<script" not in html
    assert "<i>" not in html
    assert "<b>" not in html


def test_a_column_without_any_word_is_left_out():
    html = rows_html(pd.DataFrame([{"blade": "A1", "remark": None}, {"blade": "B1"}]), "lives")
    assert "remark" not in html
    assert 'data-label="blade">B1<' in html


def test_a_table_keeps_its_roles_when_its_rows_are_cards():
    html = rows_html(pd.DataFrame([{"blade": "A1", "life": 120.0}]), "lives")
    for role in ("table", "rowgroup", "row", "columnheader", "rowheader", "cell"):
        assert f'role="{role}"' in html
    assert 'aria-label="lives"' in html


def long_table(count):
    """A page with one table of so many rows."""
    from edgetest.app.cards import show_rows

    show_rows([{"row": number} for number in range(count)], "rows")


def test_a_long_table_is_shown_in_parts():
    run = AppTest.from_function(long_table, args=(PAGE_ROWS + 5,)).run()
    assert len(tables(run)[0]) == PAGE_ROWS
    run.number_input[0].set_value(2).run()
    assert list(tables(run)[0]["row"]) == [str(PAGE_ROWS + i) for i in range(5)]


def test_a_short_table_is_shown_whole():
    run = AppTest.from_function(long_table, args=(PAGE_ROWS,)).run()
    assert len(tables(run)[0]) == PAGE_ROWS
    assert not run.number_input
