"""A lot that came out apart: the softer once more alike, and then it is sorted, with one order."""

from dataclasses import replace

from edgetest.steel.contradictions import contradictions
from edgetest.steel.lot_apart import odd_by_coupons, odd_by_sparks_too, softer_sister, sort_lot
from edgetest.steel.rule_cures import made_again_alike
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen
from tests.steel.seen_steel import HARD, SOFT, heat
from tests.steel.stands import stands, step

LOSSES = SteelLosses()
HOT = {"colour": "cherry", "magnet": "lets_go", "soak_min": 5.0, "section_mm": 6.0}


def lot(*own, sisters="BC", **of):
    """Piece A, whose heats are given, among sisters that came out hard."""
    hard = [heat(HARD, piece=name, **HOT) for name in sisters]
    pieces = [PieceSeen(name, lot="L") for name in sisters]
    return stands(*own, *hard, pieces=pieces, lot="L", **of)


def soft(**of):
    return heat(SOFT, **{**HOT, **of})


def cures(at):
    return {one.cure for one in contradictions(at.seen) if one.code == "alike_differ"}


def test_the_softer_piece_is_made_once_more_alike_before_anything_else():
    at = lot(soft())
    assert step(softer_sister(at, LOSSES)) == ("heat_treat_again", "repeat")
    (told,) = cures(at)
    assert told.startswith("Harden a coupon of A once more as the harder one was")


def test_done_once_more_alike_and_soft_again_it_is_sorted_and_no_cure_asks_for_a_third():
    at = lot(soft(coupon="1"), soft(coupon="1b"))
    found = softer_sister(at, LOSSES)
    assert step(found) == ("go_on", "sort_lot")
    assert "give A a lot of its own" in found.reason
    assert all(told.startswith("Where they still differ sort each piece") for told in cures(at))
    assert len(cures(at)) == 1


def test_an_earlier_heat_that_was_not_alike_is_no_repeat():
    cold = soft(coupon="1", colour="dull_red")
    at = lot(cold, soft(coupon="1b"))
    about = (at.heats[1], at.seen.heats[2])
    assert not made_again_alike(at.seen, "A", about)
    assert step(softer_sister(at, LOSSES)) == ("heat_treat_again", "repeat")


def test_the_harder_sister_and_a_piece_made_otherwise_since_are_left_to_other_rules():
    at = lot(soft())
    sister = replace(at, piece=next(one for one in at.seen.pieces if one.id == "B"))
    assert softer_sister(sister, LOSSES) is None
    since = lot(soft(coupon="1"), soft(coupon="1", heat=2, colour="orange"))
    assert softer_sister(since, LOSSES) is None
    assert softer_sister(lot(heat(HARD, **HOT)), LOSSES) is None


def test_the_odd_piece_is_named_from_three_pieces_on():
    assert odd_by_coupons(lot(soft())) == "A"
    two = lot(soft(), sisters="B")
    assert odd_by_coupons(two) is None
    assert "give what came out unlike its sisters a lot of its own" in sort_lot(two).reason


def test_a_spark_one_grade_off_is_no_order_and_outranks_no_coupon():
    def of(own, *others):
        pieces = [PieceSeen(name, lot="L", sparks=own) for name in "BC"]
        return odd_by_sparks_too(stands(*others, pieces=pieces, lot="L", sparks="like_high"))

    apart = heat(HARD, piece="B", **HOT), heat(SOFT, piece="C", **HOT)
    assert of("like_low") == "A"
    assert of("between") is None
    assert of("like_low", soft(), heat(HARD, piece="B", **HOT)) == "A"
    assert of("like_low", *apart) is None
