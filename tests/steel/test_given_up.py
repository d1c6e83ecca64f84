"""A piece that its maker gave up is asked for nothing more."""

from dataclasses import replace

import pytest

from edgetest.steel.given_up import GIVEN_UP, given_up
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import files, heat, seen
from tests.steel.stands import TABLES, stands

CRACKED = heat(files(60, 65, "below"), coupon="blade1", cracked=1)
STOOD = TrialSeen("A", "chop", "same", "sound", heat=("blade2", 1))


def test_it_is_left_and_nothing_of_it_is_left_to_mend():
    what = seen(CRACKED, makes_blades=0, coating="none", lead="no", magnet="strong")
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.action, found.contradictions) == ("leave", ())
    assert found.reasons[0] == GIVEN_UP
    assert (found.chance_fit, found.withheld) == (None, "")


def test_it_speaks_for_no_sister():
    what = seen(CRACKED, heat(files(60, 65, "below"), piece="S"), makes_blades=0, lot="L")
    what = replace(what, pieces=(*what.pieces, PieceSeen("S", lot="L")))
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert found.about == "piece A"


@pytest.mark.parametrize(("makes", "trials"), [(1, ()), (None, ()), (0, (STOOD,))])
def test_a_piece_that_makes_a_blade_or_made_one_is_judged(makes, trials):
    at = stands(heat(files(60, 65), coupon="blade2"), makes_blades=makes, trials=trials)
    assert given_up(at, SteelLosses()) is None
