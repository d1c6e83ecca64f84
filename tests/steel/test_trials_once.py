"""Two tests of one blade are one blade: its chance moves by the worse of them, in any order."""

from itertools import permutations

import pytest

from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.trials_once import blades_counted, trials_once
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, heat, number, seen, temper

TABLES = load_steel_tables()
BLADES = tuple(
    heat(HARD, coupon=name, tempers=(temper(number(57), 220),)) for name in ("blade1", "blade2")
)
GRAVEST = [("broke", "chipped"), ("rolled", "took_a_set")]


def tried(edge="sound", result="same", blade="blade1", **of):
    return TrialSeen("A", "chop", result, edge, heat=(blade, 1), strokes=60, **of)


def chance(*trials):
    return weigh_steel(seen(*BLADES, trials=trials, use="hedging_tool"), TABLES).chance_fit


def test_a_blade_that_stood_twice_is_one_and_two_blades_are_two():
    once, twice = chance(tried()), chance(tried(day="2026-11-01"), tried(day="2026-11-02"))
    assert twice == pytest.approx(once, abs=1e-12)
    hotter = chance(tried(temper_c=205.0), tried(temper_c=220.0))
    assert hotter == pytest.approx(once, abs=1e-12)
    assert chance(tried(), tried(blade="blade2")) > once + 0.002


def test_a_blade_that_gave_out_twice_at_one_temper_is_one():
    rolled = tried("rolled", "worse", temper_c=220.0)
    again = tried("rolled", "worse")  # its temper not told: the only one that is
    assert chance(rolled, again) == pytest.approx(chance(rolled), abs=1e-12)
    assert chance(rolled, tried("rolled", "worse", temper_c=190.0)) < chance(rolled) - 0.002


@pytest.mark.parametrize(
    ("trials", "as_one"),
    [
        ((tried(result="better"), tried(result="worse")), ("sound", "worse", None)),
        ((tried(result="same"), tried(result=None, life_ratio=0.9)), ("sound", None, 0.9)),
        ((tried(edge=None), tried(result=None)), ("sound", "same", None)),
        ((tried(life_ratio=0.8), tried(life_ratio=1.1)), ("sound", "same", 0.8)),
        *(((tried(b, "worse"), tried(a, "worse")), (a, "worse", None)) for a, b in GRAVEST),
    ],
)
def test_together_they_are_the_gravest_edge_and_the_shortest_life(trials, as_one):
    for order in permutations(trials):
        (found,) = trials_once(order)
        assert (found.edge, found.result, found.life_ratio) == as_one


def test_a_life_too_loosely_known_gives_way_to_a_sure_one():
    loose = tried(result=None, life_ratio=0.7, life_ratio_log_u=0.5)
    (found,) = trials_once((loose, tried(result=None, life_ratio=0.95)))
    assert found.life_ratio == 0.95


def test_what_stays_apart():
    nameless = TrialSeen("A", "chop", "same", "sound")
    assert len(trials_once((nameless, nameless))) == 2
    assert len(trials_once((tried(), tried("rolled"), tried("chipped")))) == 3
    rod = TrialSeen("A", "brass_rod", edge="sound", heat=("blade1", 1))
    assert len(trials_once((tried(), rod))) == 2
    assert blades_counted((nameless, nameless, tried(), tried()), BLADES) == (3, 0)
    failed = tried("rolled"), tried("chipped"), tried("rolled")
    assert blades_counted(failed, BLADES) == (0, 2)
