"""Blades that broke or cracked are taken off what a piece makes, and coupons are not."""

from dataclasses import replace

import pytest

from edgetest.steel.blades_left import (
    UNNAMED,
    blades_elsewhere,
    blades_left,
    blades_lost,
    blades_open,
    blades_stood,
)
from edgetest.steel.broke_alike import broke_alike
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.worth_testing import known_instead
from tests.steel.seen_steel import HARD, heat, seen
from tests.steel.stands import stands

LADDER = TradeStep("go_on", "temper_ladder", "why")


def trial(edge, coupon=None, test="chop", piece="A"):
    return TrialSeen(piece, test, "worse", edge, heat=coupon and (coupon, 1))


def left(*heats, trials=(), makes=4.0):
    found = seen(*heats, trials=trials, makes_blades=makes)
    return blades_lost(found, "A"), blades_left(found, found.pieces[0])


def test_a_blade_is_lost_once_however_many_rows_tell_of_it():
    rows = (trial("broke", "blade2"), trial("broke", "blade2", "bend"), trial("sound", "blade3"))
    assert left(trials=rows) == (["blade2"], 3.0)
    cracked = heat(HARD, coupon="Blade 2", cracked=1)
    assert left(cracked, trials=[trial("broke", "Blade 2")]) == (["Blade 2"], 3.0)
    assert left(heat(HARD, coupon="x", blade="K1", cracked=1)) == (["x"], 3.0)


def test_blades_that_cracked_in_one_quench_are_as_many_as_were_counted():
    two = heat(HARD, coupon="blade 1", cracked=2, count=3)
    assert left(two) == (["blade 1", UNNAMED], 2.0)
    assert left(two, trials=[trial("broke", "blade 1")]) == (["blade 1", UNNAMED], 2.0)


def test_a_cracked_one_is_a_blade_where_others_of_its_name_were_tried_at_an_edge():
    cracked = heat(HARD, coupon="hook2", cracked=1)
    assert left(cracked, trials=[trial("sound", "hook1")]) == (["hook2"], 3.0)
    assert left(cracked, trials=[trial("sound", "blade1")]) == ([], 4.0)
    assert left(cracked, trials=[trial("sound", "hook1", "bend")]) == ([], 4.0)


def hooks(*, cycles=None):
    """hook4 broke; hook1 and hook3 stood, of the very treatment, or of three cycles."""
    stood = [run("sound", name, "A") for name in ("hook1", "hook3")]
    own = [heat(HARD, coupon=name, cycles=cycles) for name in ("hook1", "hook3")]
    lost = heat(HARD, coupon="hook4")
    return seen(lost, *own, trials=(*stood, run("broke", "hook4", "A"), run("sound", "hook5", "A")))


def test_blades_treated_like_one_that_broke_are_held_back_and_not_counted_as_made():
    (one,) = broke_alike(hooks())
    assert (one.piece, one.blade, one.like) == ("A", "hook4", (("A", "hook1"), ("A", "hook3")))
    assert blades_stood(hooks(), "A") == 1
    assert broke_alike(hooks(cycles=3)) == []
    assert blades_stood(hooks(cycles=3), "A") == 3


def test_each_that_broke_without_a_name_is_one_of_its_own():
    assert left(trials=[trial("broke"), trial("broke")]) == ([UNNAMED, UNNAMED], 2.0)


def test_coupons_and_edges_that_only_rolled_or_chipped_take_nothing_off():
    rows = (
        trial("broke", "A1", "bend"), trial("broke", None, "brass_rod"),
        trial("rolled", "blade1"), trial("chipped", "blade2"), trial("broke", "blade3", piece="B"),
    )  # fmt: skip
    assert left(heat(HARD, coupon="A1", cracked=1), trials=rows) == ([], 4.0)
    assert left(trials=[trial("broke")] * 5) == ([UNNAMED] * 5, 0.0)
    assert left(trials=[trial("broke")], makes=None)[1] is None


def test_known_steel_is_weighed_for_the_blades_that_are_left():
    hard = heat(HARD, coupon="blade1", grain="fine")
    for lost, said in (
        ([], "It makes 4: known steel for them costs 8 h"),
        (["blade2"], "It makes 4, of which 3 are left: known steel for them costs 6 h"),
        (["b1", "b2", "b3"], "It makes 4, of which 1 is left: known steel for it costs 2 h"),
        (["b1", "b2", "b3", "b4"], "It makes 4, of which none is left."),
    ):
        at = stands(
            hard, fit=0.3, makes_blades=4.0, use="chopper",
            trials=[trial("broke", name) for name in lost],
        )  # fmt: skip
        found = known_instead(at, LADDER, SteelLosses())
        assert found.action == "buy_known"
        assert found.reason.startswith(said)


