"""The same change of many rows behind the last reading is one part of the sentence."""

from dataclasses import replace

import pytest

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


def test_a_blade_cut_anew_is_told_with_what_was_left_out():
    (told,) = late_changes_told([replace(late(2), cut_anew=True)], RULES)
    assert told.endswith("exclude a nail (2026-11-29, before the blade was cut anew)")


def test_another_block_is_told_with_both_names():
    changes = [late(k, column="block", before="again", after="coil A") for k in (2, 3)]
    (told,) = late_changes_told(changes, RULES)
    assert told == "O2, coil A, rows 2 to 3: changed in the file: block again → coil A (2026-11-29)"


def width(row, before, after, **more):
    return late(row, column="edge_width_um", before=before, after=after, **more)


def test_a_column_that_was_multiplied_is_told_once_with_its_factor():
    cells = [("3.0", "3.12"), ("<5", "<5.20"), ("8.5", "8.84"), ("10,5", "10.92"), ("12", "12.48")]
    changes = [width(k, *each, cuts=str(50 * k)) for k, each in enumerate(cells, 2)]
    told = late_changes_told([late(20), *changes, width(9, "7", "7.28", blade="W1")], RULES)
    assert told == [
        "O2, coil A, 50 cuts, station 40 mm: changed in the file: exclude a nail (2026-11-29)",
        "O2 and W1, rows 2 to 6, 9: changed in the file: edge width 3.0 → 3.12 µm in the first, "
        "each about 1.04 times what it was (2026-11-29)",
    ]


@pytest.mark.parametrize("odd", ["9.9", "", "worn"])
def test_many_changes_of_a_column_by_no_one_factor_are_told_by_the_first_and_the_last(odd):
    cells = [("3.0", "3.12"), ("5", "5.20"), ("8.5", odd), ("10.5", "10.92"), ("12", "12.48")]
    changes = [width(k, *each, cuts=str(50 * k)) for k, each in enumerate(cells, 2)]
    (told,) = late_changes_told(changes, RULES)
    assert told == (
        "O2, rows 2 to 6: changed in the file: 5 cells, from edge width 3.0 → 3.12 µm to "
        "edge width 12 → 12.48 µm; each stands in the history (2026-11-29)"
    )


def test_four_changes_of_a_column_and_those_of_another_day_are_told_one_by_one():
    days = ["2026-11-29T1"] * 4 + ["2026-11-30T1"] * 2
    changes = [width(k, f"{k}.0", f"{k}.5", cuts=str(k), when=day) for k, day in enumerate(days, 2)]
    told = late_changes_told(changes, RULES)
    assert len(told) == 6
    assert told[0].endswith("edge width 2.0 → 2.5 µm (2026-11-29)")
