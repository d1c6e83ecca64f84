"""A reading corrected or left out once all stood is told; one changed before, or undone, is not."""

import pytest

from edgetest.store.history import IN_THE_FILE, Change
from edgetest.study.wear.corrected_late import corrected_late

WIDTH = "edge_width_um"


def change(what, before, after, column=WIDTH, table="log", when="2026"):
    return Change(what, table, 2, before and {column: before}, after and {column: after}, when)


def left_out(what, before="", after="hit the clamp"):
    cells = ({WIDTH: "62", "exclude": reason} for reason in (before, after))
    return Change(what, "log", 2, *cells, "2027")


ENTERED, SLIP = change("append", None, "100"), change("correct", "100", "10.0")
NOTE = change("append", None, "edge twisted", "mishap")
FILLED = change(IN_THE_FILE, "", "7.1")
IN_FILE = change(IN_THE_FILE, "100", "10.0")
OUT, IN_AGAIN = left_out("correct"), left_out("correct", "hit the clamp", "")
OTHER = left_out("correct", "hit the clamp", "hit the vice")


@pytest.mark.parametrize(
    ("changes", "late"),
    [
        ([ENTERED, SLIP], [SLIP]),
        ([ENTERED, SLIP, NOTE], [SLIP]),
        ([ENTERED, SLIP, ENTERED], []),
        ([ENTERED, SLIP, FILLED], []),  # the readings that came after it were typed in the file
        ([ENTERED, SLIP, FILLED, OUT], [OUT]),
        ([ENTERED, OUT, IN_AGAIN, OTHER], [OUT, IN_AGAIN]),
        ([ENTERED, left_out(IN_THE_FILE)], [left_out(IN_THE_FILE)]),
        ([ENTERED, SLIP, change("undo", "10.0", "100")], []),
        ([ENTERED, SLIP, IN_FILE, change("undo", "10.0", "100")], [IN_FILE]),
        ([ENTERED, change("correct", "a", "b", "note")], []),
        ([ENTERED, IN_FILE], [IN_FILE]),
        ([FILLED, IN_FILE], []),  # both in one go: which came first is not known
        ([ENTERED, change(IN_THE_FILE, "12.50", "12,5")], []),
        ([ENTERED, change("correct", "", "10.0")], []),  # an entry
        ([SLIP], []),  # nobody entered a reading
    ],
)
def test_a_reading_changed_once_all_stood_is_told(changes, late):
    assert [one.change for one in corrected_late(changes, WIDTH)] == late


def test_a_correction_stays_told_when_other_blades_are_read_later():
    def of(blade, what, before, after):
        cells = ({"blade": blade, WIDTH: width} for width in (before, after))
        return Change(what, "log", 2, *cells, "2026")

    read, slip = of("T1", "append", "", "1.1"), of("T1", "correct", "1.1", "10.75")
    more = of("T2", "append", "", "9")
    assert [one.change for one in corrected_late([read, slip, more], WIDTH)] == [slip]
    again = of("T1", "append", "", "11")
    assert corrected_late([read, slip, more, again], WIDTH) == []  # it was read on


def test_another_row_in_its_place_in_the_file_is_no_correction():
    cells = ({"blade": blade, WIDTH: width} for blade, width in (("K1", "5"), ("K2", "9")))
    assert corrected_late([ENTERED, Change(IN_THE_FILE, "log", 2, *cells, "2027")], WIDTH) == []


def test_what_was_changed_after_the_names_came_back_says_so():
    read = change("names", None, "the key was read", "names", "names")
    known = change("names", None, "unsealed: 6 blades", "names", "names")
    late = corrected_late([ENTERED, read, SLIP, known, OUT], WIDTH)
    assert [one.names_known for one in late] == [False, True]


def moved(width="62", block="roll 1"):
    cells = ({WIDTH: "62", "block": "roll 1, again"}, {WIDTH: width, "block": block})
    return Change(IN_THE_FILE, "log", 2, *cells, "2027")


def test_a_reading_that_was_given_to_another_blade_is_told():
    def cells(blade, width="7.25"):
        return {"blade": blade, "cuts": "100", WIDTH: width}

    read = [Change("append", "log", 2, None, cells(blade), "2026") for blade in ("A1", "B1")]
    moved = Change(IN_THE_FILE, "log", 2, cells("A1"), cells("B1"), "2027")
    assert [one.change for one in corrected_late([*read, moved], WIDTH)] == [moved]
    shifted = Change(IN_THE_FILE, "log", 2, cells("A1"), cells("B1", "8"), "2027")
    assert corrected_late([*read, shifted], WIDTH) == []  # another row stands there now


def test_a_row_that_was_given_to_another_block_is_told():
    assert [one.change for one in corrected_late([ENTERED, moved()], WIDTH)] == [moved()]
    assert corrected_late([ENTERED, moved("63")], WIDTH) == []  # another row
    assert corrected_late([ENTERED, moved(block="roll 1, again")], WIDTH) == []


def test_a_row_whose_roll_was_named_late_is_told():
    cells = {WIDTH: "62", "block": "roll 2"}
    named = Change("correct", "log", 2, cells, {**cells, "batch": "roll 3"}, "2027")
    assert [one.change for one in corrected_late([ENTERED, named], WIDTH)] == [named]
    bare = {"block": "roll 2"}  # no reading stands there
    other = Change("correct", "log", 3, bare, {**bare, "batch": "roll 3"}, "2027")
    assert corrected_late([ENTERED, other], WIDTH) == []


def of_stages(*cuts, what="append", before=None, after=""):
    """Changes of the rows of these stages: entered, or left out for a reason."""
    for row, stage in enumerate(cuts):
        cells = [None if reason is None else {"cuts": stage, WIDTH: "6", "exclude": reason}
                 for reason in (before, after)]  # fmt: skip
        yield Change(what, "log", 2 + row, *cells, "2027")


def test_a_blade_that_was_left_out_late_stays_told_once_it_is_cut_anew():
    read = [*of_stages("0", "50", "100")]
    out = [*of_stages("0", "50", "100", what="correct", before="", after="left coarse")]
    late = corrected_late([*read, *out, *read], WIDTH)
    assert [one.change for one in late] == out
    assert all(one.cut_anew for one in late)
    assert not any(one.cut_anew for one in corrected_late([*read, *out], WIDTH))
    some = out[:2]  # the blade goes on: what was left out on the way is not late
    assert corrected_late([*read, *some, *of_stages("200")], WIDTH) == []


def test_a_fresh_edge_that_is_read_once_more_is_not_cut_anew():
    read = [*of_stages("0", "0")]
    out = [*of_stages("0", "0", what="correct", before="", after="clamp slipped")]
    assert corrected_late([*read, *out, *of_stages("0", "50")], WIDTH) == []
