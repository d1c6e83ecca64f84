import numpy as np
import pytest
from scipy.stats import binomtest, chi2

from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_rate, poisson_ratio, share


def test_zero_events_give_a_bound_of_three_over_n():
    none = poisson_rate(0, 200)
    assert none.low == 0
    assert none.high == pytest.approx(2.995732 / 200, rel=1e-6)
    never = share(0, 200)
    assert never.high == pytest.approx(1 - 0.05 ** (1 / 200))
    assert never.high == pytest.approx(3 / 200, rel=0.01)
    assert share(1, 1).low == pytest.approx(0.05)
    assert share(1, 2).low == pytest.approx(1 - 0.975**0.5)
    with pytest.raises(UnusableInput, match="both counts are zero"):
        poisson_ratio(0, 10, 0, 10)
    assert poisson_ratio(3, 10, 0, 10).value == np.inf
    with pytest.raises(UnusableInput, match="whole number"):
        poisson_rate(1.5, 10)


def test_exact_interval_covers():
    """Garwood's interval holds at least its level for any mean; here a mean of 4.2."""
    counts = np.random.default_rng(1).poisson(4.2, 4000)
    bounds = {n: poisson_rate(int(n), 1.0) for n in np.unique(counts)}
    held = np.mean([bounds[n].low <= 4.2 <= bounds[n].high for n in counts])
    assert held >= 0.95


@pytest.mark.parametrize(("hits", "trials"), [(1, 7), (3, 85), (40, 41), (250, 1000)])
def test_shares_are_those_of_an_exact_binomial_test(hits, trials):
    """Clopper-Pearson limits as scipy.stats.binomtest finds them."""
    ours, other = share(hits, trials), binomtest(hits, trials).proportion_ci(method="exact")
    assert (ours.low, ours.high) == pytest.approx((other.low, other.high), rel=1e-9)


def test_rates_are_those_of_the_chi_square():
    """Garwood's limits are half a quantile of chi-square, with 2n and 2n + 2 degrees."""
    for count in (1, 4, 137):
        rate = poisson_rate(count, 1.0)
        assert rate.low == pytest.approx(chi2.ppf(0.025, 2 * count) / 2, rel=1e-12)
        assert rate.high == pytest.approx(chi2.ppf(0.975, 2 * count + 2) / 2, rel=1e-12)


def test_the_ratio_of_rates_is_a_share_of_the_sum():
    ratio, part = poisson_ratio(11, 2.0, 21, 5.0), binomtest(11, 32).proportion_ci()
    ends = [5.0 / 2.0 * end / (1 - end) for end in (part.low, part.high)]
    assert [ratio.low, ratio.high] == pytest.approx(ends, rel=1e-9)


@pytest.mark.parametrize("exposure", [0, -3.0, np.inf, np.nan])
def test_an_exposure_that_is_none_is_refused(exposure):
    with pytest.raises(UnusableInput, match="above zero"):
        poisson_rate(3, exposure)


@pytest.mark.parametrize("count", [-1, 2.5, np.inf, np.nan])
def test_a_count_that_is_none_is_refused(count):
    with pytest.raises(UnusableInput, match="whole number"):
        poisson_rate(count, 10.0)


def test_a_rate_is_told_per_what_is_asked_with_its_unit_and_level():
    rate = poisson_rate(4, 2.0, unit="1/m", level=0.9, per=10.0)
    assert (rate.value, rate.unit, rate.level) == (20.0, "1/m", 0.9)
    assert rate.low == pytest.approx(5 * chi2.ppf(0.05, 8) / 2)
    assert rate.high == pytest.approx(5 * chi2.ppf(0.95, 10) / 2)
    none = poisson_rate(0, 2.0, unit="1/m", level=0.9, per=10.0)
    assert (none.value, none.low, none.unit, none.level) == (0.0, 0.0, "1/m", 0.9)
    assert none.high == pytest.approx(-5 * np.log(0.1))


def test_a_ratio_with_a_count_of_none_is_open_at_one_end():
    up, down = poisson_ratio(3, 10, 0, 20, level=0.9), poisson_ratio(0, 10, 3, 20, level=0.9)
    assert (up.value, up.high, up.level) == (np.inf, np.inf, 0.9)
    part = binomtest(3, 3).proportion_ci(0.9)
    assert up.low == pytest.approx(2 * part.low / (1 - part.low))
    assert (down.value, down.low) == (0.0, 0.0)
    assert down.high == pytest.approx(2 * (1 - part.low) / part.low)
    assert poisson_ratio(6, 2.0, 9, 6.0).value == pytest.approx(2.0)


@pytest.mark.parametrize(("hits", "trials"), [(-1, 4), (5, 4), (0, 0)])
def test_hits_that_are_no_share_are_refused(hits, trials):
    with pytest.raises(UnusableInput, match="between 0 and the number"):
        share(hits, trials)


def test_a_share_of_none_or_all_has_one_end_at_its_level():
    none, every = share(0, 8, level=0.9), share(8, 8, level=0.9)
    assert (none.value, none.low, every.value, every.high) == (0.0, 0.0, 1.0, 1.0)
    assert none.high == pytest.approx(1 - 0.1 ** (1 / 8))
    assert every.low == pytest.approx(0.1 ** (1 / 8))
    some, exact = share(2, 8, level=0.9), binomtest(2, 8).proportion_ci(0.9)
    assert (some.value, some.low, some.high) == pytest.approx((0.25, exact.low, exact.high))
    assert {none.level, every.level, some.level} == {0.9}
