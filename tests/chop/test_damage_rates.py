import json

import numpy as np
import pytest

from edgetest.chop.damage_rates import Inspection, damage_rates, depth_spread
from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_rate
from tests.chop import codes


def chips(*columns, **more):
    return damage_rates(Inspection("chips", *columns, **more))


def test_stretches_of_one_blade_add_up():
    damage = chips(["A", "A", "B"], [1, 2, 0], [60, 40, 110], chops={"A": 250, "B": 300})
    a, b = damage.blades
    assert (a.count, a.edge_length_mm) == (3, 100)
    assert a.per_100_mm.low == pytest.approx(poisson_rate(3, 1.0).low)
    assert a.per_100_chops.value == pytest.approx(1.2)
    assert b.per_100_mm.high == pytest.approx(2.995732 / 1.1, rel=1e-6)
    assert codes(damage) == ["zero_seen"]
    assert "fewer than 2.7 per 100 mm" in damage.summary()
    json.dumps(damage.to_dict(), allow_nan=False)
    assert list(damage.to_frame()["count"]) == [3, 0]


def test_blades_that_differ_widen_the_pooled_rate():
    even = chips(list("ABCD"), [5, 6, 5, 4], [100] * 4)
    uneven = chips(list("ABCD"), [0, 1, 0, 19], [100] * 4)
    assert even.pooled_per_100_mm.value == uneven.pooled_per_100_mm.value
    assert "blades_differ_in_damage" in codes(uneven)
    assert uneven.pooled_per_100_mm.high > 1.5 * even.pooled_per_100_mm.high
    assert uneven.pooled_per_100_mm.low < even.pooled_per_100_mm.low


def test_depths_against_the_limit():
    depths = np.arange(1, 21) * 10.0
    spread = depth_spread(depths, limit_um=150)
    # Binomial(20, 1/2): ranks 6 and 15 hold the median with 95.9 %.
    assert (spread.median_um.low, spread.median_um.high) == (60, 150)
    assert spread.median_um.value == 105
    assert (spread.over_limit, spread.verdict) == (5, "over")
    assert depth_spread([20, 30], limit_um=150).verdict == "within"
    assert depth_spread([20, 30]).verdict == "not_judged"
    assert depth_spread([20, 30, 40]).median_um.high == np.inf
    assert depth_spread([]).median_um is None


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ((["A"], [1.5], [100]), "A: 1.5 is not a count"),
        ((["A"], [1], [0]), "exposure 0"),
        ((["A", "B"], [1], [100]), "2 blades, 1 counts"),
        (([], [], []), "no edge was inspected"),
    ],
)
def test_errors(given, words):
    with pytest.raises(UnusableInput, match=words):
        chips(*given)
    with pytest.raises(UnusableInput, match="depth is missing or negative"):
        depth_spread([10, -1])
