"""A reading corrected once all stood is told; one corrected before, or taken back, is not."""

import pytest

from edgetest.store.history import IN_THE_FILE, Change
from edgetest.study.wear.corrected_late import corrected_late

WIDTH = "edge_width_um"


def change(what, before, after, column=WIDTH, table="log"):
    return Change(what, table, 2, before and {column: before}, after and {column: after}, "2026")


ENTERED, SLIP = change("append", None, "100"), change("correct", "100", "10.0")
NOTE = change("append", None, "edge twisted", "mishap")


@pytest.mark.parametrize(
    ("changes", "late"),
    [
        ([ENTERED, SLIP], [SLIP]),
        ([ENTERED, SLIP, NOTE], [SLIP]),
        ([ENTERED, SLIP, ENTERED], []),
        ([ENTERED, SLIP, change("undo", "10.0", "100")], []),
        ([ENTERED, change("correct", "a", "b", "note")], []),
        ([ENTERED, change(IN_THE_FILE, "100", "10.0")], []),
        ([ENTERED, change("correct", "", "10.0")], []),
        ([SLIP], []),  # nobody entered a reading in the program
    ],
)
def test_a_reading_corrected_once_all_stood_is_told(changes, late):
    assert corrected_late(changes, WIDTH) == late
