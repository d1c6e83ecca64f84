"""The part of a document that says what was tested: as typed, and 'not noted' where blank."""

import json
from types import SimpleNamespace

import pytest

from edgetest.report.documents import what_was_tested
from edgetest.store.workspace import new_study


@pytest.fixture
def said(tmp_path):
    def said(units="metric", **blade):
        steps = [
            {"kind": "austenitise", "temperature_c": "1500 °F", "soak_min": 5},
            {"kind": "temper", "temperature_f": 400, "time_min": "2 h", "repeats": 2},
        ]
        study = new_study(
            tmp_path / units, "sisal_rope", "Typed",
            blades=[{"id": "K1", "heat_treatment": "low", **blade}],
            heat_treatments=[{"id": "low", "steps": steps}],
        )  # fmt: skip
        result = SimpleNamespace(
            study=study, protocol=study.rules, reading="edge_width_um", limit=12.0
        )
        return json.dumps(what_was_tested.tested_section(result, units), ensure_ascii=False)

    return said


def test_temperatures_times_and_sizes_are_printed_as_they_were_typed(said):
    words = said(thickness_behind_edge_mm="1/32 in")
    assert "austenitise 1500 °F, soak 5 min; temper 2 × 400 °F, 2 h" in words
    assert "1/32 in" in words


def test_both_units_add_celsius_to_what_was_typed(said):
    assert "1500 °F (816 °C)" in said("both")
    assert "1500 °F," in said("inch")


def test_what_nobody_filled_in_is_not_noted_and_never_the_protocols(said):
    words = said()
    listed = "Steel; Edge angle; Edge finish; Behind the edge; Wanted, HRC; Measured, HRC"
    assert "Not noted" in words
    assert listed in words
    assert "per side" not in words.split("Not noted")[1]
    assert "It asks for" in words
