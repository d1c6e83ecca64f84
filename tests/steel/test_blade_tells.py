"""A large lot is settled by blades: hours at stake, sisters of the lot, and no endless trying."""

from dataclasses import replace

import pytest

from edgetest.steel.blade_tells import MANY_BLADES, MOST_BLADES, cheapest
from edgetest.steel.lot_chance import LotChance
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import (
    HardnessSeen,
    PieceSeen,
    SteelSeen,
    TemperSeen,
    TrialSeen,
)
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, heat, seen

TABLES = load_steel_tables()
SPRING = {
    "magnet": "strong", "sparks": "like_high", "coating": "none", "origin": "leaf_spring",
    "makes_blades": 40,
}  # fmt: skip
FINE = heat(HARD, grain="fine")


def told(*heats, **of):
    what = seen(*heats, **of)
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    return found.action, found.way


def failed(coupon):
    return TrialSeen("A", "rope", life_ratio=0.3, life_ratio_log_u=0.05, heat=(coupon, 1))


def test_hours_of_leaving_and_of_making_all_are_those_of_the_lot():
    assert cheapest(0.1, 40, 8.0, 2.0, 0) == (80.0, "leave")
    hours, best = cheapest(0.95, 40, 8.0, 2.0, 0)
    assert (round(hours, 6), best) == (20.0, "reuse")


@pytest.mark.parametrize("chance", [0.3, 0.5, 0.7, 0.9])
def test_a_blade_is_tried_where_it_is_expected_to_save_hours_and_never_costs_more(chance):
    none, one, two = (cheapest(chance, 40, 8.0, 2.0, trials) for trials in (0, 1, 2))
    assert two[0] <= one[0] <= none[0]
    assert cheapest(chance, 1, 8.0, 2.0, 2)[1] != "trial"


def test_a_lot_that_may_hold_another_steel_is_made_with_more_certainty_only():
    half = LotChance(alike=0.5, other=0.1)
    assert cheapest(0.9, 40, 8.0, 2.0, 0)[1] == "reuse"
    assert cheapest(0.9, 40, 8.0, 2.0, 0, half) == (80.0, "leave")


def test_many_blades_ask_for_a_blade_at_once_and_few_for_the_row_of_tempers():
    assert told(FINE, use="knife", **SPRING) == ("reuse_trial", "trial_blade")
    few = SPRING | {"makes_blades": MANY_BLADES - 1}
    assert told(FINE, use="knife", **few) == ("go_on", "temper_ladder")


@pytest.mark.parametrize("edge", ["rolled", "chipped", "broke", "took_a_set"])
def test_a_blade_whose_edge_gave_out_never_ends_it_however_long_it_cut(edge):
    lasted = TrialSeen("A", "chop", "same", edge, life_ratio=1.2, life_ratio_log_u=0.1)
    assert told(FINE, use="chopper", trials=(lasted,), **SPRING)[0] not in ("reuse", "leave")


def test_a_sister_of_a_large_lot_is_quenched_before_all_of_it_is_made():
    stood = (TrialSeen("A", "rope", "same", "sound"),)
    lot = SPRING | {"lot": "heap"}
    assert told(FINE, use="knife", trials=stood, **lot) == ("go_on", "second_piece")
    sister = PieceSeen("B", lot="heap", origin="leaf_spring", sparks="like_high")
    alike = heat(HARD, grain="fine", piece="B")
    what = SteelSeen("knife", (PieceSeen("A", **lot), sister), (FINE, alike), stood)
    assert decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses()).action == "reuse"


def test_why_a_blade_comes_before_a_sister_and_what_comes_before_a_blade_is_said():
    def reason(what):
        found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
        assert (found.action, found.way) == ("reuse_trial", "trial_blade")
        return found.reasons[0]

    read = (HardnessSeen(59, 59, "below", False),)
    right = replace(FINE, tempers=(TemperSeen(200, 60, 2, read),))
    few = SPRING | {"lot": "heap", "makes_blades": 1}
    pieces = (PieceSeen("A", **few), PieceSeen("B", **few))
    before_sister = "A sister's coupon comes after it"
    assert before_sister in reason(SteelSeen("knife", pieces, (right,)))
    alike = heat(HARD, grain="fine", piece="B")
    assert before_sister not in reason(SteelSeen("knife", pieces, (right, alike)))
    assert before_sister not in reason(seen(right, use="knife", **(few | {"lot": None})))
    assert "break the coupon you have" in reason(seen(heat(HARD), use="knife", **SPRING))
    assert "break the coupon you have" not in reason(seen(FINE, use="knife", **SPRING))


def test_blades_that_fail_one_after_the_other_end_in_known_steel():
    heats = [heat(HARD, coupon=str(i), grain="fine") for i in range(MOST_BLADES + 1)]
    trials = tuple(failed(str(i)) for i in range(MOST_BLADES + 1))
    assert told(*heats, use="knife", trials=trials, **SPRING)[0] == "buy_known"
    assert told(*heats, use="knife", trials=trials[:1], **SPRING)[0] != "buy_known"
