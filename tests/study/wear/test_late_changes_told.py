"""The same change of many rows behind the last reading is one part of the sentence."""

from edgetest.store.history import IN_THE_FILE, Change
from edgetest.store.protocol import load_protocol
from edgetest.study.wear.corrected_late import LateChange
from edgetest.study.wear.late_changes_told import late_changes_told

RULES = load_protocol("sisal_rope")


def late(row, *, blade="O2", cuts="50", what=IN_THE_FILE, when="2026-11-29T17:36", known=False,
         column="exclude", before="", after="a nail"):  # fmt: skip
    cells = {"blade": blade, "block": "coil A", "cuts": cuts, "station_mm": "40"}
    change = Change(what, "log", row, cells | {column: before}, cells | {column: after}, when)
    return LateChange(change, known)


def test_rows_of_a_blade_that_changed_alike_are_told_once_by_their_ends():
    told = late_changes_told([late(2), late(3, cuts="60"), late(7), late(4)], RULES)
    assert told == ["O2, coil A, rows 2 to 4, 7: changed in the file: exclude a nail (2026-11-29)"]


def test_what_differs_in_blade_words_or_day_stands_apart():
    changes = [late(2), late(3, blade="W1"), late(4, after="slip"), late(5, when="2026-11-30T1"),
               late(6, known=True)]  # fmt: skip
    told = late_changes_told(changes, RULES)
    assert len(told) == 5
    assert told[0] == (
        "O2, coil A, 50 cuts, station 40 mm: changed in the file: exclude a nail (2026-11-29)"
    )
    assert told[4].endswith("(2026-11-29, after the names came back)")


def test_another_block_is_told_with_both_names():
    changes = [late(k, column="block", before="again", after="coil A") for k in (2, 3)]
    (told,) = late_changes_told(changes, RULES)
    assert told == "O2, coil A, rows 2 to 3: changed in the file: block again → coil A (2026-11-29)"
