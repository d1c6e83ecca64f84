"""A board with a piece too many of one tool and one too few of another is asked about."""

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.asked_of_turns import asked_of_turns


def rows(blades, boards, kinds=None):
    """Pieces that were chopped, a letter a tool and a letter its board."""
    kinds = kinds or "b" * len(blades)
    return [
        ChopRow(n, blade, {"b": "billet", "l": "lumber"}[kind], board=board,
                chops=parse_strokes("9"), diameter_mm=40.0)
        for n, (blade, board, kind) in enumerate(zip(blades, boards, kinds, strict=True), 2)
    ]  # fmt: skip


def asked(*args, line=None):
    return [str(one) for one in asked_of_turns("chops.csv", rows(*args), line)]


def test_a_row_under_the_wrong_tool_is_asked_about_with_its_board():
    (told,) = asked("HCCHHCHHCHHC", "aaaabbbbcccc")
    assert told == (
        'chops.csv, row 9, blade: H has 3 pieces of "b" (rows 6, 8 and 9) and C 1, where a board'
        " gives 2 to each: one may be typed for the wrong tool; mend the blade of the row that is"
        " another's; if it was chopped so, leave it"
    )
    assert asked("HCCHHCHHCHHC", "aaaabbbbcccc", line=9) == [told]
    assert asked("HCCHHCHHCHHC", "aaaabbbbcccc", line=8) == []
    (none,) = asked("HCHHHC", "aabbcc")
    assert "(rows 4 and 5) and C none, where a board gives 1 to each" in none


@pytest.mark.parametrize(
    ("blades", "boards", "kinds"),
    [
        ("HCCHHCCHHHCHHC", "aaaabbbbbbcccc", None),  # two more after a knot: no tool has too few
        ("HCCHHCCH", "aaaabbbb", None),
        ("HCHH", "aabb", None),  # the board that is under way
        ("HHHCC", "aabcc", None),  # no board gives both tools as many
        ("HCCHHCHC", "aaaabbcc", "llllbbbb"),  # of another kind a board gives fewer
    ],
)
def test_further_pieces_and_a_board_under_way_are_not_asked_about(blades, boards, kinds):
    assert asked(blades, boards, kinds) == []
