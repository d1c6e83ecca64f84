"""A coupon of a lot begins its tempers where a sister's blade stood, if both came out as hard."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.hardened_rules import untempered
from edgetest.steel.lot_temper import begin_there, lot_temper
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.study.steel.entry_hint import entry_hint
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import stands

AS_HARD = files(55, 60, "below")
BLADE = heat(AS_HARD, piece="S", coupon="blade1", tempers=(temper(AS_HARD, 205, for_use=True),))
STOOD = TrialSeen("S", "chop", "same", "sound", heat=("blade1", 1))


def lot(own=AS_HARD, blade=BLADE, trials=(STOOD,), of="L"):
    found = seen(heat(own), blade, lot="L", trials=trials)
    return replace(found, pieces=(*found.pieces, PieceSeen("S", lot=of)))


def test_the_temper_of_a_sister_s_blade_that_stood_is_named():
    assert lot_temper(lot(), "A") == ("S", "blade1", 205)
    said = begin_there(lot(), "A")
    assert said.startswith("blade1 of S, of the same lot and as hard from its quench, stood at 205")
    assert lot_temper(lot(files(57, 62, "below")), "A") is not None


def test_a_row_of_tempers_begins_there_in_reason_and_line():
    hard = stands(heat(AS_HARD, coupon="2", grain="fine"), BLADE, lot="L", trials=(STOOD,))
    found = replace(hard.seen, pieces=lot().pieces)
    at = replace(hard, seen=found)
    assert "stood at 205 °C: temper there first" in untempered(at, SteelLosses()).reason
    decision = SimpleNamespace(
        action="go_on", next_test=TESTS_BY_CODE["temper_ladder"], of=("2", 1), soak=""
    )
    asked = SimpleNamespace(piece="A", decision=decision)
    result = SimpleNamespace(asked=asked, seen=found, wanted_hrc=(55.0, 59.0))
    assert "coupon=2 temperature_c=205 " in entry_hint(result, "study")


@pytest.mark.parametrize(
    "other",
    [
        {"own": files(None, 45, "below")},  # another hardness, another temper
        {"trials": ()},
        {"trials": (STOOD, replace(STOOD, edge="rolled", result="worse"))},
        {"trials": (replace(STOOD, heat=None),)},
        {"blade": replace(BLADE, tempers=())},
        {"of": "M"},
    ],
)
def test_without_such_a_blade_nothing_is_said(other):
    assert lot_temper(lot(**other), "A") is None
    assert begin_there(lot(**other), "A") == ""
    assert lot_temper(lot(), "S") is None
