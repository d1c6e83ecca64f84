"""Heat treatments that differ in more than one step: which of them did it is not told."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse

NORMALISE = {"kind": "normalise", "temperature_c": 870, "repeats": 3}
QUENCH = {"kind": "quench", "medium": "oil"}
TEMPER = {"kind": "temper", "temperature_c": 200, "time_min": 60, "repeats": 2}


def said(folder, soft, hard):
    """What a study of two such heat treatments (invented) says of their steps."""
    blades = [
        {"id": f"{side}{i}", "heat_treatment": side, "batch": f"{side} {i}"}
        for side in ("soft", "hard")
        for i in (1, 2)
    ]
    treatments = [
        {"id": "soft", "title": "Soft temper", "steps": soft},
        {"id": "hard", "steps": hard},
    ]
    study = new_study(folder / "s", "sisal_rope", "s", blades=blades, heat_treatments=treatments)
    lines = ["blade,cuts,edge_width_um"]
    for i, blade in enumerate(blades):
        for cuts in (0, 25, 50, 100, 200):
            lines.append(f"{blade['id']},{cuts},{(4 + 0.5 * cuts * (1 + 0.1 * i)) ** 0.5:.3f}")
    (study.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    found = analyse(open_source(study.folder), AnalysisOptions(limit=9.0))
    return [one.text for one in found.doubts if one.code == "several_steps_changed"]


def test_two_changed_steps_are_counted_and_named(tmp_path):
    soft = [NORMALISE, QUENCH, TEMPER]
    hard = [{**NORMALISE, "repeats": 1}, QUENCH, {**TEMPER, "temperature_c": 180}]
    (text,) = said(tmp_path, soft, hard)
    assert text.startswith(
        "Two things differ between Soft temper and hard, as far as noted: normalise"
    )


def test_a_step_left_out_is_a_change_too(tmp_path):
    (text,) = said(tmp_path, [NORMALISE, QUENCH, TEMPER], [QUENCH, {**TEMPER, "repeats": 1}])
    assert "normalise (noted of Soft temper alone) and temper" in text


@pytest.mark.parametrize("hard", [[NORMALISE, QUENCH, {**TEMPER, "temperature_c": 180}], []])
def test_one_changed_step_or_none_noted_is_no_doubt(tmp_path, hard):
    assert said(tmp_path, [NORMALISE, QUENCH, TEMPER], hard) == []
