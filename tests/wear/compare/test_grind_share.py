"""The range of a ratio without the grind, by hand."""

from math import exp, inf, log, radians, tan

import pytest

from edgetest.doubts import doubt
from edgetest.estimate import Estimate
from edgetest.wear.compare.comparison_result import Ratio
from edgetest.wear.compare.grind_share import WAYS, grind_share


def ratio(estimate, low, high):
    return Ratio(estimate, low, high, 0.95, "t", 4.0)


def factor(value, spread=1.0):
    return Estimate(value, value / spread, value * spread, "", 0.95)


def test_edges_that_are_alike_leave_nothing_to_take_out():
    assert grind_share("A", "B", ratio(1.5, 1.2, 1.9)) is None


def test_an_angle_is_taken_out_from_its_square_to_its_inverse_square():
    found = grind_share("A", "B", ratio(1.5, 1.2, 1.9), factor(1.2))
    assert (found.low, found.high) == pytest.approx((1.2 / 1.2**2, 1.9 * 1.2**2))
    assert found.what == ("angle",)
    assert found.may_be_all


def test_a_thickness_may_do_nothing_or_all_that_it_can():
    found = grind_share("A", "B", ratio(1.5, 1.2, 1.9), None, factor(1.15))
    assert (found.low, found.high) == pytest.approx((1.2 / 1.15, 1.9))
    assert not found.may_be_all


def test_one_force_goes_with_the_angle_or_with_the_thickness_not_with_both():
    found = grind_share("A", "B", ratio(2.0, 2.0, 2.0), factor(1.2), factor(1.5))
    assert found.low == pytest.approx(2.0 / (1.2 * 1.5))
    assert found.high == pytest.approx(2.0 * 1.2**2)


def test_the_doubt_of_the_ratio_and_of_the_grind_are_independent_errors():
    found = grind_share("A", "B", ratio(1.5, 1.5 / 1.3, 1.5 * 1.3), factor(1.2, spread=1.1))
    below = log(1.5) - 2 * log(1.2) - (log(1.3) ** 2 + (2 * log(1.1)) ** 2) ** 0.5
    above = log(1.5) + 2 * log(1.2) + (log(1.3) ** 2 + (2 * log(1.1)) ** 2) ** 0.5
    assert (found.low, found.high) == pytest.approx((exp(below), exp(above)))


def test_the_doubt_of_a_thickness_widens_the_range_as_its_square_does():
    found = grind_share("A", "B", ratio(1.5, 1.5 / 1.3, 1.5 * 1.3), None, factor(1.2, spread=1.4))
    below = log(1.5) - log(1.2) - (log(1.3) ** 2 + log(1.4) ** 2) ** 0.5
    assert found.low == pytest.approx(exp(below))


def test_an_apex_that_rounds_with_the_root_of_the_cuts_is_held():
    """Read along the bevel, r / tan(a): life to one width goes with tan(a)²."""
    blunter = tan(radians(20)) / tan(radians(12))
    made = blunter**2  # steels alike
    found = grind_share("A", "B", ratio(made, made / 1.2, made * 1.2), factor(1 / blunter))
    assert found.low <= 1 <= found.high
    assert found.may_be_all


@pytest.mark.parametrize(("low", "high"), [(0.8, 1.9), (1.2, inf), (0.0, 0.9)])
def test_only_a_difference_that_was_found_can_be_the_grinds(low, high):
    """An end that is open stays open."""
    found = grind_share("A", "B", ratio(1.0, low, high), factor(1.5))
    assert found.may_be_all == (not low <= 1 <= high)
    assert (found.low == 0, found.high == inf) == (low == 0, high == inf)


def test_of_a_bound_the_known_end_is_moved():
    found = grind_share("A", "B", ratio(0.0, 0.0, 0.8), factor(1.25))
    assert (found.low, found.high) == pytest.approx((0.0, 0.8 * 1.25**2))
    nothing = grind_share("A", "B", ratio(0.0, 0.0, inf), factor(1.25))
    assert (nothing.low, nothing.high, nothing.may_be_all) == (0.0, inf, False)


def test_the_longer_one_is_said_first():
    found = grind_share("A", "B", ratio(0.5, 0.4, 0.6), factor(1.0), factor(0.8))
    assert found.summary() == "A lasts between 1.33 and 2.50 times as long as B"
    found = grind_share("A", "B", ratio(2.0, 1.5, inf), factor(1.0), factor(1.25))
    assert found.summary() == "B lasts at least 1.20 times as long as A"
    found = grind_share("A", "B", ratio(0.0, 0.0, inf), factor(1.25))
    assert found.summary().endswith(" is open")


def test_what_is_said_of_angles_that_nobody_noted_is_what_the_ways_make():
    most = max(abs(x) for x, _ in WAYS) * log(tan(radians(19)) / tan(radians(15)))
    assert f"up to {exp(most):.2f} times as long" in doubt("edge_angle_not_noted", bare="A").text
