import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.quench import (
    as_quenched_hrc,
    carbon_for_hardness,
    carbon_range,
    quench_response,
)

HARD = fit_hardness(value=[62, 62.5])
SOFT = fit_hardness(lower=[-np.inf], upper=[45])


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


def test_water_hard_oil_soft_is_shallow_hardening():
    found = quench_response({"water": HARD, "oil": SOFT})
    assert found.hardens_in == "water"
    assert codes(found.doubts) == ("shallow_hardening",)
    assert not found.contradictory


def test_medium_carbon_steel_can_harden_shallowly_too():
    # Below the 58 HRC of a knife edge, yet ten points behind in oil.
    found = quench_response(
        {"water": fit_hardness(value=[55, 55]), "oil": fit_hardness(value=[44, 45])}
    )
    assert found.hardens_in == "none"
    assert codes(found.doubts) == ("tool_hardness", "shallow_hardening")


def test_oil_as_hard_as_water_is_not_shallow():
    found = quench_response({"water": HARD, "oil": fit_hardness(value=[61, 61.5])})
    assert codes(found.doubts) == ("oil_hardening",)


def test_oil_hard_water_soft_is_a_contradiction_not_an_average():
    found = quench_response({"water": SOFT, "oil": HARD})
    assert codes(found.contradictions) == ("quench_contradiction",)
    assert found.carbon is None
    assert "contradict" in found.summary()
    assert "oil gave" in found.details[0]


def test_soft_in_water_does_not_harden():
    found = quench_response({"water": fit_hardness(value=[40, 41])})
    assert found.hardens_in == "none"
    assert "does_not_harden" in codes(found.doubts)


def test_soft_in_oil_alone_leaves_water_open():
    assert quench_response({"oil": fit_hardness(value=[40, 41])}).hardens_in == "unclear"


def test_air_hardening_is_named_with_its_danger():
    found = quench_response({"water": HARD, "oil": HARD, "air": fit_hardness(value=[60, 61])})
    assert found.hardens_in == "air"
    assert "air_hardening" in codes(found.doubts)


def test_harder_after_the_temper_is_a_contradiction():
    found = quench_response(
        {"water": fit_hardness(value=[52, 52])}, tempered=fit_hardness(value=[60])
    )
    assert "temper_contradiction" in codes(found.contradictions)


def test_harder_than_the_analysed_carbon_allows_is_a_contradiction():
    found = quench_response({"water": HARD}, carbon_pct=0.2)
    assert "carbon_contradiction" in codes(found.contradictions)
    assert not quench_response({"water": HARD}, carbon_pct=0.6).contradictory


def test_thick_section_is_a_warning_in_words():
    found = quench_response({"oil": HARD}, coupon_mm=3, section_mm=8)
    assert "thick_section" in codes(found.doubts)


def test_edge_thinner_than_the_coupon_may_still_harden_in_oil():
    found = quench_response({"water": HARD, "oil": SOFT}, coupon_mm=6, section_mm=2)
    assert "thin_edge" in codes(found.doubts)


def test_needs_a_quench():
    with pytest.raises(UnusableInput, match="no as-quenched hardness"):
        quench_response({}, tempered=HARD)


def test_json_is_plain():
    found = quench_response({"water": HARD, "oil": SOFT}, martensite=(0.9, 1.0))
    assert json.loads(json.dumps(found.to_dict(), allow_nan=False))["hardens_in"] == "water"
