"""A coupon that cracked where its sisters came whole out of the same quench."""

from dataclasses import replace

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.cure_first import cracked
from edgetest.steel.lone_crack import WHOLE_AGAIN, WHOLE_BEFORE, crack_told
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from tests.steel.seen_steel import files, heat
from tests.steel.stands import stands, step

HARD = files(60, 65, "below")
HEAT = {"heat_c": 845.0, "magnet": "lets_go", "soak_min": 6, "section_mm": 6}
CRACKED = heat(coupon="A1", cracked=1, **HEAT)
S, T = (heat(HARD, piece=name, coupon=f"{name}1", **HEAT) for name in "ST")
SISTERS = (PieceSeen("S", lot="L"), PieceSeen("T", lot="L"))


def lot(*heats):
    return stands(*heats, lot="L", pieces=SISTERS)


def codes(at):
    found = contradictions(at.seen)
    return {one.code: one for one in found if one.piece == "A"}


def test_it_is_quenched_the_same_once_more_and_not_slower():
    at = lot(CRACKED, S, T)
    found = codes(at)["cracked_alone"]
    assert "out of the same quench, as hot, S and T of its lot came whole" in found.doubt.text
    assert "piece=A coupon=A1 heat=1 --replace cracked=" in found.cure
    assert "makes_blades=0" in found.cure
    assert step(cracked(at)) == ("heat_treat_again", "repeat")


@pytest.mark.parametrize(
    "heats",
    [
        (CRACKED, S),
        (CRACKED, S, replace(T, heat_c=800.0)),
        (CRACKED, S, replace(T, medium="water")),
        (CRACKED, S, replace(T, cracked=1)),
        (CRACKED, S, replace(T, hardness=(files(None, 40, "below"),))),
        (CRACKED, replace(CRACKED, coupon="A2"), S, T),
        (replace(CRACKED, cracked=2, count=2), S, T),
    ],
)
def test_with_one_sister_another_quench_or_a_second_crack_the_steel_is_not_cleared(heats):
    at = lot(*heats)
    assert crack_told(heats[0], at.seen)[0] == "cracked"
    assert "cracked_alone" not in codes(at)
    assert step(cracked(at)) == ("heat_treat_again", "slower_quench")


def test_a_fresh_one_that_came_whole_out_of_the_same_quench_makes_it_past():
    at = lot(CRACKED, S, T, heat(HARD, coupon="A2", **HEAT))
    found = codes(at)["cracked_alone"]
    assert (found.remark, found.cure) == (True, WHOLE_AGAIN)
    assert cracked(at) is None


def test_a_slower_quench_that_came_whole_before_asks_for_no_slower_one():
    whole = heat(HARD, coupon="A2", **HEAT)
    split = heat(HARD, coupon="A1", cracked=1, medium="warm_water", **HEAT)
    for heats in ((whole, split), (split, whole)):
        at = stands(*heats)
        assert codes(at)["cracked"].remark
        assert cracked(at) is None
    assert codes(stands(whole, split))["cracked"].cure == WHOLE_BEFORE
    assert step(cracked(stands(replace(whole, medium="water"), split))) == (
        "heat_treat_again", "slower_quench",
    )  # fmt: skip
    tried = TrialSeen("A", "chop", "same", "sound", heat=("A1", 1))
    assert not codes(stands(whole, split, trials=(tried,)))["cracked"].remark
