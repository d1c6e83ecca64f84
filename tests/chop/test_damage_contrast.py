"""Chips of two heat treatments, per chop and length of edge."""

import pytest

from edgetest.chop.damage_contrast import damage_compared
from edgetest.chop.damage_rates import Inspection, damage_rates
from edgetest.chop.treatment_pairs import TreatmentPair
from edgetest.stats.rates import poisson_ratio

CHOPS = {"H1": 200, "H2": 300, "H3": 250, "L1": 200, "L2": 400}


def compared(first, second, counts, *, level=0.95):
    blades = (*first, *second)
    damage = damage_rates(Inspection("chips", blades, counts, [100.0] * len(blades), chops=CHOPS))
    return damage_compared(damage, CHOPS, TreatmentPair("hard", "soft", first, second), level)


def test_blades_of_two_treatments_leave_two_degrees_of_freedom_fewer():
    ratio, doubts = compared(("H1", "H2", "H3"), ("L1", "L2"), [6, 9, 7, 3, 6])
    assert (ratio.df, ratio.scope, doubts) == (3.0, "heat_treatments", ())
    # Chips per chop: 22 of 750 against 9 of 600.
    assert ratio.ratio.low < (22 / 750) / (9 / 600) < ratio.ratio.high
    assert ratio.scatter is not None


def test_one_tool_against_one_has_the_exact_limits_of_these_two():
    ratio, _ = compared(("H1",), ("L2",), [8, 4])
    exact = poisson_ratio(8, 200 * 100.0, 4, 400 * 100.0, level=0.95)
    assert (ratio.ratio.low, ratio.ratio.high) == pytest.approx((exact.low, exact.high))
    assert (ratio.df, ratio.scatter, ratio.scope) == (None, None, "tools")


def test_where_neither_was_damaged_nothing_is_compared():
    ratio, doubts = compared(("H1",), ("L2",), [0, 0])
    assert ratio is None
    assert [one.code for one in doubts] == ["no_damage_to_compare"]
