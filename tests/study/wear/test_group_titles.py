"""Blades by name: title and heat treatment where they say something, nothing where blind."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.group_titles import bare_titles_of, blade_names, titles_of


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


def of_titles(*titles):
    named = [SimpleNamespace(id=f"t{k}", title=title) for k, title in enumerate(titles)]
    return SimpleNamespace(blades=[], heat_treatments=named, plan=None)


@pytest.mark.parametrize(
    "title", ["tempered at 200 °C", "Normalised three times", "as forged", "without cryo"]
)
def test_a_title_that_is_no_name_stands_in_quotation_marks_and_so_do_the_others(title):
    both = of_titles(title, "temper 250 °C")
    assert titles_of(both) == {"t0": f"“{title}”", "t1": "“temper 250 °C”"}
    assert bare_titles_of(both) == {"t0": title, "t1": "temper 250 °C"}


def test_titles_that_read_as_names_and_ids_stand_as_they_are():
    names = of_titles("temper 260 °C", "assay steel", "double temper", "")
    assert titles_of(names) == bare_titles_of(names)
    assert titles_of(names)["t3"] == "t3"
    assert titles_of(of_titles("quenched", "quenched")) == titles_of(None) == {}
