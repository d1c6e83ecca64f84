"""A miscounted swing is named, with the count that would fit."""

import numpy as np
import pytest

from edgetest.chop.balance import Hold
from edgetest.chop.pendulum import SwingTest, as_swung, measured_balance, period
from edgetest.chop.swing_counts import Hung, outline_doubts
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from tests.chop import codes
from tests.chop.tools import KNIFE, swing_seconds

ONE = swing_seconds(**KNIFE, pivot_m=0.020)


def swung(seconds, swings, *, length_mm=400.0):
    test = SwingTest(520, 165, 20, seconds, swings)
    hold = Hold(60, 310, length_mm=length_mm)
    return measured_balance(test, hold, rng=np.random.default_rng(0))


def test_one_timing_off_by_a_swing_is_left_out_and_named():
    timed = period([20 * ONE, 19 * ONE + 0.05, 20 * ONE + 0.1], 20)
    assert (timed.repeats, codes(timed)) == (2, ["swing_miscounted"])
    assert timed.seconds == pytest.approx(ONE, rel=0.003)
    assert "timing 2" in timed.doubts[0].text
    assert "fits 19 swings" in timed.doubts[0].text


def test_two_timings_that_differ_by_a_swing_both_stand():
    timed = period([20 * ONE, 21 * ONE], 20)
    assert (timed.repeats, codes(timed)) == (2, ["swings_not_alike"])
    timed = period([20 * ONE, 19 * ONE], 20)
    assert (timed.repeats, codes(timed)) == (2, ["swings_not_alike"])
    assert "fits 19 swings" in timed.doubts[0].text


def test_the_second_of_two_timings_may_be_a_little_shorter():
    timed = period([20 * ONE, 20 * ONE - 0.1], 20)
    assert (timed.repeats, codes(timed)) == (2, [])
    assert timed.seconds == pytest.approx(ONE - 0.1 / 40)


def test_ten_counted_for_twenty_is_more_than_the_tool_can_have():
    found = swung([20 * ONE] * 3, 10)
    (said,) = [one for one in found.doubts if one.code == "inertia_beyond_bound"]
    # The bound is m c (L - c) = 0.52 kg × 0.165 m × 0.235 m = 202 kg cm².
    assert "balance point, 400 mm long, has at most 202." in said.text
    assert "16 to 25 swings fit, not 10" in said.text
    assert codes(swung([20 * ONE] * 3, 20)) == []
    (said,) = [one for one in swung([20 * ONE] * 3, 3).doubts if one.code == said.code]
    figure = said.text.partition("an inertia of ")[2].partition(" kg cm²")[0]
    assert figure.isdigit()  # no power of ten
    assert float(figure) > 2000


def test_without_a_length_the_tool_is_taken_to_reach_half_as_far_again_as_it_strikes():
    found = swung([20 * ONE] * 3, 10, length_mm=None)
    (said,) = [one for one in found.doubts if one.code == "inertia_beyond_bound"]
    # 0.52 kg × 0.165 m × (1.5 × 0.310 m - 0.165 m) = 257 kg cm²; 20 swings give 72.
    assert "taken to be at most 465 mm long, half as far again as it strikes," in said.text
    assert "has at most 257." in said.text
    assert "inertia_beyond_bound" not in codes(swung([20 * ONE] * 3, 20, length_mm=None))


def test_a_balance_point_beyond_the_tip_has_no_inertia_below_nothing():
    found = swung([20 * ONE] * 3, 10, length_mm=160.0)
    assert any("has at most 0." in one.text for one in found.doubts)


def test_a_balance_point_measured_too_far_out_leaves_hardly_any_inertia():
    """KNIFE swings 20 times in 20 ONE; its balance point typed 245 mm from the butt for 165."""
    test = SwingTest(520, 245, 20, [20 * ONE] * 3, 20)
    held = {length: Hold(60, 310, length_mm=length) for length in (400.0, None)}
    told = {
        length: codes(measured_balance(test, hold, rng=np.random.default_rng(0)))
        for length, hold in held.items()
    }
    assert told[400.0] == ["inertia_below_usual"]
    assert "inertia_below_usual" not in told[None]  # how long it is nobody knows
    assert "inertia_below_usual" not in codes(swung([20 * ONE] * 3, 20))


def test_a_period_too_short_says_how_many_swings_fit():
    with pytest.raises(UnusableInput) as refused:
        swung([20 * ONE] * 3, 30)
    assert refused.value.where == "swings"
    assert "16 to 25 swings fit, not 30)" in refused.value.mend


def test_a_period_too_short_for_a_wide_swing_names_the_amplitude():
    test = SwingTest(520, 165, 20, [20 * ONE] * 3, 24, amplitude_deg=80)
    with pytest.raises(UnusableInput, match="told 80° wide") as refused:
        as_swung(test, Hold(60, 310))
    assert "check both places and the amplitude" in refused.value.mend


def test_the_outline_tells_which_count_fits():
    hung = Hung(0.520, 0.165, 0.020, 0.400, 9.80665)
    counted = swung([20 * ONE] * 3, 19).inertia_balance_kg_cm2
    drawn = Estimate(72.0, 71.0, 73.0, "kg cm²")
    (said,) = outline_doubts(hung, counted, drawn, 19)
    assert "agrees with 20 swings in that time, not with 19" in said.text
    assert not list(outline_doubts(hung, drawn, drawn, 20))


def test_percussion_beyond_the_tip_is_said():
    test = SwingTest(520, 165, 20, [20 * ONE] * 3, 20)
    near = Hold(145, 310, length_mm=400)
    assert "no_kickless_point" in codes(measured_balance(test, near, rng=np.random.default_rng(0)))
