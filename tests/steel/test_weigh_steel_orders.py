"""The order in which coupons and blades of a piece were written down changes no chance."""

from itertools import permutations

import pytest

from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, heat, number, seen, temper

TABLES = load_steel_tables()
COUPON = heat(HARD, coupon="A1", grain="fine", tempers=(temper(number(57), 220),))
BLADE = heat(number(61), coupon="blade1", tempers=(temper(number(57), 220),))
OTHER = heat(SOFT, coupon="A2", medium="water")


@pytest.mark.parametrize(("edge", "result"), [("sound", "same"), ("rolled", "worse")])
def test_coupons_and_blades_weigh_the_same_in_any_order(edge, result):
    trial = TrialSeen("A", "rope", result, edge, heat=("blade1", 1), life_ratio=0.9)
    found = [
        weigh_steel(seen(*heats, trials=(trial,), use="hedging_tool"), TABLES)
        for heats in permutations((COUPON, BLADE, OTHER))
    ]
    for one in found[1:]:
        assert one.chance_fit == pytest.approx(found[0].chance_fit, abs=1e-9)
        assert one.explanations == pytest.approx(found[0].explanations, abs=1e-9)


def test_a_life_counts_though_a_coupon_was_written_down_before_the_blade():
    def chance(*heats, ratio):
        trial = TrialSeen(
            "A", "rope", edge="sound", heat=("blade1", 1), life_ratio=ratio, life_ratio_log_u=0.05
        )
        return weigh_steel(seen(*heats, trials=(trial,), use="knife"), TABLES).chance_fit

    alone = chance(BLADE, ratio=0.95) - chance(BLADE, ratio=0.7)
    beside = chance(COUPON, BLADE, ratio=0.95) - chance(COUPON, BLADE, ratio=0.7)
    assert beside > alone / 2 > 0
