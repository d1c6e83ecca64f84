"""Which rows a change touched, counted from 1 as in study.toml."""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.told_at_entry import rows_changed


@pytest.mark.parametrize(
    ("before", "after", "rows"),
    [
        ({"evidence, heats": None}, {"evidence, heats": [1]}, {"heats 1"}),
        ({"evidence, heats": [1]}, {"evidence, heats": [1, 2, 3]}, {"heats 2", "heats 3"}),
        ({"evidence, heats": [1, 2]}, {"evidence, heats": [1]}, set()),
        ({}, {"evidence, tempers, 1, time_min": 60}, {"tempers 2"}),
        ({}, {"evidence, trials, 0, note": "x", "evidence, heats, 4, grain": "fine"},
         {"trials 1", "heats 5"}),
        ({}, {"evidence, pieces, T 2, note": "x"}, {"pieces 2"}),
        ({}, {"evidence, pieces": [1]}, {"pieces 1"}),
        ({}, {"blades, 0, note": "x"}, set()),
        ({}, {"evidence": 1}, set()),
        (None, None, set()),
    ],
)  # fmt: skip
def test_rows_that_were_added_or_filled(before, after, rows):
    assert rows_changed(SimpleNamespace(before=before, after=after), ("T 1", "T 2")) == rows
