"""Blades by name: title and heat treatment where they say something, nothing where blind."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.group_titles import blade_names


def study(plan=None):
    blades = [
        SimpleNamespace(id="H1", title="long hook", heat_treatment="t180"),
        SimpleNamespace(id="H2", title="billhook H2", heat_treatment="t220"),
        SimpleNamespace(id="C1", title="", heat_treatment=None),
    ]
    named = [SimpleNamespace(id="t180", title="180 °C"), SimpleNamespace(id="t220", title="")]
    return SimpleNamespace(blades=blades, heat_treatments=named, plan=plan)


def test_a_blade_is_named_with_its_title_and_its_heat_treatment_s():
    assert blade_names(study()) == {
        "H1": "H1, long hook (180 °C)", "H2": "billhook H2 (t220)", "C1": "C1",
    }  # fmt: skip


@pytest.mark.parametrize("plan", [{"sealed": "x"}, {"blinded": True}])
def test_a_blinded_study_names_none(plan):
    assert blade_names(study(plan)) == {}
