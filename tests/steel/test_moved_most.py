"""The one thing without which a steel would look otherwise is named, with both chances."""

import pytest

from edgetest.steel.moved_most import moved_most
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import heat, number, seen, temper

TABLES = load_steel_tables()


def test_a_coupon_that_stayed_hard_through_a_hot_temper_is_what_made_it_high_alloy():
    red_hard = heat(number(62, "below"), tempers=(temper(number(61, "below"), 520),))
    what = seen(red_hard, sparks="between", magnet="strong")
    moved = moved_most(what, TABLES, "A")
    assert moved.what == "coupon 1, heat 1, with what came after it"
    now = weigh_steel(what, TABLES).explanations
    assert moved.with_it == max(now.values()) == now[moved.explanation]
    bare = weigh_steel(seen(sparks="between", magnet="strong"), TABLES).explanations
    assert moved.without_it == bare[moved.explanation]
    assert moved.summary().startswith(f"What moved this most is {moved.what}: without it the")


def test_a_sister_is_named_where_its_sparks_tell_most():
    lot = (
        PieceSeen("A", "harrow_tine", "L", magnet="strong"),
        PieceSeen("B", "harrow_tine", "L", sparks="like_high"),
    )
    assert moved_most(SteelSeen("chopper", lot), TABLES, "A").what == (
        "what was seen of B, of the same lot"
    )


@pytest.mark.parametrize("of", [{}, {"magnet": "strong", "origin": "leaf_spring"}])
def test_nothing_is_named_where_nothing_moved_it_much(of):
    assert moved_most(seen(**of), TABLES, "A") is None
