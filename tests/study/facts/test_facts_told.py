"""A change of facts is told by what came, what went, and where."""

import pytest

from edgetest.store.history import Change
from edgetest.study.facts.facts_told import facts_in_words


def change(**places):
    named = {place.replace("__", ", "): sides for place, sides in places.items()}
    before, after = ({place: sides[k] for place, sides in named.items()} for k in (0, 1))
    return Change("facts", "study", 0, before, after, "")


@pytest.mark.parametrize(
    ("sides", "said"),
    [
        ((None, "x"), 'note: "x"'),
        (("x", None), "note: blank"),
        (("x", "y"), 'note: "x" → "y"'),
        ((1, 2.5), "note: 1 → 2.5"),
        ((0, 3), "note: 0 → 3"),
        ((None, 3), "note: 3"),
        (([40.4, 60.8], [60.4, 60.8]), "note: [40.4, 60.8] → [60.4, 60.8]"),
        (("45-50", "50-55"), 'note: "45-50" → "50-55"'),
        ((None, [1, 2]), "note: [1, 2]"),
        ((None, [{"a": 1, "b": ["x", "y"]}]), "note: new: a 1, b x y"),
        (([{"a": 1}], [{"a": 2}]), "note: new: a 2; gone: a 1"),
        (([{"a": 1}], [{"a": 1}, {"a": 1}]), "note: once more: a 1"),
        (([{"a": 1}, {"a": 2}], [{"a": 1}, {"a": 2}, {"a": 1}]), "note: once more: a 1"),
        (([{"a": 1}, {"a": 2}, {"a": 1}], [{"a": 1}, {"a": 2}]), "note: gone once: a 1"),
        (([{"a": 1}], None), "note: gone: a 1"),
        (([], []), "note: blank"),
    ],
)
def test_a_change_is_told_by_what_came_and_what_went(sides, said):
    assert facts_in_words(change(note=sides)) == said


def test_rows_without_an_id_are_counted_from_one():
    told = change(evidence__heats__0__medium=(None, "oil"), blades__0__note=(None, "x"))
    assert facts_in_words(told) == 'evidence, heats 1, medium: "oil"; blades, 0, note: "x"'
