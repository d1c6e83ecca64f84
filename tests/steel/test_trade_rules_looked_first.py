"""A coat or lead not written down is asked for before every fire, not the first alone."""

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, files, heat, seen, temper

TABLES = load_steel_tables()
BARE = {"coating": "none", "lead": "no"}
FINE = {"grain": "fine", "heat_c": 820.0, "soak_min": 5.0, "magnet": "lets_go", "section_mm": 6.0}
USED = (temper(files(55, 60, "below"), 230.0, for_use=True),)
STOOD = TrialSeen("A", "chop", "same", "sound", heat=("1", 1), strokes=100)


def advice(*heats, trials=(), **piece):
    what = seen(
        *heats, trials=trials, use="hedging_tool", origin="plough_disc", sparks="between", **piece
    )
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())


HEATS = {
    "hard": (heat(HARD, coupon="1"),),
    "soft": (heat(SOFT, coupon="1", **FINE),),
    "fine": (heat(HARD, coupon="1", **FINE),),
    "tempered": (heat(HARD, coupon="1", tempers=USED, **FINE),),
}


@pytest.mark.parametrize("lacks", [("coating",), ("lead",), ("coating", "lead")])
@pytest.mark.parametrize("state", HEATS)
def test_a_quench_written_down_answers_neither_the_coat_nor_the_lead(state, lacks):
    known = {key: said for key, said in BARE.items() if key not in lacks}
    if lacks == ("lead",):
        known["coating"] = "removed"  # old paint may have held lead
    found = advice(*HEATS[state], **known)
    assert (found.action, found.way) == ("go_on", "look_at_coating")
    asked = " and its ".join(lacks)
    assert found.reasons[0] == (
        f"Before any further fire or grinding: nobody has written down its {asked}."
    )
    assert advice(*HEATS[state], **BARE).way != "look_at_coating"


def test_a_blade_that_stood_answers_it_no_more():
    blade = heat(HARD, coupon="1", tempers=USED, **FINE)
    assert advice(blade, trials=(STOOD,)).way == "look_at_coating"
    assert advice(blade, trials=(STOOD,), **BARE).action == "reuse"


def test_what_needs_neither_fire_nor_grinding_waits_for_no_look():
    broke = TrialSeen("A", "chop", "worse", "broke", heat=("1", 1), strokes=40)
    blade = heat(HARD, coupon="1", tempers=USED, heat_c=820.0)
    assert advice(blade, trials=(broke,)).way == "look_at_break"
    assert advice(heat(SOFT, coupon="1", **FINE), carbon_pct=0.1, carbon_u_pct=0.02).action == (
        "leave"
    )
