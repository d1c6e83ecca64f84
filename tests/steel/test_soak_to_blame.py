"""A light use says in its own sentence where too short a soak may be the reason, and what tells."""

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, seen, temper

COUPON = heat(
    files(60, 65, "below"), coupon="c1", heat_c=830.0, magnet="lets_go", soak_min=12.0,
    grain="fine", tempers=(temper(files(55, 60), 205.0),),
)  # fmt: skip


def decision(soak_min, edge="rolled"):
    blade = heat(
        files(55, 60, "below"), coupon="blade1", heat_c=830.0, magnet="lets_go",
        soak_min=soak_min, tempers=(temper(files(55, 60), 205.0, for_use=True),),
    )  # fmt: skip
    trials = [
        TrialSeen("A", "chop", "worse", edge, heat=("blade1", 1), strokes=60, day=f"2026-11-0{k}")
        for k in (1, 2)
    ]
    found = seen(COUPON, blade, trials=trials, use="hedging_tool", origin="plough_disc",
                 coating="none", lead="no")  # fmt: skip
    tables = load_steel_tables()
    return decide(found, weigh_steel(found, tables), tables, SteelLosses())


def test_a_light_use_after_a_short_soak_names_the_soak_and_what_would_tell():
    found = decision(2.0)
    assert found.action == "light_use"
    assert "Light use only, unless its soak was too short (coupon blade1, heat 1)" in found.title
    told = "The soak of blade1, heat 1, may be to blame and not the steel"
    assert told in found.summary()
    assert "harden it again, soaked longer, and try it beside the known blade" in found.soak
    assert (found.meant()["coupon"], found.meant()["heat"]) == ("blade1", 1)


def test_a_light_use_after_a_long_soak_is_told_without():
    found = decision(12.0)
    assert found.action == "light_use"
    assert found.title.startswith("Light use only")
    assert "soak" not in found.title
    assert found.soak == ""


@pytest.mark.parametrize("edge", ["broke", "chipped"])
def test_no_other_step_speaks_of_the_soak(edge):
    found = decision(2.0, edge)
    assert found.action != "light_use"
    assert found.soak == ""
