"""A blade's label put right at the prompt: kept in the history, taken back, told in documents."""

import json

import pytest

from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.store.document_wishes import settings_of
from edgetest.store.records import load_study
from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import comparison_of
from tests.study.wear.test_ended_looks import cut, first, study_of

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

TO_H = ("--blade", "S4", "heat_treatment=H")


def test_a_blade_is_put_right_kept_and_taken_back(tmp_path, run):
    folder = study_of(tmp_path)
    code, _, fault = run("enter", folder, *TO_H)
    assert code == 2
    assert 'heat_treatment is "S" already; correct it with --replace' in fault
    said = run("enter", folder, *TO_H, "--replace")[1]
    assert load_study(folder).heat_treatment_of("S4") == "H"
    assert said.startswith('study.toml: blades, S4, heat_treatment: "S" → "H"')
    assert '"S" → "H"' in run("history", folder)[1]
    assert run("undo", folder)[0] == 0
    assert load_study(folder).heat_treatment_of("S4") == "S"


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        (("--blade", "S9", "batch=x"), 'there is no blade "S9"'),
        (("--blade", "S4", "cuts=3"), "cuts: no fact of a blade"),
        ((*TO_H, "--evidence", "pieces"), "--blade is for facts of a blade"),
        (("--blade", "S4", "heat_treatment=G", "--replace"), 'unknown heat treatment "G"'),
        (("blade=S4", "heat_treatment=H"), "give it with --blade S4"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_its_mend(tmp_path, run, cells, told):
    folder = study_of(tmp_path)
    before = (folder / "study.toml").read_bytes()
    code, _, fault = run("enter", folder, *cells)
    assert (code, told in fault) == (2, True), fault
    assert (folder / "study.toml").read_bytes() == before


def test_enters_help_tells_how_a_mixed_up_heat_treatment_is_put_right(run):
    told = " ".join(run("enter", "--help")[1].split())
    assert "--blade ID" in told
    assert "a heat treatment or batch that was mixed up: heat_treatment=" in told


def test_the_document_tells_a_label_changed_once_its_blade_was_read(tmp_path, run):
    folder = study_of(tmp_path)
    cut(folder, *first(8))
    assert run("enter", folder, *TO_H, "--replace")[0] == 0
    assert run("undo", folder)[0] == 0
    assert run("enter", folder, "blade=S5", "life=320")[0] == 0
    assert run("enter", folder, "--blade", "S5", "heat_treatment=H", "--replace")[0] == 0
    assert run("enter", folder, "--blade", "S6", "batch=other", "--replace")[0] == 0
    result = comparison_of(open_source(folder))
    contents = comparison_contents(result, settings_of(result.study), day="2026-05-14")
    told = json.dumps(contents.sections, ensure_ascii=False, default=str)
    assert "Named otherwise after its last reading" in told
    assert 'S5: heat treatment \\"S\\" → \\"H\\" (' in told
    assert "S4: heat treatment" not in told
    assert "S6: batch" not in told  # nobody read that blade yet
