"""Two looks at the same things: bias, limits of agreement, scatter and drift, by hand."""

import numpy as np
import pytest
from scipy.stats import chi2, norm
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.agreement import LEAST_PAIRS, agreement

FIRST = np.array([3.1, 4.0, 5.2, 6.1, 7.0, 8.3, 9.1, 9.9])


def test_a_shift_and_a_slope_without_scatter_are_found_whole():
    days = np.array([0.0, 1, 2, 3, 4, 5, 6, 9])
    found = agreement(FIRST, FIRST + 0.12 + 0.03 * days, time=days, unit="µm")
    assert found.drift.value == pytest.approx(0.03)
    assert found.drift.high - found.drift.low < 1e-12
    assert found.span == 9
    assert found.bias.value == pytest.approx(0.12 + 0.03 * days.mean())


def test_what_one_look_scatters_by_holds_the_bias_too():
    found = agreement(FIRST, FIRST + 0.2)
    assert found.sd_difference == pytest.approx(0, abs=1e-12)
    assert found.within.value == pytest.approx(0.2 / np.sqrt(2))
    assert found.repeatability == pytest.approx(1.96 * 0.2, rel=1e-4)


def test_the_scatter_is_that_of_the_textbook_for_two_readings_a_level():
    from edgetest.wear.plan.repeatability import repeatability

    second = FIRST + np.array([0.1, -0.2, 0.05, 0.3, -0.1, 0.0, -0.15, 0.2])
    spread = repeatability(np.r_[FIRST, second], level=[*range(8), *range(8)])
    found = agreement(FIRST, second)
    assert found.within.value == pytest.approx(spread.sd_repeat)
    assert (found.within.low, found.within.high) == pytest.approx(
        (spread.sd_repeat_low, spread.sd_repeat_high)
    )


def test_the_slope_is_that_of_another_regression():
    from scipy.stats import linregress, t

    rng = np.random.default_rng(3)
    second, time = FIRST + rng.normal(0.1, 0.2, 8), rng.uniform(0, 30, 8)
    other = linregress(time, second - FIRST)
    half = t.ppf(0.975, 6) * other.stderr
    found = agreement(FIRST, second, time=time)
    assert (found.drift.value, found.drift.high) == pytest.approx((other.slope, other.slope + half))


def test_the_sentence_says_which_way_and_whether_chance_could_do_it():
    far = agreement(FIRST, FIRST - 0.3 + 0.001 * np.arange(8), unit="µm")
    assert "µm less (8 pairs)" in far.summary()
    near = agreement(
        FIRST, FIRST + np.array([0.3, -0.3, 0.3, -0.3, 0.3, -0.3, 0.3, -0.2]), unit="µm"
    )
    assert "more; that may be chance" in near.summary()


def test_too_few_pairs_are_refused_with_how_many_are_wanting():
    with pytest.raises(UnusableInput, match="look at 2 more a second time"):
        agreement(FIRST[: LEAST_PAIRS - 2], FIRST[: LEAST_PAIRS - 2])


@pytest.mark.parametrize(
    ("first", "second", "time"),
    [(FIRST, FIRST[:-1], None), (FIRST, [*FIRST[:-1], np.nan], None), (FIRST, FIRST, [1, 2])],
)
def test_what_is_no_pair_is_refused(first, second, time):
    with pytest.raises(UnusableInput):
        agreement(first, second, time=time)


def test_times_all_alike_tell_no_drift():
    assert agreement(FIRST, FIRST + 0.1, time=np.ones(8)).drift is None


def test_bias_and_limits_have_the_textbook_s_intervals():
    """Bland and Altman (1999): t s/sqrt(n), and t s sqrt(1/n + z²/2(n-1)) for a limit."""
    d = np.array([0.1, -0.2, 0.05, 0.3, -0.1, 0.02, -0.15, 0.2])
    found = agreement(FIRST, FIRST + d, level=0.9)
    s, t, z = d.std(ddof=1), student.ppf(0.95, 7), norm.ppf(0.95)
    assert found.bias.value == pytest.approx(d.mean())
    assert found.bias.high - found.bias.value == pytest.approx(t * s / 8**0.5)
    assert (found.lower.value, found.upper.value) == pytest.approx(
        (d.mean() - z * s, d.mean() + z * s)
    )
    for limit in (found.lower, found.upper):
        half = t * s * (1 / 8 + z**2 / 14) ** 0.5
        assert limit.high - limit.value == pytest.approx(half)
        assert limit.value - limit.low == pytest.approx(half)


@pytest.mark.parametrize(("shift", "way"), [(0.3, "more"), (-0.3, "less")])
def test_what_is_said_is_how_much_whichever_way(shift, way):
    wobble = 0.01 * np.array([1, -1, 1, -1, 1, -1, 1, -1])
    said = agreement(FIRST, FIRST + shift + wobble, unit="µm").summary()
    assert said == f"The second look reads 0.300 (0.291 to 0.309) µm {way} (8 pairs)."


def test_six_pairs_are_enough():
    assert LEAST_PAIRS == 6
    assert agreement(FIRST[:6], FIRST[:6] + 0.1).pairs == 6
    with pytest.raises(UnusableInput, match="1 pair of looks"):
        agreement(FIRST[:1], FIRST[:1])
    with pytest.raises(UnusableInput, match="not a column"):
        agreement([FIRST, FIRST], FIRST)


def test_every_figure_has_its_unit_and_level():
    d = np.array([0.1, -0.2, 0.05, 0.3, -0.1, 0.02, -0.15, 0.2])
    found = agreement(FIRST, FIRST + d, time=[0, 1, 2, 3, 4, 5, 6, 8], unit="µm", level=0.9)
    for each in (found.bias, found.lower, found.upper, found.within, found.drift):
        assert (each.unit, each.level) == ("µm", 0.9)
        assert each.low < each.value < each.high
    assert found.to_dict()["pairs"] == 8
    assert found.span == 8.0
    # One look's scatter: squares over chi-square, with as many degrees of freedom as pairs.
    squares = d @ d / 2
    assert found.within.value == pytest.approx((squares / 8) ** 0.5)
    assert found.within.low == pytest.approx((squares / chi2.ppf(0.95, 8)) ** 0.5)
    assert found.within.high == pytest.approx((squares / chi2.ppf(0.05, 8)) ** 0.5)
    assert found.repeatability == pytest.approx(1.959964 * 2**0.5 * found.within.value)


@pytest.mark.parametrize("time", [None, np.ones(8)])
def test_without_times_that_differ_nothing_is_said_of_drift_or_its_span(time):
    found = agreement(FIRST, FIRST + 0.1 * np.arange(8), time=time)
    assert found.drift is None
    assert found.span == 0.0


def test_a_bias_that_chance_could_make_is_said_so_whichever_way():
    for shift, way in ((0.1, "more"), (-0.1, "less")):
        said = agreement(FIRST, FIRST + shift + np.tile([0.5, -0.5], 4)).summary()
        assert said.startswith("The second look reads 0.1")
        assert f"{way}; that may be chance (8 pairs)." in said
