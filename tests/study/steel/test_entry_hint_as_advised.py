"""The line to type says the temper and the quench that the advice above it says."""

from dataclasses import replace

import pytest

from edgetest.steel.steel_seen import TrialSeen
from tests.steel.seen_steel import files, heat, temper
from tests.study.steel.test_entry_hint_words import hint

BELOW = files(50, 55, "below")
# Middling as quenched, in the range after its first temper and past it after the second.
A1 = heat(
    BELOW, coupon="A1", colour="cherry", soak_min=2.0,
    tempers=(temper(BELOW, 200), temper(files(45, 50, "below"), 225)),
)  # fmt: skip
OWN = {"piece": "A", "wanted_hrc": (52.0, 59.0), "use": "hedging_tool"}


@pytest.mark.parametrize("read", [(50, 55), (55, 60), (60, 65)])
def test_a_fresh_coupon_is_quenched_and_tempered_as_the_advice_says(read):
    a1 = replace(A1, hardness=(files(*read, "below"),))
    told = hint("brass_rod", heats=(a1,), **OWN).split("--evidence ")[1:]
    assert told[0].startswith("heats piece=A coupon=A2 heat=1 medium=oil colour=cherry soak_min=2 ")
    assert "temperature_c='200 °C' " in told[1]


def test_a_blade_is_made_as_the_one_that_stood():
    blade = heat(files(60, 65, "below"), coupon="blade1", colour="bright_cherry", soak_min=5.0,
                 tempers=(temper(BELOW, 221, for_use=True),))  # fmt: skip
    stood = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 1), temper_c=221.0, strokes=99)
    told = hint("trial_blade", heats=(A1, blade), trials=(stood,), **OWN)
    assert "medium=oil colour='bright cherry' soak_min=5 " in told
    assert "temperature_c='221 °C' " in told


def test_neither_a_coarse_nor_a_cracked_coupon_is_quenched_alike_though_its_temper_fits():
    sound = heat(files(60, 65, "below"), coupon="A2", colour="bright_cherry", soak_min=5.0)
    for spoilt in (replace(A1, grain="coarse"), replace(A1, cracked=1)):
        told = hint("trial_blade", heats=(spoilt, sound), **OWN)
        assert "colour='bright cherry' soak_min=5 " in told
        assert "temperature_c='200 °C' " in told
