"""Turns of the tools on each board: in turn, one after the other, or not on a named board."""

import pytest

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.turns_taken import but_words, doubts_of_turns, turn_taking, turns_words


class Log:
    def __init__(self, *rows):
        self.rows = rows


def pieces(blades, boards, left_out=()):
    """Rows of pieces, a letter a blade and a letter its board."""
    count = parse_reading("10", "count")
    return [
        ChopRow(n, blade, "billet", chops=count, diameter_mm=40.0, board=board.strip(),
                exclude="nail" * (n in left_out))
        for n, (blade, board) in enumerate(zip(blades, boards, strict=True), 2)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("blades", "boards", "said", "told"),
    [
        ("AAA", "aaa", "single", ""),
        ("ABAB", "aaaa", "in_turn", ""),
        ("AAB", "aaa", "not_in_turn", "one after the other"),
        ("AAB", "aba", "in_turn", ""),
        ("ABBA", "aaaa", "in_turn", ""),
        ("AABB", "    ", "not_in_turn", "one after the other"),
        ("ABCAACB", "aaaaaaa", "not_in_turn", "not in turn on a (A got 2 pieces ahead)"),
        ("ABAAABBABA", "aabbbbbccc", "not_in_turn",
         "not in turn on b (A got 3 pieces ahead); in turn on the other 2 boards"),
        ("AAABBABB", "aaaaabbb", "not_in_turn", "not in turn on a (A got 3 pieces ahead);"
         " in turn on the other board"),
        ("AAB" * 5 + "AB", "aaabbbcccdddeeeff", "not_in_turn",
         "not in turn on a (A got 2 pieces ahead), b (A got 2 pieces ahead), c (A got 2 pieces"
         " ahead) and 2 more; in turn on the other board"),
    ],
)  # fmt: skip
def test_in_turn_is_never_two_pieces_ahead_on_a_board(blades, boards, said, told):
    rows = pieces(blades, boards)
    waiting = ChopRow(99, "Z", "billet", board="a")
    for log in (Log(*rows), Log(*rows, waiting)):
        assert turn_taking(log) == said
        assert turns_words(log) == told


def test_a_piece_that_is_left_out_was_a_turn_all_the_same():
    assert turn_taking(Log(*pieces("ABABAB", "aaaaaa", left_out=(4,)))) == "in_turn"


def test_the_doubt_names_the_board_and_no_board_where_all_went_one_by_one():
    (one,) = doubts_of_turns(Log(*pieces("ABAAB", "aabbb")))
    assert one.text.startswith(
        "The blades did not take turns on b (A got 2 pieces ahead), so anything that changed"
    )
    (every,) = doubts_of_turns(Log(*pieces("AABB", "aaaa")))
    assert every.text.startswith("The blades did not take turns, so anything")
    assert list(doubts_of_turns(Log(*pieces("AB", "aa")))) == []


def test_two_tools_took_turns_where_a_third_did_not():
    log = Log(*pieces("ABCABCAABB", "aaabbbcccc"))
    assert but_words(log, "A", "B") == " in turn but on c"
    assert but_words(log, "A", "C") == " in turn but on c"
    assert but_words(Log(*pieces("AABB", "aaaa")), "A", "B") == ""
    many = Log(*pieces("AAB" * 4 + "AB", "aaabbbcccdddee"))
    assert but_words(many, "A", "B") == " in turn but on 4 boards"
