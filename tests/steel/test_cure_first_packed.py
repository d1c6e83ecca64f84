"""A blade packed with carbon that gave out tells of its case: it cures no heat of the steel."""

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, seen, temper

TABLES = load_steel_tables()
HARD, USED = files(60, 65, "below"), files(55, 60, "below")
SOFT = heat(files(None, 40, "below"), coupon="A1", medium="water", heat_c=850.0, grain="fine")


def blade(name, *, packed):
    of = {"coupon": name, "carburised": packed, "heat_c": 830.0, "soak_min": 10.0}
    return heat(HARD, tempers=(temper(USED, 220.0, for_use=True),), grain="fine", **of)


def advice(*heats, trials):
    bare = {"coating": "none", "lead": "no", "origin": "plough_disc", "sparks": "between"}
    what = seen(*heats, trials=trials, use="hedging_tool", **bare)
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())


@pytest.mark.parametrize("edge", ["broke", "chipped", "rolled"])
def test_a_packed_blade_that_gave_out_speaks_for_no_reuse_and_no_pack(edge):
    gave = TrialSeen("A", "chop", "worse", edge, heat=("blade1", 1), carburised=True)
    found = advice(SOFT, blade("blade1", packed=True), trials=(gave,))
    assert found.action not in ("reuse", "reuse_trial", "carburise")


def test_a_plain_blade_that_stood_counts_beside_a_packed_one_that_chipped():
    gave = TrialSeen("A", "chop", "worse", "chipped", heat=("blade1", 1), carburised=True)
    stood = TrialSeen("A", "chop", "same", "sound", heat=("blade2", 1))
    two = blade("blade1", packed=True), blade("blade2", packed=False)
    assert advice(*two, trials=(gave, stood)).action == "reuse"


def test_a_plain_blade_that_chipped_is_cured_behind_a_packed_one():
    gave = TrialSeen("A", "chop", "worse", "chipped", heat=("blade1", 1), carburised=True)
    also = TrialSeen("A", "chop", "worse", "chipped", heat=("blade2", 1))
    two = blade("blade1", packed=True), blade("blade2", packed=False)
    found = advice(*two, trials=(gave, also))
    assert (found.action, found.way) == ("heat_treat_again", "temper_hotter")
    assert "no break of such a heat was seen coarse" in found.reasons[0]


@pytest.mark.parametrize(("top", "inner"), [((60, 65), (None, 40)), ((None, 40), (60, 65))])
@pytest.mark.parametrize("hot_c", [810.0, 870.0])
def test_a_packed_coupon_alone_whose_skin_differs_leads_to_no_cure(top, inner, hot_c):
    read = files(*top, "skin"), files(*inner, "below")
    packed = heat(*read, coupon="P2", heat_c=hot_c, carburised=True)
    found = advice(packed, trials=())
    assert (found.action, found.way) == (advice(trials=()).action, advice(trials=()).way)


def test_a_packed_coupon_soft_in_its_skin_grinds_no_plain_blade():
    packed = heat(files(None, 40, "skin"), HARD, coupon="P2", heat_c=870.0, carburised=True)
    plain = heat(files(60, 65), coupon="blade2", tempers=(temper(files(55, 60), 220.0),))
    gave = TrialSeen("A", "chop", "worse", "rolled", heat=("blade2", 1))
    assert advice(packed, plain, trials=(gave,)).way != "grind_skin"
