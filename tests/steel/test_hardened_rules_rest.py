"""Before the rest is made of a steel whose blade stood: what that blade leaves open."""

import pytest

from edgetest.steel.hardened_rules import reuse_step
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files, heat, temper
from tests.steel.stands import stands

BLADE = heat(files(60, 65), coupon="blade1", tempers=(temper(files(55, 60), 220),))
CHOP_FIRST = "rope does not tell what blows do"


def said(test="chop", name="blade1", use="hedging_tool", more=(), temper_c=None):
    trial = TrialSeen("A", test, "same", "sound", heat=(name, 1) if name else None,
                      temper_c=temper_c)  # fmt: skip
    at = stands(BLADE, use=use, trials=(trial, *more))
    return reuse_step(at, SteelLosses()).reason


def test_a_blade_that_was_chopped_with_and_written_down_leaves_nothing_open():
    assert said() == "The trial blade stood beside the known one: make the rest."


@pytest.mark.parametrize(("use", "told"), [("hedging_tool", True), ("knife", False)])
def test_a_struck_blade_that_cut_rope_alone_is_chopped_with_first(use, told):
    assert (CHOP_FIRST in said("rope", use=use)) == told
    rod = TrialSeen("A", "brass_rod", edge="sound", heat=("blade1", 1))
    assert CHOP_FIRST not in said("rope", use=use, more=(rod,))


def test_a_blade_whose_heat_nobody_wrote_down_is_named():
    found = said(name="blade9")
    assert "write down how blade9 was heated and tempered, for nobody has yet" in found
    assert "then make the rest" in found
    found = said(name="blade9", temper_c=240)  # its temper stands with the trial
    assert "write down how blade9 was heated, for nobody has yet" in found
    assert "heated and tempered" not in said(name=None)  # of no named heat: the piece's best