def test_blades_left_and_wanted_are_told_of_those_that_a_piece_made():
    at = stands(
        heat(HARD, coupon="blade1", grain="fine"), fit=0.3, makes_blades=4.0, use="chopper",
        trials=[trial("broke", "b1")],
    )  # fmt: skip
    found = known_instead(at, LADDER, SteelLosses(blades_wanted=2))
    assert found.reason.startswith("It makes 4, of which 3 are left and you want 2: known steel ")


def run(edge, coupon="blade1", piece="S", **of):
    heat_of = coupon and (coupon, 1)
    return TrialSeen(
        piece, "chop", "same" if edge == "sound" else "worse", edge, heat=heat_of, **of
    )


@pytest.mark.parametrize(
    ("trials", "stood", "open_yet"),
    [
        ([], 0, 4.0),
        ([run("sound")], 1, 0.0),  # the rest of it is made
        ([run("rolled"), run("sound")], 1, 3.0),  # one more has to tell
        ([run("rolled", poor_edge="a wire edge"), run("sound")], 1, 0.0),
        ([run("sound"), run("rolled")], 0, 4.0),
        ([run("sound", coupon=None)], 0, 4.0),  # nobody knows which blade
        ([run("sound"), run("broke", "blade2")], 1, 2.0),
    ],
)
def test_a_sister_leaves_open_what_neither_stood_nor_is_settled(trials, stood, open_yet):
    sister = PieceSeen("S", lot="L", makes_blades=4.0)
    found = seen(trials=tuple(trials))
    assert blades_stood(found, "S") == stood
    assert blades_open(found, sister) == open_yet


@pytest.mark.parametrize(("reused", "open_yet"), [(("S",), 0.0), ((), 3.0), (None, 0.0)])
def test_once_each_is_judged_a_piece_is_settled_by_its_own_answer(reused, open_yet):
    sister = PieceSeen("S", lot="L", makes_blades=4.0)
    assert blades_open(seen(trials=(run("sound"),)), sister, reused) == open_yet


def test_no_blade_of_a_settled_sister_is_at_stake_or_wanted_still():
    sister = PieceSeen("S", lot="L", makes_blades=2.0)
    own = heat(HARD, grain="fine")

    def said(trials=(), wanted=None):
        at = stands(own, fit=0.3, makes_blades=4.0, lot="L", pieces=(sister,), trials=trials)
        return known_instead(at, LADDER, SteelLosses(blades_wanted=wanted)).reason

    assert said().startswith("Lot L makes 6: known steel for them costs 12 h")
    stood = (run("sound"),)
    assert said(stood).startswith(
        "Lot L makes 6, of which 4 are left: known steel for them costs 8 h"
    )
    few = said(stood, wanted=3)
    assert few.startswith(
        "Lot L makes 6, of which 4 are left and you want 1 more: known steel for it"
    )


def test_a_blade_made_for_another_use_is_gone_and_counts_neither_way():
    stood, chipped = trial("sound", "blade1"), trial("chipped", "blade2")
    for other in (stood, chipped, replace(stood, heat=None)):
        gone = replace(other, result="same", made_for="chopper")
        found = seen(heat(HARD, coupon="blade1"), trials=(gone,), makes_blades=4.0)
        assert blades_elsewhere(found, "A") == [other.heat[0] if other.heat else UNNAMED]
        assert blades_left(found, found.pieces[0]) == 3.0
        assert blades_stood(found, "A") == 0


def test_a_blade_that_broke_or_was_tried_for_this_use_too_is_not_gone_to_another():
    gone = replace(trial("sound", "blade1"), made_for="chopper")
    both = seen(trials=(gone, trial("sound", "blade1")), makes_blades=4.0)
    assert (blades_elsewhere(both, "A"), blades_left(both, both.pieces[0])) == ([], 4.0)
    broke = seen(trials=(replace(gone, edge="broke"),), makes_blades=4.0)
    assert (blades_elsewhere(broke, "A"), blades_left(broke, broke.pieces[0])) == ([], 3.0)
