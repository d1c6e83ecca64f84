"""The line to type says the temper and the quench that the advice above it says."""

from dataclasses import replace

import pytest

from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.steel_words import TempersFirst
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


def test_a_coupon_that_waits_for_its_temper_has_the_lines_of_its_temper_and_its_trial():
    told = hint("brass_rod", ("A2", 1), heats=(A1, heat(BELOW, coupon="A2")),
                tempers_first=TempersFirst(("A2", 1), 200.0), **OWN)  # fmt: skip
    start, temper_row, rod = told.split("--evidence ")
    assert start.startswith("Write down its temper, then what it did.")
    assert temper_row.startswith(
        "tempers piece=A coupon=A2 heat=1 temperature_c='200 °C' time_min=60 repeats=2 hardness="
    )
    assert rod == "trials piece=A coupon=A2 heat=1 test='brass rod' edge=SOUND-OR-HOW-HURT"


def test_after_a_coarse_heat_the_line_is_of_a_fresh_coupon_and_of_its_cycles():
    rolled = TrialSeen("A", "brass_rod", edge="rolled", heat=("A1", 1))
    again = {"action": "heat_treat_again", "way": "temper_cooler", "trials": (rolled,), **OWN}
    coarse = heat(BELOW, coupon="A1", heat=2, colour="orange", grain="coarse")
    told = hint("", ("A1", 1), heats=(A1, coarse), **again).split("--evidence ")
    assert "coupon=A2 heat=1 medium=oil colour=cherry soak_min=2 cycles=3 " in told[1]
    assert "coupon=A2 heat=1 temperature_c='200 °C'" in told[2]
    fine = hint("", ("A1", 1), heats=(A1, replace(coarse, grain="fine")), **again)
    assert "coupon=A1 heat=3 " in fine
    assert "cycles" not in fine
