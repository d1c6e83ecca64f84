"""No further blade is asked of a piece whose blades are all made: the lot's next blade tells."""

from dataclasses import replace

import pytest

from edgetest.steel.blades_left import blades_open, none_left
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.given_up import USED_UP, told_no_chance
from edgetest.steel.gives_no_more import NO_MORE, gives_no_more
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from tests.steel.seen_steel import HARD, heat
from tests.steel.stands import stands

ONE_MORE = TradeStep("reuse_trial", "trial_blade", "One lot is one steel: make one more.")


def run(piece, edge, coupon="blade1"):
    worse = "same" if edge == "sound" else "worse"
    return TrialSeen(piece, "chop", worse, edge, heat=(coupon, 1), strokes=60)


def tines(*trials, makes=1.0, others=(("B", 1.0), ("C", 15.0))):
    pieces = [PieceSeen("A", "harrow_tine", "tines", makes_blades=makes)]
    pieces += [PieceSeen(name, "harrow_tine", "tines", makes_blades=each) for name, each in others]
    heats = [replace(heat(HARD, coupon=one.heat[0]), piece=one.piece) for one in trials]
    return SteelSeen("chopper", tuple(pieces), tuple(heats), tuple(trials))


def at(seen):
    return replace(stands(), seen=seen, piece=seen.pieces[0])


STOOD, CHIPPED = run("A", "sound"), run("B", "chipped", "blade2")


def test_a_piece_whose_only_blade_stood_is_asked_for_no_other_and_the_lot_is():
    step = gives_no_more(at(tines(STOOD, CHIPPED)), ONE_MORE)
    assert (step.action, step.way) == ("reuse", None)
    assert step.reason == (
        f"The trial blade stood, and {NO_MORE}. Of the same lot: blade2, heat 1, chipped its edge "
        "(B). A blade of C tells of the rest of the lot."
    )


def test_a_piece_that_gives_more_or_told_no_number_is_asked_as_before():
    for makes in (2.0, None):
        assert gives_no_more(at(tines(STOOD, CHIPPED, makes=makes)), ONE_MORE) is ONE_MORE
    assert not none_left(tines(STOOD, makes=0.5, others=()), PieceSeen("A"))


def test_the_only_blade_that_failed_is_hardened_anew():
    step = gives_no_more(at(tines(run("A", "rolled"))), ONE_MORE)
    assert step.way == "trial_blade"
    assert step.reason.endswith(f"But {NO_MORE}: harden one of them anew for it.")


def test_a_piece_of_which_no_blade_is_left_is_asked_for_none_and_its_sister_is_named():
    other_use = replace(run("A", "sound", "blade2"), made_for="hedging_tool")
    both = (run("A", "broke"), other_use)
    step = gives_no_more(at(tines(*both, makes=2.0)), ONE_MORE)
    assert (step.action, step.way) == ("leave", None)
    assert told_no_chance(step)
    assert step.reason.startswith(
        f"{USED_UP} blade1 broke or cracked; blade2 was made for another use. A blade of either of "
        "them (B and C) tells of the rest of the lot. Where it gives another"
    )
    assert gives_no_more(at(tines(*both, makes=3.0)), ONE_MORE) is ONE_MORE


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("It stood: make the rest of this piece alone.", "It stood: it gives no more."),
        ("It stood: chop with it; then make the rest.",
         "It stood: chop with it; this piece gives no more."),
        ("It stood: make the rest.", "It stood: it gives no more."),
        ("It stood: chop with it; then make the rest of this piece. More.",
         "It stood: chop with it; this piece gives no more. More."),
    ],
)  # fmt: skip
def test_the_rest_of_a_piece_that_gives_no_more_is_not_made(was, now):
    step = gives_no_more(at(tines(STOOD)), TradeStep("reuse", None, was))
    assert step.reason == now


def test_blades_of_a_piece_that_stood_are_in_question_while_a_sister_s_failed():
    left = tines(run("C", "sound", "blade3"), CHIPPED)
    settled = tines(run("C", "sound", "blade3"))
    (piece,) = [one for one in left.pieces if one.id == "C"]
    assert blades_open(left, piece) == 14.0
    assert blades_open(settled, piece) == 0.0
