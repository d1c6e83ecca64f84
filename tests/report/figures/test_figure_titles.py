"""What a document's figures and tables call a blade, once the names of codes came back."""

import dataclasses

from edgetest.doubts import doubt
from edgetest.report.figures.comparison_figures import plot_lives
from edgetest.report.figures.figure_titles import treatments_of, with_titles
from edgetest.report.figures.wear_figures import plot_wear_panel
from tests.report.stand_ins import curve, study_result

ALONE = doubt("no_comparison", why="one heat treatment")
CODES = {"unsealed": "2026-11-29", "codes": ["PQY", "YBB"]}


def titled(folder, plan, *, runs=("PQY · roll 1", "PQY · roll 2", "YBB", "K3")):
    found = study_result(
        folder, blades=[curve(name, 200 + 10 * k) for k, name in enumerate(runs)],
        treatments=["hard"] * len(runs), photos=[], plan=plan,
    )  # fmt: skip
    study = found.study.model_copy(update={"blades": [
        blade.model_copy(update={"id": code, "title": title})
        for blade, code, title in zip(found.study.blades, ("PQY", "YBB", "K3"),
                                      ("H1", "H2", "long hook"), strict=False)
    ]})  # fmt: skip
    readings = [dataclasses.replace(one, blade=one.run.split(" · ")[0]) for one in found.readings]
    alone = dataclasses.replace(found.compared, comparison=None)
    more = {"readings": tuple(readings), "compared": alone, "study_doubts": (ALONE,)}
    return with_titles(dataclasses.replace(found, study=study, **more))


def test_a_blade_that_went_by_a_code_has_its_name_at_the_axes(tmp_path):
    found = titled(tmp_path, CODES)
    names = ["PQY (H1) · roll 1", "PQY (H1) · roll 2", "YBB (H2)", "K3"]
    assert [fit.blade for fit in found.fit.blades] == names
    assert {one.run for one in found.readings} == set(names)
    assert {one.blade for one in found.readings} == {"PQY", "YBB", "K3"}
    treatments = treatments_of(found)
    assert treatments == ["hard"] * 4
    rows = plot_lives(found.fit.blades, treatments).get_yticklabels()
    assert [label.get_text() for label in rows] == names
    panels = plot_wear_panel(
        found.fit.blades, treatments, limit=12.0, readings=found.readings, columns=2
    )
    assert [ax.get_title("left") for ax in panels] == names


def test_codes_stay_codes_while_the_names_are_sealed(tmp_path):
    found = titled(tmp_path, {"sealed": "x", "codes": ["PQY", "YBB"]})
    assert [fit.blade for fit in found.fit.blades][2:] == ["YBB", "K3"]
