"""A ratio of lives whose interval holds half and all of the known blade's tells neither."""

from math import log

import pytest

from edgetest.steel.hardened_rules import ready
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.trade_rules import nothing_else
from edgetest.steel.tried_blades import tried_blades
from tests.steel.seen_steel import files, heat, temper
from tests.steel.stands import stands, step

BLADE = heat(
    files(60, 65, "below"), coupon="blade1", grain="fine", tempers=(temper(files(55, 60), 220),)
)


def trial(low, high, edge="sound"):
    u = log(high / low) / 4
    ratio = (low * high) ** 0.5
    return TrialSeen("A", "rope", None, edge, ratio, u, heat=("blade1", 1))


@pytest.mark.parametrize(
    ("low", "high", "stood", "short"),
    [(0.3, 2.7, False, False), (0.6, 1.35, True, False), (0.3, 0.9, False, True),
     (0.45, 1.1, False, False), (1.1, 1.4, True, False)],
)  # fmt: skip
def test_the_interval_says_whether_a_blade_stood(low, high, stood, short):
    (found,) = tried_blades([trial(low, high)], [BLADE])
    assert (found.stood, found.short) == (stood, short)


def test_it_is_said_and_the_rest_is_not_made():
    said = "The life of blade1 beside the known blade may as well be half as all of it"
    asked = ready(stands(BLADE, use="knife", trials=(trial(0.3, 2.7),), fit=0.95), SteelLosses())
    assert step(asked) == ("reuse_trial", "trial_blade")
    assert asked.reason.startswith(said)
    alone = nothing_else(stands(use="knife", trials=(trial(0.3, 2.7),)), SteelLosses())
    assert step(alone) == ("go_on", "coupon_oil")
    assert alone.reason.startswith(said)
    assert "failed" not in alone.reason
    broke = stands(BLADE, use="knife", trials=(trial(0.3, 2.7, "broke"),), fit=0.95)
    assert said not in ready(broke, SteelLosses()).reason
