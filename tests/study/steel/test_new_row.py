"""A fault of a row typed just now is told of the new row; one of the file by its number there."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study, study_of
from edgetest.study.steel.evidence_edit import add_row
from edgetest.study.steel.new_row import with_its_heat

FOUR = "".join(f'[[evidence.pieces]]\nid = "{k}"\n' for k in "abcd")


@pytest.fixture
def four(tmp_path):
    folder = tmp_path / "four"
    folder.mkdir()
    (folder / "study.toml").write_text('title = "four"\n' + FOUR, encoding="utf-8")
    return folder


def test_a_fault_of_a_new_row_counts_no_row_that_is_not_there(run, four):
    code, _, err = run("enter", four, "--evidence", "pieces", "id=e", "origin=leafspring")
    assert code == 2
    assert err.startswith("study.toml, evidence, the new row of pieces, origin: ")
    assert "pieces 5" not in err
    code, _, err = run("enter", four, "--evidence", "heats", "piece=a", "medium=oyl")
    assert code == 2
    assert err.startswith("study.toml, evidence, the new row of heats, medium: ")


def test_a_fault_of_the_file_is_told_by_its_row_there(run, four):
    text = (four / "study.toml").read_text("utf-8")
    (four / "study.toml").write_text(
        text.replace('id = "c"', 'id = "c"\nmagnet = "a bit"'), "utf-8"
    )
    code, out, err = run("check", four)
    assert code == 2
    assert "evidence, pieces 3 (c), magnet: " in out + err


def test_the_page_tells_it_alike(four):
    with pytest.raises(UnusableInput) as met:
        add_row(four, "pieces", {"id": "e", "magnet": "a bit"})
    assert met.value.where == "study.toml, evidence, the new row of pieces, magnet"


@pytest.mark.parametrize(
    ("cell", "mend"),
    [
        ("temperature_f=1475", 'write heat_c = "1475 °F"'),
        ("heat_f=1475", 'write heat_c = "1475 °F"'),
        ("temperature_f=1475 F", 'write heat_c = "1475 F"'),
        ("temperature_c=802", 'write heat_c = "802 °C"'),
        ("medium_f=140", 'write medium_c = "140 °F"'),
    ],
)
def test_a_temperature_of_a_heat_under_another_name_is_told_its_own(run, four, cell, mend):
    code, _, err = run("enter", four, "--evidence", "heats", "piece=a", cell)
    assert code == 2
    assert mend in err


def test_what_is_typed_after_a_second_heat_is_of_that_heat(run, four):
    blade = ("piece=a", "coupon=blade1")
    temper = ("--evidence", "tempers", *blade, "temperature_c=230 °C")
    trial = ("--evidence", "trials", *blade, "test=chop", "result=same")
    run("enter", four, "--evidence", "heats", *blade, "heat_c=810 °C")
    run("enter", four, *temper)
    run("enter", four, *trial, "edge=rolled")
    run("enter", four, "--evidence", "heats", *blade, "heat=2", "heat_c=800 °C")
    run("enter", four, *temper[:-1], "temperature_c=215 °C")
    run("enter", four, *trial, "edge=sound")
    rows = load_study(four).evidence
    assert [row.get("heat") for row in rows["tempers"]] == [1, 2]
    assert [row.get("heat") for row in rows["trials"]] == [1, 2]


@pytest.mark.parametrize(
    ("trial", "degrees", "temper_c"),
    [({}, (215,), 215), ({}, (215, 230), None), ({"temper_c": 200}, (215,), 200),
     ({"coupon": "2"}, (215,), None), ({"heat": 2}, (215,), None)],
)  # fmt: skip
def test_a_new_trial_keeps_the_only_temper_that_stood_when_it_was_typed(
    tmp_path, trial, degrees, temper_c
):
    tempers = [{"coupon": "1", "temperature_c": at, "for_use": True} for at in degrees]
    study = study_of({"title": "x", "evidence": {"tempers": tempers}}, tmp_path)
    told = with_its_heat("trials", {"coupon": "1", "test": "chop", **trial}, study)
    assert told.get("temper_c") == temper_c


def test_a_new_trial_keeps_a_temper_that_was_typed_in_fahrenheit(tmp_path):
    tempers = [{"coupon": "1", "temperature_f": 450}, {"coupon": "2", "temperature_f": "450 F"}]
    study = study_of({"title": "x", "evidence": {"tempers": tempers}}, tmp_path)
    told = [with_its_heat("trials", {"coupon": k, "test": "chop"}, study) for k in "12"]
    assert [one["temper_c"] for one in told] == ["450 °F", "450 F"]


def test_the_last_heat_of_a_coupon_is_counted_as_the_verdict_counts_it():
    told = {"coupon": "1", "medium": "oil"}
    study = SimpleNamespace(evidence={"heats": [told, dict(told)]})  # one heat, told twice
    assert with_its_heat("tempers", {"coupon": "1"}, study) == {"coupon": "1", "heat": 1}
    study.evidence["heats"].append({"coupon": "1", "medium": "air"})
    assert with_its_heat("tempers", {"coupon": "1"}, study) == {"coupon": "1", "heat": 2}


def test_a_replacement_of_a_piece_that_is_not_there_names_those_that_are(run, four):
    code, _, err = run("enter", four, "--evidence", "pieces", "id=zz", "--replace", "coating=none")
    assert code == 2
    assert "there is no row to replace a cell of; known: a, b, c, d; it goes with the id" in err
