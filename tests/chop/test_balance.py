import json

import numpy as np
import pytest

from edgetest.chop.balance import Hold, balance_of, effective_mass_kg
from edgetest.chop.balances_compared import before_after, side_by_side
from edgetest.chop.pendulum import SwingTest, measured_balance, period
from edgetest.errors import UnusableInput
from tests.chop import codes

GRAVITY = 9.80665


def swing_seconds(mass, balance_m, inertia, pivot_m, gravity=GRAVITY):
    """Period of a tool of known inertia hung at a pivot."""
    arm = abs(balance_m - pivot_m)
    return 2 * np.pi * np.sqrt((inertia + mass * arm**2) / (mass * gravity * arm))


# A camp knife: 520 g, balance 165 mm from the butt, 72 kg cm² about it, 400 mm long.
KNIFE = {"mass": 0.520, "balance_m": 0.165, "inertia": 0.0072}


def knife(*, pivot_mm=20.0, grip_mm=60.0, strike_mm=310.0, handle_front_mm=None):
    seconds = 20 * swing_seconds(**KNIFE, pivot_m=pivot_mm / 1000)
    test = SwingTest(520, 165, pivot_mm, [seconds] * 3, 20)
    hold = Hold(grip_mm, strike_mm, handle_front_mm, length_mm=400.0)
    return measured_balance(test, hold, rng=np.random.default_rng(0))


def test_inertia_comes_back_wherever_it_is_hung():
    for pivot in (20.0, 60.0, 330.0):
        swung = knife(pivot_mm=pivot)
        assert swung.inertia_balance_kg_cm2.value == pytest.approx(72.0, rel=1e-9)
        assert swung.inertia_grip_kg_cm2.value == pytest.approx(
            1e4 * (0.0072 + 0.520 * 0.105**2), rel=1e-9
        )


def test_intervals_cover_the_truth():
    """Balance, pivot, scale and stopwatch err as stated; 95 % intervals hold about 95 %."""
    rng = np.random.default_rng(12)
    truth = {
        "inertia_grip_kg_cm2": 1e4 * (0.0072 + 0.520 * 0.105**2),
        "percussion_mm": 60 + 1e3 * (0.0072 + 0.520 * 0.105**2) / (0.520 * 0.105),
        "effective_mass_free_g": 1e3 * effective_mass_kg(0.520, 0.165, 0.0072, 0.310),
    }
    seconds = swing_seconds(**KNIFE, pivot_m=0.020)
    held = dict.fromkeys(truth, 0)
    for _ in range(200):
        timings = 20 * seconds + rng.normal(0, 0.1, 3)
        test = SwingTest(*(np.array([520, 165, 20]) + rng.normal(0, 1, 3)), timings, 20)
        swung = measured_balance(test, Hold(60, 310), rng=rng, draws=1000)
        for name, value in truth.items():
            one = getattr(swung, name)
            held[name] += one.low <= value <= one.high
    for name, times in held.items():
        assert 180 <= times <= 199, name  # 200 at 95 %: outside once in 1000 tests


def test_no_kick_at_the_centre_of_percussion():
    swung = knife()
    kick = swung.reaction
    assert np.interp(swung.percussion_mm.value, kick.x_mm, kick.value) == pytest.approx(0, abs=1e-9)
    assert kick.value[0] == pytest.approx(-1)  # a blow at the grip itself
    assert np.all(np.diff(kick.value) > 0)
    assert np.all((kick.low <= kick.value) & (kick.value <= kick.high))


def test_effective_mass_is_the_whole_tool_at_its_balance_point():
    assert effective_mass_kg(0.52, 0.165, 0.0072, 0.165) == pytest.approx(0.52)
    assert effective_mass_kg(0.52, 0.165, 0.0072, 0.310) < 0.26
    # At the centre of percussion of the grip, free and gripped tools feel alike.
    at = knife(strike_mm=knife().percussion_mm.value)
    assert at.effective_mass_free_g.value == pytest.approx(at.effective_mass_gripped_g.value)


def test_more_swings_and_repeats_narrow_the_period():
    one = period([20.0], 20)
    more = period([20.0, 20.1, 19.9, 20.0], 20)
    longer = period([60.0], 60)
    assert more.u_s < one.u_s
    assert longer.u_s == pytest.approx(one.u_s / 3)
    assert codes(period([20.0, 21.5, 19.0], 20)) == ["period_scatter"]
    assert codes(period([20.0], 20, amplitude_deg=30)) == ["large_swing"]


def test_near_pivot_is_doubted_and_impossible_period_refused():
    assert "short_pendulum" in codes(knife(pivot_mm=160.0))
    test = SwingTest(520, 165, 20, [10.0], 20)
    with pytest.raises(UnusableInput, match="count a swing as there and back"):
        measured_balance(test, Hold(60, 310), rng=np.random.default_rng(0))
    with pytest.raises(UnusableInput, match="x from the butt to the tip"):
        knife(strike_mm=10.0)
    with pytest.raises(UnusableInput, match="middle of the hand"):
        knife(grip_mm=165.0)
    with pytest.raises(UnusableInput, match="time it again"):
        period([], 20)


def test_balance_is_given_from_the_handle_too():
    swung = knife(handle_front_mm=120.0)
    assert swung.balance_from_handle_mm.value == pytest.approx(45)
    assert "45.0 (43.0 to 47.0) mm ahead of the handle" in swung.summary()
    json.dumps(swung.to_dict(), allow_nan=False)


def drawn(source, shift=0.0):
    rng = np.random.default_rng(1)
    best = np.array([0.52, 0.165 + shift, 0.0072])
    draws = best[:, None] * (1 + 0.005 * rng.standard_normal((3, 4000)))
    return balance_of(best, draws, Hold(60, 310), source=source)


def test_measured_and_predicted_side_by_side():
    same = side_by_side(drawn("measured"), drawn("predicted"))
    assert all(row["agree"] for row in same.rows)
    apart = side_by_side(drawn("measured"), drawn("predicted", 0.02))
    row = next(row for row in apart.rows if row["figure"] == "balance_mm")
    assert row["difference"] == pytest.approx(20)
    assert not row["agree"]
    assert codes(apart) == ["measured_and_predicted_differ"]
    assert "effective_mass_free_g" in set(apart.to_frame()["figure"])


def test_a_change_is_known_better_than_either_tool():
    paired = before_after(drawn("predicted"), drawn("predicted", 0.002))
    apart = side_by_side(drawn("predicted"), drawn("predicted", 0.002))
    width = [
        next(r["high"] - r["low"] for r in pair.rows if r["figure"] == "balance_mm")
        for pair in (paired, apart)
    ]
    assert width[0] < 0.1 * width[1]
    assert (paired.first, paired.second, codes(paired)) == ("before", "after", [])
