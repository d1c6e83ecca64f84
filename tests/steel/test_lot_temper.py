"""A coupon of a lot begins its tempers where a sister's blade stood, if both came out as hard."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.hardened_rules import untempered
from edgetest.steel.lot_temper import (
    begin_there,
    lot_temper,
    one_temper,
    sister_stood,
    sisters_temper_c,
)
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.entry_hint import entry_hint
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import TABLES, stands

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


COUPON = heat(AS_HARD, piece="S", coupon="S1")
UNREAD = replace(STOOD, temper_c=240.0)


def test_a_blade_that_nobody_read_is_known_by_the_coupon_of_its_piece():
    told = lot(blade=COUPON, trials=(UNREAD,))
    assert lot_temper(told, "A") == ("S", "blade1", 240.0)
    assert begin_there(told, "A").startswith(
        "blade1 of S, of the same lot, whose S1 came as hard, stood at 240 °C"
    )
    softer = heat(files(None, 45, "below"), piece="S", coupon="S1")
    assert lot_temper(lot(blade=softer, trials=(UNREAD,)), "A") is None
    assert lot_temper(lot(blade=replace(COUPON, hardness=()), trials=(UNREAD,)), "A") is None


def in_the_lot(*tempers, trials=(UNREAD,), wanted=4.0, untouched=False):
    """The next step with a sister of a piece whose blade stood, each good for one blade."""
    looks = {"origin": "harrow_tine", "coating": "none", "lead": "no", "magnet": "strong",
             "sparks": "like_high", "makes_blades": 1.0, "lot": "L"}  # fmt: skip
    hot = {"colour": "cherry", "magnet": "lets_go", "soak_min": 5.0, "grain": "fine"}
    hard = files(60, 65, "below")
    own = heat(hard, coupon="A1", tempers=tempers, **hot)
    heats = (own, heat(hard, piece="S", coupon="S1", **hot))[untouched:]
    what = seen(*heats, trials=trials, use="chopper", **looks)
    what = replace(what, pieces=(*what.pieces, PieceSeen("S", **looks)))
    losses = SteelLosses(6.0, 2.0, blades_wanted=wanted)
    return decide(what, weigh_steel(what, TABLES, piece="A"), TABLES, losses)


def test_one_temper_of_a_like_sister_is_next_and_its_blade_is_no_loss():
    found = in_the_lot()
    assert (found.action, found.way) == ("go_on", "temper_ladder")
    assert found.next_test.title == "one temper, at 240 °C, and a reading after it"
    assert found.next_test.hours == 0.5
    assert (
        "now that a sister's blade showed its temper, the next blade is one of"
        in (found.reasons[0])
    )


def test_a_sister_that_nobody_quenched_is_tested_on_and_not_bought():
    """Its coupon and one temper stand ahead, 1.5 h, and a blade of 6 h by the chance it fails."""
    found = in_the_lot(untouched=True)
    assert (found.action, found.next_test.code) == ("go_on", "coupon_oil")
    assert in_the_lot(untouched=True, trials=()).action == "buy_known"


@pytest.mark.parametrize(
    ("own", "trials", "temper", "stood"),
    [((), (UNREAD,), True, True), ((), (), True, False), ((AS_HARD,), (UNREAD,), True, False),
     ((), (STOOD,), False, False)],
)  # fmt: skip
def test_a_sister_s_blade_counts_for_a_piece_of_which_no_coupon_was_read(
    own, trials, temper, stood
):
    blade = BLADE if temper else replace(BLADE, tempers=())
    at = stands(*(heat(one) for one in own), blade, lot="L", trials=trials)
    at = replace(at, seen=replace(at.seen, pieces=lot().pieces))
    assert sister_stood(at) is stood


def test_without_that_blade_the_row_of_tempers_and_a_whole_blade_are_counted():
    found = in_the_lot(trials=())
    assert found.action == "buy_known"
    assert "till a temper fits, a trial blade counts whole" in found.reasons[0]


def test_a_coupon_that_was_tempered_and_read_is_told_by_its_own_reading():
    at = stands(heat(AS_HARD, coupon="2", grain="fine"), BLADE, lot="L", trials=(STOOD,))
    at = replace(at, seen=replace(at.seen, pieces=lot().pieces))
    assert sisters_temper_c(at) == 205
    read = heat(AS_HARD, coupon="2", grain="fine", tempers=(temper(files(55, 60), 190),))
    since = stands(read, BLADE, lot="L", trials=(STOOD,))
    since = replace(since, seen=replace(since.seen, pieces=lot().pieces))
    assert sisters_temper_c(since) is None
    assert one_temper(TESTS_BY_CODE["temper_ladder"], 205.4).title.startswith("one temper, at 205")
