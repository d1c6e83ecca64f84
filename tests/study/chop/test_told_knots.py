"""A knot in the words of a piece and another count of knots do not pass in silence."""

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.told_knots import asked_of_knots, knot_doubts, knot_told


def piece(note="", knots=None, **more):
    return ChopRow(
        7, "T1", "billet", chops=parse_strokes("12"), note=note, knots=knots, **more
    )  # fmt: skip


@pytest.mark.parametrize(
    ("note", "knots", "told"),
    [
        ("hit a knot", None, "knot"),
        ("Knotty end", 0, "Knotty"),
        ("two knots in the cut", 2, ""),
        ("no knots", 1, "no knots"),
        ("no knots seen", None, ""),
        ("knot-free", None, ""),
        ("knot 5 cm off the cut", 0, ""),
        ("cut beside a knot", None, ""),
        ("the lanyard was knotted", None, ""),
        ("", 3, ""),
    ],
)
def test_words_and_count_are_held_against_each_other(note, knots, told):
    assert knot_told(piece(note, knots)) == told


def test_a_mishap_is_read_too_and_the_question_names_row_column_and_mend():
    row = piece(mishap="ran into a knot", knots=0)
    (asked,) = asked_of_knots("chops.csv", [row])
    assert str(asked) == (
        'chops.csv, row 7, knots: "knot" is noted, and 0 is counted; write under knots how many '
        "were in the cut, 0 for none; if the knot was not in the cut, note that too"
    )
    (found,) = knot_doubts("chops.csv", [row])
    assert (found.code, found.where.row, found.where.blade) == ("knot_told", 7, "T1")


def test_a_row_that_is_left_out_or_not_severed_is_not_asked():
    rows = [piece("knot", exclude="slipped"), ChopRow(8, "T1", "knot", note="knot")]
    assert list(asked_of_knots("chops.csv", rows)) == []
