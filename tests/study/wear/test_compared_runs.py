"""Which runs are compared: by heat treatment or blade, with batches and blocks that all have."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.compared_runs import NoComparison, compared_runs
from edgetest.study.wear.study_readings import used_readings
from tests.study.wear.logs_of_wedges import log_of


def runs_of(tmp_path, text, control=None, study=None):
    source = replace(open_source(log_of(tmp_path, text)), study=study)
    return compared_runs(source, used_readings(source, "life")[0], control)


def test_blades_without_any_heat_treatment_are_compared_as_they_are(tmp_path):
    runs = runs_of(tmp_path, "blade,life\na,100\nb,200\n")
    assert runs.treatment == {"a": "a", "b": "b"}
    assert runs.columns(["a", "b"]) == {
        "blade": ["a", "b"], "treatment": ["a", "b"], "batch": ["", ""], "block": None,
    }  # fmt: skip


def test_blocks_are_handed_on_only_where_every_run_has_one(tmp_path):
    text = "blade,heat_treatment,block,life\na,x,1,100\nb,y,1,200\nc,y,,210\n"
    runs = runs_of(tmp_path, text)
    assert runs.columns(["a", "b"])["block"] == ["1", "1"]
    assert runs.columns(["a", "b", "c"])["block"] is None
    assert runs.names == ("a", "b", "c")


def test_a_control_is_no_side_and_counts_only_where_it_has_a_life(tmp_path):
    text = "blade,heat_treatment,life\na,x,100\nb,y,200\nK,,150\n"
    runs = runs_of(tmp_path, text, control="K")
    assert runs.sides(["a", "b", "K"]) == ["x", "y"]
    assert runs.of_control == {"K"}
    options = AnalysisOptions(control="K")
    assert runs.control_among(["a", "K"], options).control == "K"
    assert runs.control_among(["a", "b"], options).control is None
    with pytest.raises(NoComparison, match="no heat treatment is named for K"):
        runs_of(tmp_path, text)


def test_a_control_without_a_batch_hides_none_of_the_others(tmp_path):
    runs = runs_of(tmp_path, "blade,heat_treatment,life\na,x,100\nb,y,200\nK,,150\n", "K")
    noted = replace(runs, batch={"a": "2 May", "b": "3 May", "K": None})
    assert noted.columns(["a", "b", "K"])["batch"] == ["2 May", "3 May", ""]
    unknown = replace(runs, batch={"a": "2 May", "b": None, "K": None})
    assert unknown.columns(["a", "b", "K"])["batch"] == ["2 May", "", ""]


def test_one_heat_treatment_is_no_comparison(tmp_path):
    with pytest.raises(NoComparison, match="test blades of a second one"):
        runs_of(tmp_path, "blade,heat_treatment,life\na,x,100\nb,x,200\n")
    text = "blade,heat_treatment,life\na,x,100\nK,y,150\n"
    with pytest.raises(NoComparison, match="second one"):
        runs_of(tmp_path, text, control="K")


def test_codes_of_sealed_names_are_not_compared(tmp_path):
    study = SimpleNamespace(
        plan={"sealed": "names"}, blades=(), edge_width_from="log", heat_treatment_of=lambda _: None
    )
    with pytest.raises(NoComparison, match=r"are sealed.* after its last reading"):
        runs_of(tmp_path, "blade,life\na,100\nb,200\n", study=study)
