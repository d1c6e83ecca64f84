"""What does each rule of a hard steel ask for, on both sides of what decides it?"""

import pytest

from edgetest.steel.hardened_rules import (
    case_unseen,
    edge_gave_out,
    grain_unseen,
    hardened_heat,
    holds_at_heat,
    ready,
    reuse_step,
    temper_off,
    untempered,
)
from edgetest.steel.second_blade import own_blade_words
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, TemperSeen, TrialSeen
from edgetest.steel.steel_words import SPARED_BY_NONE
from edgetest.steel.tried_blades import blade_stood
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands, step

HARD, SOFT, MIDDLING = files(60, 65, "below"), files(None, 40, "below"), files(50, 55, "below")
LOSSES = SteelLosses()
OWN_BLADE = own_blade_words(LOSSES)
AGAIN = "heat_treat_again"


def trial(result=None, edge=None, what="rope", **of):
    return TrialSeen("A", what, result, edge, **of)


def tempered(*hrc, at=200, **of):
    """A hard heat with tempers of these readings, each 20 °C hotter."""
    tempers = [temper(number(value, "below"), at + 20 * i) for i, value in enumerate(hrc)]
    return heat(HARD, tempers=tuple(tempers), **of)


def test_middling_is_hard_enough_where_a_low_temper_leaves_it_in_the_range():
    """A hedging tool wants 52 HRC: 55 as quenched leaves three to lose, 54 does not."""
    enough, short = heat(number(55, "below", 1.0)), heat(number(54, "below", 1.0))
    assert hardened_heat(stands(enough, use="hedging_tool")) == enough
    assert hardened_heat(stands(short, use="hedging_tool")) is None
    assert hardened_heat(stands(heat(SOFT))) is None
    assert hardened_heat(stands()) is None
    assert hardened_heat(stands(heat(HARD))) == heat(HARD)


def test_the_break_is_looked_at_once():
    assert step(grain_unseen(stands(heat(HARD)), LOSSES)) == ("go_on", "break_coupon")
    assert grain_unseen(stands(heat(HARD, grain="fine")), LOSSES) is None
    assert grain_unseen(stands(heat(HARD, fracture="snapped_clean")), LOSSES) is None
    assert grain_unseen(stands(heat(HARD), trials=[trial("same")]), LOSSES) is None
    assert grain_unseen(stands(heat(SOFT)), LOSSES) is None


@pytest.mark.parametrize(("chance", "asks"), [(0.09, False), (0.1, True)])
def test_a_case_that_is_possible_is_filed_for(chance, asks):
    at = stands(heat(files(60, 65)), chances={"surface_hardened": chance})
    assert (case_unseen(at, LOSSES) is not None) == asks
    below = stands(heat(HARD), chances={"surface_hardened": chance})
    assert case_unseen(below, LOSSES) is None


@pytest.mark.parametrize(("mixed", "way"), [(0.5, "temper_ladder"), (0.51, "second_piece")])
def test_a_mixed_lot_is_sorted_before_it_is_tempered(mixed, way):
    at = stands(heat(HARD), chances={"mixed_lot": mixed})
    assert step(untempered(at, LOSSES)) == ("go_on", way)


@pytest.mark.parametrize(
    ("own", "sister", "way"),
    [
        ({"heat_c": 802.0}, {"heat_c": 838.0}, "hotter"),
        ({"heat_c": 802.0, "soak_min": 3}, {"heat_c": 802.0, "soak_min": 6}, "longer_soak"),
        ({"heat_c": 802.0}, {"heat_c": 838.0, "medium": "water"}, "temper_ladder"),
        ({"heat_c": 838.0}, {"heat_c": 802.0}, "temper_ladder"),
        ({"heat_c": 830.0}, {"heat_c": 830.0}, "sort_lot"),
    ],
)
def test_a_disc_softer_than_its_sister_has_the_sister_s_heat_first(own, sister, way):
    """With every disc quenched there is no second piece: where like heats differ it is sorted."""
    both = heat(MIDDLING, **own), heat(HARD, piece="B", **sister)
    lot = {"pieces": [PieceSeen("B", lot="L")], "lot": "L", "use": "hedging_tool"}
    assert untempered(stands(*both, **lot, chances={"mixed_lot": 0.51}), LOSSES).way == way
    assert untempered(stands(*both, **lot), LOSSES).way == "temper_ladder"


def test_what_is_tempered_or_stood_needs_no_ladder():
    assert untempered(stands(tempered(60)), LOSSES) is None
    assert untempered(stands(heat(HARD), trials=[trial("same")]), LOSSES) is None
    assert untempered(stands(heat(HARD), trials=[trial("worse")]), LOSSES) is not None
    assert untempered(stands(heat(SOFT)), LOSSES) is None


