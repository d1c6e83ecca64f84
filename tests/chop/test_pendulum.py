import numpy as np
import pytest

from edgetest.chop.balance import Hold, effective_mass_kg
from edgetest.chop.pendulum import (
    WATCH_DF,
    WIDE_SWING_DEG,
    SwingTest,
    measured_balance,
    period,
)
from edgetest.errors import UnusableInput
from tests.chop import codes
from tests.chop.tools import KNIFE, knife, swing_seconds


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
        hold = Hold(*(np.array([60, 310]) + rng.normal(0, 3, 2)))
        swung = measured_balance(test, hold, rng=rng, draws=1000)
        for name, value in truth.items():
            one = getattr(swung, name)
            held[name] += one.low <= value <= one.high
    for name, times in held.items():
        assert 180 <= times <= 199, name  # 200 at 95 %: outside once in 1000 tests


def test_more_swings_and_repeats_narrow_the_period():
    one = period([20.0], 20)
    more = period([20.0, 20.1, 19.9, 20.0], 20)
    longer = period([60.0], 60)
    assert more.u_s < one.u_s
    assert longer.u_s == pytest.approx(one.u_s / 3)
    assert codes(period([20.0, 20.4, 19.6], 20)) == ["period_scatter"]
    assert codes(period([20.0], 20, amplitude_deg=30)) == ["large_swing"]


def test_near_pivot_is_doubted_and_impossible_period_refused():
    assert "short_pendulum" in codes(knife(pivot_mm=160.0))
    test = SwingTest(520, 165, 20, [10.0], 20)
    with pytest.raises(UnusableInput, match="count a swing as there and back"):
        measured_balance(test, Hold(60, 310), rng=np.random.default_rng(0))
    with pytest.raises(UnusableInput, match="x from the butt to the tip"):
        knife(strike_mm=10.0)
    with pytest.raises(UnusableInput, match="time it again"):
        period([], 20)


def test_the_period_is_the_mean_with_student_s_scale():
    """The stopwatch's doubt counts as degrees of freedom beside the repeats' own scatter."""
    times = np.array([20.0, 20.1, 19.9])
    found = period(times, 20, watch_u_s=0.1)
    one = ((WATCH_DF * 0.01 + 0.02) / (WATCH_DF + 2)) ** 0.5
    assert found.seconds == pytest.approx(1.0)
    assert found.u_s == pytest.approx(one / 3**0.5 / 20)
    assert found.df == WATCH_DF + 2
    assert found.doubts == ()
    assert period([0.6], 1).seconds == pytest.approx(0.6)


def test_a_wide_swing_takes_longer_by_the_textbook_s_series():
    """The exact period by the arithmetic-geometric mean: T = T0 / agm(1, cos(angle / 2))."""
    for degrees in (5.0, 20.0, 40.0):
        a, b = 1.0, np.cos(np.radians(degrees) / 2)
        for _ in range(6):
            a, b = (a + b) / 2, (a * b) ** 0.5
        small = period([20.0 / a], 20, amplitude_deg=degrees).seconds
        assert small == pytest.approx(1.0, abs=5e-5)
    assert codes(period([20.0], 20, amplitude_deg=WIDE_SWING_DEG)) == []


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (([0.0], 20), "missing or not above zero"),
        (([20.0, float("nan")], 20), "missing or not above zero"),
        (([20.0], 0), "count full swings"),
    ],
)
def test_what_is_no_timing_is_refused(given, words):
    with pytest.raises(UnusableInput, match=words):
        period(*given)
    with pytest.raises(UnusableInput, match="stopwatch above zero"):
        period([20.0], 20, watch_u_s=0.0)


def test_a_pivot_whose_place_nobody_doubts_is_known_to_a_millimetre():
    """I = m g a T²/4π² - m a² with the arm a: its slope in a, times a millimetre."""
    seconds = swing_seconds(**KNIFE, pivot_m=0.020)
    sure = dict.fromkeys(("watch_u_s", "mass_u_g", "balance_u_mm", "gravity_u_m_s2"), 1e-6)
    test = SwingTest(520, 165, 20, [20 * seconds] * 3, 20, **sure)
    swung = measured_balance(test, Hold(60, 310), rng=np.random.default_rng(0), draws=20000)
    found = swung.inertia_balance_kg_cm2
    slope = 0.520 * (9.80665 * seconds**2 / (4 * np.pi**2) - 2 * 0.145)
    assert (found.high - found.low) / 2 == pytest.approx(1.96 * 1e4 * abs(slope) * 1e-3, rel=0.03)


def test_a_swing_is_called_wide_from_twenty_degrees_on():
    assert codes(period([20.0], 20, amplitude_deg=20.0)) == []
    assert codes(period([20.0], 20, amplitude_deg=20.5)) == ["large_swing"]
