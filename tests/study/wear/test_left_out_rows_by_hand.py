"""Rows left out and mishaps told by their blades, each wording once."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import Where, codes, doubt
from edgetest.store.log_rows import LogRow
from edgetest.study.wear.left_out_rows import (
    by_blade,
    excluded_blades,
    mishap_counts,
    mishap_doubts,
    mishaps_told,
    rows_read_after,
    told_as_looked_at,
    without_cutting_on,
)


def row(line, blade="A", *, exclude="", mishap="", note="", photo="", waiting=False):
    return SimpleNamespace(line=line, blade=blade, exclude=exclude, mishap=mishap, note=note,
                           photo=photo, waiting=waiting)  # fmt: skip


@pytest.mark.parametrize(
    ("lines", "said"),
    [((2,), "row 2"), ((2, 5), "rows 2, 5"), ((2, 5, 7), "rows 2, 5, 7"),
     ((2, 5, 7, 9), "4 rows, 2 to 9")],
)  # fmt: skip
def test_a_few_rows_are_named_one_by_one(lines, said):
    rows = [row(1), *(row(line, exclude="slip.") for line in lines)]
    assert by_blade(rows, "exclude", kept=False) == [f"A ({said}): slip"]


def test_a_blade_of_which_nothing_is_left_is_told_as_whole():
    assert by_blade([row(2, exclude="bent")], "exclude", kept=False) == ["A, whole (row 2): bent"]
    waits = [row(2, exclude="bent"), row(3, waiting=True)]
    assert by_blade(waits, "exclude", kept=False) == ["A, whole (row 2): bent"]
    shown = [row(2, exclude="bent"), row(3, waiting=True, photo="a.png")]
    assert by_blade(shown, "exclude", kept=False) == ["A (row 2): bent"]
    other = [row(2, exclude="bent"), row(3, "B")]
    assert by_blade(other, "exclude", kept=False) == ["A, whole (row 2): bent"]


def test_mishaps_are_told_of_rows_that_count():
    rows = [row(2, mishap="fell"), row(3, mishap="fell.", exclude="slip"), row(4, mishap="hit")]
    assert by_blade(rows, "mishap", kept=True) == ["A (row 2): fell", "A (row 4): hit"]
    assert by_blade(rows, "mishap", kept=False) == ["A (row 3): fell"]


def reading(cuts, *, excluded=False, blade="A", run=None, reason="slip."):
    return SimpleNamespace(cuts=cuts, excluded=excluded, blade=blade, run=run or blade,
                           reason=reason if excluded else "")  # fmt: skip


def test_blades_none_of_whose_readings_count_have_their_reasons():
    found = excluded_blades([reading(0, excluded=True), reading(1, excluded=True, reason="bent"),
                             reading(2, excluded=True), reading(0, blade="B"),
                             reading(1, blade="B", excluded=True)])  # fmt: skip
    assert found == {"A": "slip; bent"}


SHORT = {"A": "This blade was ended at the bench"}


def told(code="extrapolated", blade="A"):
    about = doubt(code, where=Where(blade=blade))
    return codes(without_cutting_on([about, about], SHORT))


def test_a_blade_that_is_cut_no_further_is_not_told_to_be_cut_on():
    (one,) = without_cutting_on([doubt("extrapolated", where=Where(blade="A"))], SHORT)
    assert one.text.startswith("This blade was ended at the bench, so its life beyond")
    assert "Cut" not in one.text
    assert told() == ("later_left_out",)
    assert told("beyond_reach") == told("life_is_a_bound") == ("bound_left_out",)
    assert told(blade="B") == ("extrapolated",)


def test_a_curve_that_levels_off_where_it_is_cut_no_further_says_both():
    about = doubt("never_reaches_limit", where=Where(blade="A"))
    (one,) = without_cutting_on([about], SHORT)
    assert "levels off before the limit" in one.text
    assert "cut further" not in one.text
    assert without_cutting_on([about], {}) == (about,)


def test_other_doubts_and_earned_ones_stay_as_they_are():
    assert told("noisy_blade") == ("noisy_blade",)
    earned = doubt("extrapolated", "More.", where=Where(blade="A"))
    assert codes(without_cutting_on([earned], SHORT)) == ("extrapolated",)


def test_a_mishap_that_was_looked_at_and_counts_is_not_asked_about_again():
    rows = [
        row(2, mishap="fell"),
        row(3, mishap="hit; looked at, it counts"),
        row(4, mishap="hit", note="It still counts."),
        row(5, mishap="it does not count"),
    ]
    asked, looked = mishap_doubts(rows)  # fmt: skip
    assert (asked.code, looked.code) == ("mishap_kept", "mishap_counts")
    assert "A (row 2): fell; A (row 5)" in asked.text
    assert "A (row 3): hit; looked at; A (row 4): hit." in looked.text
    assert "exclude" not in looked.text
    assert codes(mishap_doubts(rows[1:3])) == ("mishap_counts",)
    assert codes(mishap_doubts(rows[:1])) == ("mishap_kept",)
    assert mishap_doubts([row(2, note="it counts")]) == []


def test_a_reading_that_was_looked_at_and_counts_is_told_so():
    words = {"met": "9", "cuts": "50", "expected": "5"}
    one, other = (doubt("outlying_reading", where=Where(row=line, blade="A"), **words)
                  for line in (2, 3))  # fmt: skip
    earned = doubt("outlying_reading", "With it: x.", where=Where(row=2), **words)
    noisy = doubt("noisy_blade", where=Where(row=2))
    found = told_as_looked_at([one, other, earned, noisy], [row(2, note="it counts"), row(3)])
    kept = "You looked at it and noted that it counts, so it stands."
    assert found[0].text.endswith(f"Nothing was dropped. {kept}")
    assert found[1:2] + found[3:] == (other, noisy)
    assert found[2].text.endswith("so it stands. With it: x.")


def test_a_mishap_between_two_stages_names_the_readings_that_came_next():
    """A bench mishap has a row of its own, at the count: what it may have spoilt is later."""
    rows = [
        LogRow(2, "A", 25, readings={"edge_width_um": 5}),
        LogRow(3, "A", 25, mishap="twisted"),
        LogRow(4, "B", 50, readings={"edge_width_um": 5}),
        LogRow(5, "A", 50, readings={"edge_width_um": 6}),
        LogRow(6, "A", 50, readings={"edge_width_um": 7}),
        LogRow(7, "A", 100, readings={"edge_width_um": 9}),
    ]
    assert [one.line for one in rows_read_after(rows[1], rows)] == [5, 6]
    assert by_blade(rows, "mishap", kept=True) == [
        "A (row 3; read next at 50 cuts, rows 5, 6): twisted"
    ]
    assert rows_read_after(rows[1], rows[:3]) == []
    own = [LogRow(2, "A", 25, readings={"edge_width_um": 5}, mishap="slipped"), *rows[3:]]
    assert rows_read_after(own[0], own) == []


def test_a_mishap_counts_where_a_reading_counts_that_it_may_have_spoilt():
    """Its row stands below those that were read later: the bench adds it at the log's end."""
    before = LogRow(2, "A", 130, readings={"edge_width_um": 9})
    chip = LogRow(3, "A", 160, readings={"edge_width_um": 14}, exclude="chip")
    later = LogRow(4, "A", 200, readings={"edge_width_um": 10})
    hit = LogRow(5, "A", 140, mishap="hit the board")
    for rows, counts in (
        ([before, hit], False),
        ([before, chip, hit], False),
        ([before, chip, later, hit], True),
    ):
        assert mishap_counts(hit, rows) is counts
        assert codes(mishap_doubts(rows)) == (("mishap_kept",) if counts else ())
        told = ("A (row 5; read next at 200 cuts, row 4): hit the board",)
        idle = (f"A (row 5{'; read next at 160 cuts, row 3' * (len(rows) > 2)}): hit the board",)
        assert mishaps_told(rows) == ((told, ()) if counts else ((), idle))
    assert mishaps_told([before, LogRow(3, "A", 140, mishap="hit", exclude="chip")]) == ((), ())