def test_a_temper_of_a_coupon_that_nobody_entered_as_quenched_is_named():
    other = heat(coupon="2", tempers=(TemperSeen(200, hardness=(HARD,)),))
    said = untempered(stands(heat(HARD), other), LOSSES).reason
    assert "Coupon 2, heat 1: tempered, and nobody has entered it as quenched yet" in said
    assert "nobody" not in untempered(stands(heat(HARD)), LOSSES).reason


@pytest.mark.parametrize(
    ("hrc", "found"),
    [
        ((60,), None),
        ((65,), (AGAIN, "temper_hotter")),
        ((65, 54), (AGAIN, "temper_cooler")),
        ((54,), (AGAIN, "temper_cooler")),
        ((52,), ("go_on", "temper_ladder")),  # five or more below the wanted 57
        ((53,), (AGAIN, "temper_cooler")),
    ],
)
def test_a_temper_that_missed_the_range(hrc, found):
    assert step(temper_off(stands(tempered(*hrc), use="knife"), LOSSES)) == found


@pytest.mark.parametrize(("at_c", "found"), [(175, None), (176, (AGAIN, "temper_cooler"))])
def test_no_temper_is_cooler_than_the_coolest(at_c, found):
    at = stands(tempered(54, at=at_c), use="knife")
    assert step(temper_off(at, LOSSES)) == found
    untold = heat(HARD, tempers=(TemperSeen(None, hardness=(number(54, "below"),)),))
    assert step(temper_off(stands(untold, use="knife"), LOSSES)) == (AGAIN, "temper_cooler")


def test_what_a_blade_did_outranks_a_soft_reading():
    at = stands(tempered(54), use="knife", trials=[trial("same")])
    assert temper_off(at, LOSSES) is None
    assert temper_off(stands(use="knife"), LOSSES) is None


def hot(*hrc, at=500):
    tempers = [temper(files(low, low + 2, "below"), at + 25 * i) for i, low in enumerate(hrc)]
    return heat(HARD, tempers=tuple(tempers))


@pytest.mark.parametrize(
    ("hrc", "trials", "found"),
    [
        ((58,), (), ("reuse_trial", "trial_blade")),
        ((64,), (), (AGAIN, "temper_hotter")),
        ((54,), (), (AGAIN, "temper_hotter")),  # one temper alone: the peak may lie beyond
        ((54, 50), (), ("light_use", None)),  # past its peak
        ((50, 54), (), (AGAIN, "temper_hotter")),
        ((64, 54), (), ("go_on", "temper_ladder")),
        ((54,), (trial("same"),), ("reuse_trial", "trial_blade")),
    ],
)
def test_a_steel_that_holds_its_hardness_is_tempered_by_heat(hrc, trials, found):
    at = stands(hot(*hrc), use="knife", trials=trials, fit=0.5)
    assert step(holds_at_heat(at, LOSSES)) == found


def test_plain_steel_does_not_hold():
    assert holds_at_heat(stands(tempered(60), use="knife"), LOSSES) is None
    assert holds_at_heat(stands(heat(SOFT), use="knife"), LOSSES) is None
    said = holds_at_heat(stands(hot(58), use="knife"), LOSSES).reason
    assert said.startswith("It holds its hardness after 500 °C, as a steel rich in alloy does:")


@pytest.mark.parametrize(
    ("trials", "found"),
    [
        ((trial(edge="chipped"),), (AGAIN, "temper_hotter")),
        ((trial(edge="chipped"), trial(edge="broke")), ("light_use", None)),
        ((trial("same", "chipped"), trial(edge="broke")), ("light_use", None)),
        ((trial("worse"),), ("go_on", "sharpen_again")),
        ((trial("worse"), trial("worse")), ("light_use", None)),
        ((trial("worse", what="bend"),), None),
        ((trial(edge="rolled"),), (AGAIN, "temper_cooler")),
        ((trial(edge="took_a_set", what="bend"),), (AGAIN, "temper_cooler")),
        ((trial("same", "sound"),), None),
        ((trial(edge="chipped", heat=("9", 1)),), None),
    ],
)
def test_an_edge_that_gave_out(trials, found):
    at = stands(tempered(60, grain="fine"), use="knife", trials=trials)
    assert step(edge_gave_out(at, LOSSES)) == found


def test_an_edge_is_not_blamed_before_its_temper():
    chipped = [trial(edge="chipped")]
    assert edge_gave_out(stands(tempered(54), use="knife", trials=chipped), LOSSES) is None
    assert edge_gave_out(stands(heat(SOFT), trials=chipped), LOSSES) is None
    none = SteelLosses(no_test=("sharpen_again",))
    at = stands(tempered(60), use="knife", trials=[trial("worse")])
    assert step(edge_gave_out(at, none)) == ("light_use", None)


