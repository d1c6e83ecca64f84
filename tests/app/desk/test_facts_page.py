"""Every fact of a study is typed on one page, saved at once, kept where it cannot stand yet."""

import shutil
from pathlib import Path

import pytest

from edgetest.store.records import load_study
from edgetest.store.workspace import new_study
from edgetest.study.facts.set_facts import facts_at
from tests.app.test_navigation_pages import page, words

HATCHET = Path(__file__).parents[3] / "sample_runs" / "camp_hatchet_study"


@pytest.fixture
def workspace(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    return tmp_path


@pytest.fixture
def hatchet(workspace):
    return Path(shutil.copytree(HATCHET, workspace / "hatchet"))


def opened(folder, part="Blades"):
    run = page("blades").run()
    if part != "Blades":
        run.segmented_control(key=f"kept.{folder.name}.choice facts part.").set_value(part).run()
    assert not run.exception
    return run


def field(run, folder, *place):
    *card, fact = map(str, place)
    return run.text_input(key=f"kept.{folder.name}.facts.{'.'.join(card)}.{fact}")


def choice(run, folder, name):
    return run.selectbox(key=f"kept.{folder.name}.choice {name}.")


def test_a_length_in_inches_stays_as_typed(hatchet):
    run = opened(hatchet)
    field(run, hatchet, "blades", "H1", "edge_length_mm").set_value("3 1/8 in").run()
    assert not run.exception
    assert facts_at(hatchet, ("blades", "H1"))["edge_length_mm"] == "3 1/8 in"
    assert "Last change: blades, H1, edge_length_mm" in words(run)
    run.button(key="facts_undo").click().run()
    assert facts_at(hatchet, ("blades", "H1"))["edge_length_mm"] == 80
    assert field(run, hatchet, "blades", "H1", "edge_length_mm").value == "80"


def test_what_cannot_stand_yet_is_kept_and_told_after_a_reload(workspace):
    new_study(workspace / "one", "billet_chop", "one", blades=("H1",))
    folder = workspace / "one"
    run = opened(folder, "Grip and swing")
    field(run, folder, "handling", "H1", "grip_mm").set_value("2 1/2 in").run()
    run = opened(folder, "Grip and swing")  # a reload: nothing of the session is left
    assert field(run, folder, "handling", "H1", "grip_mm").value == "2 1/2 in"
    assert "not part of the study yet" in words(run)
    assert "Where it strikes, mm" in words(run)
    assert load_study(folder).handling is None
    field(run, folder, "handling", "H1", "strike_mm").set_value("12 in").run()
    assert "not part of the study yet" not in words(run)
    assert load_study(folder).handling == {"H1": {"grip_mm": "2 1/2 in", "strike_mm": "12 in"}}


def test_blades_and_heat_treatments_are_added_and_joined(workspace):
    new_study(workspace / "one", "sisal_rope", "one", blades=("K1",))
    folder = workspace / "one"
    run = opened(folder, "Heat treatments")
    run.text_input(key="kept.one.new heat_treatments.name").set_value("temper 190 °C twice").run()
    run.button(key="new_heat_treatments.add").click().run()
    choice(run, folder, "facts step").set_value("temper").run()
    run.button(key="facts_add_step").click().run()
    treatment = load_study(folder).heat_treatments[0]
    step = ("heat_treatments", treatment.id, "steps", 0)
    field(run, folder, *step, "temperature_c").set_value("375 °F").run()
    field(run, folder, *step, "repeats").set_value("2").run()
    assert load_study(folder).heat_treatments[0].words() == "temper 2 × 375 °F"
    run.segmented_control(key="kept.one.choice facts part.").set_value("Blades").run()
    run.text_input(key="kept.one.new blades.name").set_value("K2").run()
    run.button(key="new_blades.add").click().run()
    assert choice(run, folder, "facts blade").value == "K2"
    run.selectbox(key="kept.one.fact.blades.K2.heat_treatment.heat_treatment").set_value(
        treatment.id
    ).run()
    assert load_study(folder).heat_treatment_of("K2") == treatment.id
    run.button(key="facts_take_blade").click().run()
    assert [blade.id for blade in load_study(folder).blades] == ["K1"]


def test_a_step_that_was_forgotten_comes_before_the_one_that_it_came_before(workspace):
    treatment = {"id": "a", "steps": [{"kind": "temper", "temperature_c": 200}]}
    folder = workspace / "one"
    new_study(folder, "sisal_rope", "one", blades=("A1",), heat_treatments=(treatment,))
    run = opened(folder, "Heat treatments")
    for kind, place in (("quench", "before step 1, temper 200 °C"),
                        ("austenitise", "before step 1, quench"),
                        ("temper", "behind all others")):  # fmt: skip
        choice(run, folder, "facts step").set_value(kind).run()
        choice(run, folder, "facts step before").set_value(place).run()
        run.button(key="facts_add_step").click().run()
        assert not run.exception
    steps = [step.kind for step in load_study(folder).heat_treatments[0].steps]
    assert steps == ["austenitise", "quench", "temper", "temper"]
    run.button(key="facts_undo").click().run()
    assert len(load_study(folder).heat_treatments[0].steps) == 3


def test_a_blade_with_a_row_in_the_log_cannot_be_taken_away(hatchet):
    run = opened(hatchet)
    assert "facts_take_blade" not in [button.key for button in run.button]


@pytest.mark.parametrize("part", ["Heat treatments", "Grip and swing", "Outline", "The study"])
def test_every_part_of_a_whole_study_opens(hatchet, part):
    run = opened(hatchet, part)
    assert not run.error
    assert not run.warning


def test_a_place_that_is_no_number_is_named(hatchet):
    run = opened(hatchet, "Outline")
    run.text_area(key="kept.hatchet.facts.outline.H1.thicknesses").set_value(
        "0 6.4\n250 thick"
    ).run()
    assert '"thick" is not a number' in words(run)
    assert load_study(hatchet).outline["H1"]["thicknesses"][0] == [0, 6.4]


def test_a_silhouette_with_its_length_becomes_the_outline(hatchet):
    run = opened(hatchet, "Outline")
    choice(run, hatchet, "facts blade").set_value("C1").run()
    picture = next((hatchet / "photos").glob("C1_silhouette*"))
    upload = (picture.name, picture.read_bytes(), "image/jpeg")
    run.file_uploader(key="silhouette.C1").set_value(upload).run()
    run.button(key="silhouette.take.C1").click().run()
    assert "measure butt to tip" in words(run).casefold()
    assert facts_at(hatchet, ("outline", "C1"))["scale"] == "silhouette"
    run.text_input(key="kept.hatchet.silhouette of C1.length").set_value("15 3/4 in").run()
    run.button(key="silhouette.take.C1").click().run()
    assert not run.exception
    after = facts_at(hatchet, ("outline", "C1"))
    assert after["mm_per_px"] == pytest.approx(0.4, rel=0.01)
    assert "scale" not in after
