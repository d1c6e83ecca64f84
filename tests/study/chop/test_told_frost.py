"""Frozen wood in the words of a piece: asked about, and a doubt of its blade's figures."""

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.told_frost import asked_of_frost, frost_doubts, frost_told


def piece(line=7, note="", **more):
    return ChopRow(line, "T1", "billet", chops=parse_strokes("12"), note=note, **more)


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
    assert frost_told(piece(note=note)) == told
    assert frost_told(piece(board=note)) == told


def test_pieces_that_count_are_asked_about_once_and_doubted_blade_by_blade():
    rows = [piece(7, "frozen"), piece(8), piece(9, board="rod, frozen")]
    (asked,) = asked_of_frost("chops.csv", rows)
    assert str(asked) == (
        'chops.csv, row 7, exclude: "frozen" is noted, also in 1 more; frozen wood counts as if it '
        "were thawed; write frozen under exclude if it shall not count; if it shall, leave it"
    )
    (found,) = frost_doubts("chops.csv", rows)
    assert (found.code, found.where.row, found.where.blade) == ("frost_told", 7, "T1")
    assert "rows 7, 9" in found.text


def test_a_row_that_is_left_out_or_not_severed_is_not_asked():
    rows = [piece(note="frozen", exclude="frozen"), ChopRow(8, "T1", "knot", note="frozen")]
    assert list(asked_of_frost("chops.csv", rows)) == list(frost_doubts("chops.csv", rows)) == []
