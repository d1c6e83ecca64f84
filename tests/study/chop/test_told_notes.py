"""The words of a piece are read: of frozen wood, and of knots against their count."""

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.told_notes import (
    asked_of_notes,
    frost_told,
    knot_told,
    note_doubts,
    only_a_knot,
)
from tests.study.chop.noted_pieces import noted_piece


@pytest.mark.parametrize(
    ("note", "told"),
    [
        ("Frozen hard", "Frozen"),
        ("frosted rod, -6 C", "frosted"),
        ("icy", "icy"),
        ("not frozen", ""),
        ("no longer frozen", ""),
        ("felled before the first frost", ""),
        ("frozen, then thawed indoors", ""),
        ("frost-free shed", ""),
        ("frost crack at one end", ""),
        ("spliced", ""),
        ("", ""),
    ],
)
def test_frost_is_read_from_the_words_of_a_piece(note, told):
    assert frost_told(noted_piece(note=note)) == told
    assert frost_told(noted_piece(board=note)) == told


def test_pieces_that_count_are_asked_about_once_and_doubted_blade_by_blade():
    rows = [noted_piece(7, note="frozen"), noted_piece(8), noted_piece(9, board="rod, frozen")]
    (asked,) = asked_of_notes("chops.csv", rows)
    assert str(asked) == (
        'chops.csv, row 7, exclude: "frozen" is noted, also in 1 more; frozen wood counts as if it '
        "were thawed; write frozen under exclude if it shall not count; if it shall, leave it"
    )
    (found,) = note_doubts("chops.csv", rows)
    assert (found.code, found.where.row, found.where.blade) == ("frost_told", 7, "T1")
    assert "rows 7, 9" in found.text


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
    assert knot_told(noted_piece(note=note, knots=knots)) == told


def test_a_mishap_is_read_too_and_the_question_names_row_column_and_mend():
    row = noted_piece(mishap="ran into a knot", knots=0)
    (asked,) = asked_of_notes("chops.csv", [row])
    assert str(asked) == (
        'chops.csv, row 7, knots: "knot" is noted, and 0 is counted; write under knots how many '
        "were in the cut, 0 for none; if the knot was not in the cut, note that too"
    )
    (found,) = note_doubts("chops.csv", [row])
    assert (found.code, found.where.row, found.where.blade) == ("knot_told", 7, "T1")


def test_a_row_that_is_left_out_or_not_severed_is_not_asked():
    words = "frozen, and hit a knot"
    rows = [noted_piece(note=words, exclude="slipped"), ChopRow(8, "T1", "knot", note=words)]
    rows.append(ChopRow(9, "T1", "billet", note=words))  # nobody chopped it yet
    assert list(asked_of_notes("chops.csv", rows)) == list(note_doubts("chops.csv", rows)) == []


@pytest.mark.parametrize(
    ("mishap", "only"),
    [
        ("knot", True),
        ("hit a small knot", True),
        ("Knots in the cut.", True),
        ("glanced off a knot", False),
        ("knot, and the clamp gave", False),
        ("the clamp gave", False),
        ("", False),
    ],
)
def test_a_knot_alone_is_no_mishap_that_asks_to_leave_a_piece_out(mishap, only):
    assert only_a_knot(noted_piece(mishap=mishap)) == only
