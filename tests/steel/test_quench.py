import json

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.quench import quench_response

HARD = fit_hardness(value=[62, 62.5])
SOFT = fit_hardness(lower=[-np.inf], upper=[45])


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
