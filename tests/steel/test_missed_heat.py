"""Is a coupon that came out middling from a heat too cold quenched again before its temper?"""

from types import SimpleNamespace

import pytest

from edgetest.steel.missed_heat import heat_missed, hotter_before_water
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.trade_rules import middling, soft
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import files, heat, seen, temper
from tests.steel.stands import TABLES, stands, step

LOSSES = SteelLosses()
MIDDLING, HARD = files(50, 55, "below"), files(60, 65, "below")
COLD = {"missed": 0.36, "done": {"too_cold": 0.3, "too_short": 0.1}, "use": "hedging_tool"}


@pytest.mark.parametrize(
    ("done", "way", "words"),
    [
        ({"too_cold": 0.86, "too_short": 0.03}, "hotter", "was too cold is 86 %"),
        ({"too_cold": 0.27, "too_short": 0.49}, "longer_soak", "was too short is 49 %"),
    ],
)
def test_a_middling_coupon_is_quenched_again_by_what_its_heat_missed(done, way, words):
    found = heat_missed(stands(heat(MIDDLING), **{**COLD, "done": done}), LOSSES)
    assert step(found) == ("heat_treat_again", way)
    assert words in found.reason
    assert "a temper only makes it softer" in found.reason


def test_no_chance_is_told_of_a_heat_where_what_was_seen_does_not_fit_together():
    at = stands(heat(MIDDLING), **{**COLD, "done": {"too_cold": 0.86, "too_short": 0.03}})
    vars(at)["contradictions"] = (SimpleNamespace(remark=False),)
    found = heat_missed(at, LOSSES)
    assert step(found) == ("heat_treat_again", "hotter")
    assert found.reason.startswith("Its heat may have been too cold, and a temper only makes")
    vars(at)["contradictions"] = (SimpleNamespace(remark=True),)
    assert "was too cold is 86 %" in heat_missed(at, LOSSES).reason


@pytest.mark.parametrize(
    ("heats", "of"),
    [
        ((heat(MIDDLING),), {"missed": 0.35}),  # as likely as not right
        ((heat(HARD),), {}),
        ((heat(MIDDLING, grain="coarse"),), {}),  # no cold heat
        ((heat(MIDDLING, tempers=(temper(MIDDLING, 200),)),), {}),
        ((heat(MIDDLING), heat(MIDDLING, heat=2), heat(MIDDLING, heat=3)), {}),
        ((heat(MIDDLING),), {"use": "knife"}),  # too soft for it: another rule's
        ((heat(MIDDLING),), {"trials": [TrialSeen("A", "chop", "same", "sound")]}),
    ],
)
def test_a_heat_that_was_right_hard_tempered_or_repeated_goes_on(heats, of):
    assert heat_missed(stands(*heats, **{**COLD, **of}), LOSSES) is None


def test_the_second_heat_is_asked_for_still():
    twice = heat(MIDDLING), heat(MIDDLING, heat=2)
    assert step(heat_missed(stands(*twice, **COLD), LOSSES)) == ("heat_treat_again", "hotter")


def test_a_disc_read_50_to_55_is_not_tempered_before_a_hotter_heat():
    """A disc that sparks alike to good steel, from cherry: its heat is to blame before it."""
    told = heat(
        MIDDLING, coupon="A1", colour="cherry", magnet="lets_go", soak_min=2, section_mm=5,
        grain="medium",
    )  # fmt: skip
    disc = {"origin": "plough_disc", "coating": "removed", "lead": "no", "magnet": "strong",
            "sparks": "like_high", "stream": "bright_forked", "makes_blades": 40}  # fmt: skip
    what = seen(told, use="hedging_tool", **disc)
    found = decide(what, weigh_steel(what, TABLES), TABLES, LOSSES)
    assert (found.action, found.way, found.of) == ("heat_treat_again", "hotter", ("A1", 1))
    assert "its heat was too cold is" in found.reasons[0]


@pytest.mark.parametrize(("rule", "low"), [(soft, 40), (middling, 50)])
def test_soft_from_oil_and_likely_cold_is_quenched_hotter_in_oil_before_water(rule, low):
    coupon = heat(files(low, low + 5, "below"), heat_c=815.0, magnet="lets_go")

    def next_step(*heats, cold):
        return step(rule(stands(*heats, missed=cold, done={"too_cold": cold}), LOSSES))

    assert next_step(coupon, cold=0.33) == ("heat_treat_again", "hotter")
    assert next_step(coupon, cold=0.22) == ("go_on", "coupon_water")
    again = heat(*coupon.hardness, coupon="2", heat_c=845.0, magnet="lets_go")
    assert next_step(coupon, again, cold=0.33) == ("go_on", "coupon_water")
    found = hotter_before_water(stands(coupon, done={"too_cold": 0.33}), coupon, None)
    assert "too cold is 33 %, and water cracks what oil spares" in found.reason
