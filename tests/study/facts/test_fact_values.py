"""What is typed is what stands in study.toml, and what a field shows gives it again."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.facts.fact_values import field_text, field_value


@pytest.mark.parametrize(
    ("kind", "typed", "value"),
    [
        ("words", "  lorry  leaf spring ", "lorry leaf spring"),
        ("size", "1/4 in", "1/4 in"),
        ("size", "6.4", 6.4),
        ("size", "1500 °F", "1500 °F"),
        ("size", "12,5", "12,5"),  # read by the units, with both ways of a decimal mark
        ("count", "20", 20),
        ("numbers", "55  55.5", [55, 55.5]),
        ("numbers", "55, 55,5", [55, 55.5]),
        ("rows", "0 12 12\n6 15 18.5", [[0, 12, 12], [6, 15, 18.5]]),
        ("lines", "Dry it.\n\n Oil it. ", ["Dry it.", "Oil it."]),
        ("size", "   ", None),
    ],
)
def test_a_typed_field_is_read_and_shown_again(kind, typed, value):
    found = field_value(typed, kind, "Field")
    assert (found, type(found)) == (value, type(value))
    assert field_value(field_text(value, kind), kind, "Field") == value


@pytest.mark.parametrize(
    ("kind", "typed", "word"),
    [("count", "twenty", "twenty"), ("count", "20.5", "20.5"), ("numbers", "55 x", "x"),
     ("rows", "0 12\n6 1.2.3", "1.2.3"), ("numbers", "nan", "nan")],
)  # fmt: skip
def test_a_word_that_is_no_number_is_named(kind, typed, word):
    with pytest.raises(UnusableInput, match=f'"{word}" is not a'):
        field_value(typed, kind, "Field")
