import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.martensite import as_quenched_hrc, carbon_for_hardness, carbon_range


@given(st.floats(0.0, 1.5), st.floats(0.0, 1.5), st.floats(0.5, 1.0))
def test_more_carbon_is_never_softer(first, second, martensite):
    low, high = sorted((first, second))
    assert as_quenched_hrc(low, martensite) <= as_quenched_hrc(high, martensite) + 1e-9


@given(st.floats(0.10, 0.66), st.floats(0.5, 1.0))
def test_inverse_returns_the_carbon(carbon, martensite):
    back = carbon_for_hardness(as_quenched_hrc(carbon, martensite), martensite)
    # 1131 table points over 0.565 %; the curve is flat near its top, so allow more there.
    assert back == pytest.approx(carbon, abs=1e-3 if carbon < 0.6 else 6e-3)


def test_no_carbon_gives_seventy():
    with pytest.raises(UnusableInput, match="70 HRC"):
        carbon_for_hardness(70)


def test_hardness_alone_bounds_carbon_from_below_only():
    found = carbon_range(fit_hardness(value=[55, 55]))
    assert found.high_pct is None
    assert 0.25 < found.low_pct < carbon_for_hardness(55)
    assert "no_upper_carbon" in codes(found.doubts)


def test_least_carbon_allows_for_the_steels_own_scatter():
    reading = fit_hardness(value=[55.0] * 200)  # known to 0.07 HRC: the scatter is all
    assert carbon_range(reading).low_pct == pytest.approx(
        carbon_for_hardness(55 - 1.96 * np.hypot(1.5, 0.0707)), abs=1e-3
    )


def test_stated_martensite_bounds_carbon_on_both_sides():
    found = carbon_range(fit_hardness(value=[50, 50]), martensite=(0.9, 1.0))
    assert found.low_pct < carbon_for_hardness(50, 1.0)
    assert found.high_pct > carbon_for_hardness(50, 0.9)


def test_less_martensite_allows_more_carbon():
    reading = fit_hardness(value=[48, 48])
    narrow = carbon_range(reading, martensite=(0.95, 1.0))
    wide = carbon_range(reading, martensite=(0.6, 1.0))
    assert wide.high_pct > narrow.high_pct
    assert wide.low_pct == narrow.low_pct


def test_full_hardness_never_bounds_carbon_from_above():
    found = carbon_range(fit_hardness(value=[65, 65]), martensite=(0.95, 1.0))
    assert found.high_pct is None


def test_soft_coupon_says_nothing_about_carbon():
    found = carbon_range(fit_hardness(value=[25, 26]))
    assert (found.low_pct, found.high_pct, codes(found.doubts)) == (None, None, ("not_hardened",))


@pytest.mark.parametrize("share", [0.49, 1.01])
def test_a_share_beyond_the_two_curves_is_refused(share):
    with pytest.raises(UnusableInput, match="outside the relation"):
        as_quenched_hrc(0.5, share)
    assert as_quenched_hrc(0.5, 0.5) < as_quenched_hrc(0.5, 0.75) < as_quenched_hrc(0.5, 1.0)
    middle = (as_quenched_hrc(0.5, 0.5) + as_quenched_hrc(0.5, 1.0)) / 2
    assert as_quenched_hrc(0.5, 0.75) == pytest.approx(middle)
