"""What one study gives to the shop's memory: logs of lives, bounds that spoil an arm, faults."""

from math import log, sqrt

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.shop.study_lives import StudyLives, lives_of_study

BLADES = [
    {"id": "A1", "heat_treatment": "soft", "steel": "1084", "batch": "load 1"},
    {"id": "A2", "heat_treatment": "soft", "steel": "1084"},
    {"id": "B1", "heat_treatment": "hard", "steel": "1084"},
    {"id": "B2", "heat_treatment": "hard", "steel": "1084"},
    {"id": "K", "title": "old knife"},
]


def remembered(tmp_path, log_text, **more):
    folder = new_study(
        tmp_path / "lives", "sisal_rope", "Lives", blades=BLADES,
        heat_treatments=[{"id": "soft", "title": "oil, 200 °C"}, {"id": "hard"}], **more,
    ).folder  # fmt: skip
    (folder / "log.csv").write_text(log_text, encoding="utf-8")
    return lives_of_study(folder)


def test_lives_are_kept_as_logs_and_a_range_as_a_flat_distribution(tmp_path):
    """Between 200 and 300: the middle of the logs, their distance over sqrt(12)."""
    found = remembered(tmp_path, "blade,life\nA1,250\nA2,200-300\nB1,400\nB2,500\n")
    runs = {run.blade: run for run in found.runs}
    assert found.fault == ""
    assert runs["A1"].log_life == pytest.approx(log(250))
    assert runs["A1"].log_life_se == 0.0
    assert runs["A2"].log_life == pytest.approx((log(200) + log(300)) / 2)
    assert runs["A2"].log_life_se == pytest.approx(log(1.5) / sqrt(12))
    assert runs["A1"].batch == "load 1"
    assert runs["A1"].arm == runs["A2"].arm
    assert runs["A1"].arm.startswith("1084: ")
    assert "oil, 200 °C" in runs["A1"].arm
    assert runs["B1"].arm == "1084: hard"


def test_a_bound_takes_its_whole_arm_out_of_what_is_read(tmp_path):
    """Longer than 400, or between 100 and 201, is no life; 100 to 200 still is."""
    found = remembered(tmp_path, "blade,life\nA1,250\nA2,100-201\nB1,400\nB2,100-200\n")
    assert found.bounds == (next(run.arm for run in found.runs if run.blade == "A1"),)
    assert {run.blade for run in found.runs} == {"A1", "B1", "B2"}
    assert {run.blade for run in found.read_runs} == {"B1", "B2"}
    stopped = remembered(tmp_path / "more", "blade,life\nA1,250\nA2,260\nB1,>400\nB2,500\n")
    assert stopped.bounds == ("1084: hard",)


def test_a_control_is_known_by_itself(tmp_path):
    text = "blade,life\nA1,250\nB1,400\nK,300\nK,310\n"
    found = remembered(tmp_path, text, control="K")
    assert found.control == "control blade K, old knife"
    assert {run.arm for run in found.runs if run.blade == "K"} == {found.control}
    assert StudyLives.from_dict(found.to_dict()) == found


def test_a_study_without_a_life_says_why(tmp_path):
    empty = remembered(tmp_path, "blade,life\n")
    assert empty.fault == "no wear of an edge was logged"
    assert empty.title == "Lives"
    bare = remembered(tmp_path / "more", "blade,life\nA1,>250\nB1,>300\n")
    assert bare.runs == ()
    assert "no blade has a life" in bare.fault