def test_a_blade_stood_from_four_fifths_of_the_known_life():
    assert blade_stood(trial(life_ratio=0.8))
    assert not blade_stood(trial("same", life_ratio=0.79))
    assert blade_stood(trial("better"))
    assert blade_stood(trial("same"))
    assert not blade_stood(trial("worse"))
    assert not blade_stood(trial())


def test_a_blade_that_stood_is_followed_by_a_sister_or_by_all():
    others = [PieceSeen("B", lot="L"), PieceSeen("C", lot="L"), PieceSeen("D", lot="L")]
    read = [heat(HARD, piece=name) for name in "BCD"]

    def told(sampled, *, lot="L", losses=LOSSES, **chances):
        at = stands(heat(HARD), *read[:sampled], pieces=others, lot=lot, chances=chances)
        return reuse_step(at, losses)

    assert step(told(0)) == ("go_on", "second_piece")
    assert step(told(1)) == ("reuse", None)
    assert told(1).reason == f"The trial blade stood: make the rest of this piece. {OWN_BLADE}"
    for lot in (None, "L"):  # a lot of one piece has no sister either
        alone = reuse_step(stands(heat(HARD), lot=lot), LOSSES).reason
        assert alone == "The trial blade stood beside the known one: make the rest."
    assert step(told(1, mixed_lot=0.5)) == ("reuse", None)
    differ = told(2, mixed_lot=0.51)
    assert step(differ) == ("go_on", "second_piece")
    assert differ.reason.startswith("Its sisters are another steel")
    assert OWN_BLADE in told(3, mixed_lot=0.51).reason
    assert step(told(0, lot=None)) == ("reuse", None)
    untested = told(0, losses=SteelLosses(no_test=("second_piece",)))
    assert step(untested) == ("reuse", None)
    assert OWN_BLADE in untested.reason


@pytest.mark.parametrize("stop", [{"coating": "plated"}, {"coating": "unknown"}, {"lead": "yes"},
                                  {"closed_hollow": True}, {"loaded_spring": True}])  # fmt: skip
def test_no_sister_that_is_stopped_is_asked_for(stop):
    pieces = [PieceSeen("B", lot="L", **stop)]
    found = reuse_step(stands(heat(HARD), pieces=pieces, lot="L"), LOSSES)
    assert step(found) == ("reuse", None)
    assert "B would tell more of the lot, and may not be heated or ground yet" in found.reason
    free = [*pieces, PieceSeen("C", lot="L", coating="removed", lead="no")]
    assert reuse_step(stands(heat(HARD), pieces=free, lot="L"), LOSSES).way == "second_piece"
    mixed = {"chances": {"mixed_lot": 0.51}, "lot": "L"}
    assert untempered(stands(heat(HARD), pieces=pieces, **mixed), LOSSES).way == "temper_ladder"
    assert untempered(stands(heat(HARD), pieces=free, **mixed), LOSSES).way == "second_piece"


def test_ready_for_a_blade_and_for_the_rest():
    fine = tempered(60, grain="fine")

    def told(*trials, use="knife", fit=0.9, **of):
        return step(ready(stands(fine, use=use, trials=trials, fit=fit, **of), LOSSES))

    assert told() == ("reuse_trial", "trial_blade")
    assert told(use="chopper") == ("go_on", "brass_rod")
    assert told(trial(edge="sound", what="bend"), use="chopper") == ("reuse_trial", "trial_blade")
    # Two hours of known steel beside eight of a blade: from 0.8 on all are made.
    assert told(trial("same"), fit=0.79) == ("reuse_trial", "trial_blade")
    assert told(trial("same"), fit=0.81) == ("reuse", None)
    assert told(trial("same"), fit=None) == ("reuse_trial", "trial_blade")
    assert told(trial("same"), trial("same"), fit=0.1) == ("reuse", None)
    soft = stands(tempered(54), use="knife", trials=[])
    assert ready(soft, LOSSES) is None
    assert ready(stands(tempered(54), use="knife", trials=[trial("same")]), LOSSES) is not None
    assert ready(stands(heat(SOFT)), LOSSES) is None


def test_a_sister_s_coupon_after_the_blade_is_said():
    lot = {"pieces": [PieceSeen("B", lot="L")], "lot": "L", "use": "knife"}
    assert "A sister's coupon comes after it" in ready(stands(tempered(60), **lot), LOSSES).reason
    read = stands(tempered(60), heat(HARD, piece="B"), **lot)
    assert "sister" not in ready(read, LOSSES).reason
    assert f"one of those you want. {SPARED_BY_NONE}" in ready(read, LOSSES).reason
    assert "those you want" not in ready(stands(tempered(60), use="knife"), LOSSES).reason
