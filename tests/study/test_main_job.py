"""The sample run of two tempers, from photographs to the answer, against its own truth."""

import json
import shutil
from dataclasses import replace

import numpy as np
import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.places import shipped
from edgetest.study.photos.corrections import correct, corrections, read_entries
from edgetest.study.photos.measure_changed import measure_tasks
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.measured_table import read_rows
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.study_photos import photo_tasks
from edgetest.study.wear.study_readings import used_readings

RUN = "billhook_temper_study"


@pytest.fixture(scope="module")
def folder(measured_run):
    return measured_run


@pytest.fixture(scope="module")
def truth(folder):
    return json.loads((folder / "truth.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def result(folder):
    return analyse(open_source(folder))


def test_widths_agree_with_what_the_photographs_were_rendered_from(result, truth):
    measured = [photo for photo in result.photos if photo.measured]
    assert len(measured) == 215
    # Fresh edges a little out of focus, which a narrower land behind a wider lens would look like.
    limits = [photo for photo in measured if photo.numbers["width_um"] is None]
    assert len(limits) <= len(measured) / 50
    for photo in limits:
        assert truth["photos"][photo.photo]["width_um"] < photo.numbers["below_um"]
        assert "wide_or_blurred" in [one["code"] for one in photo.numbers["doubts"]]
    measured = [photo for photo in measured if photo not in limits]
    mean = np.array([photo.numbers["width_um"]["mean"] for photo in measured])
    true = np.array([truth["photos"][photo.photo]["width_um"] for photo in measured])
    low = np.array([photo.numbers["width_um"]["low"] for photo in measured])
    high = np.array([photo.numbers["width_um"]["high"] for photo in measured])
    error = mean / true - 1
    assert abs(error.mean()) < 0.002
    assert error.std() < 0.006
    assert 0.92 <= np.mean((low <= true) & (true <= high)) <= 1.0


def test_the_photograph_out_of_focus_is_refused_and_said(result):
    refused = [photo for photo in result.photos if not photo.measured]
    assert [photo.photo for photo in refused] == ["H2_roll2_050_040.jpg"]
    assert refused[0].numbers["reasons"][0]["text"]
    assert "photograph_refused" in [one.code for one in result.study_doubts]


def test_lives_agree_with_the_truth(result, truth):
    for name, true in truth["lives_cuts"].items():
        blade, roll = name.split(" on ")
        run = f"C1 · {roll}" if blade == "C1" else blade
        life = result.fit[run].life
        assert life.low <= true <= life.high, name
        assert abs(np.log(life.cuts / true)) < 0.07, name


def test_the_ratio_holds_the_truth_with_the_roll_taken_out(result, truth):
    ratio = result.comparison.ratio
    assert ratio.low < truth["ratio_of_median_lives_190_to_260"] < ratio.high
    assert result.comparison.scope == "heat_treatments"
    assert ratio.df == 2  # three rolls with a blade of each: within them, and no control needed
    groups = {group.treatment: group.n for group in result.comparison.groups}
    assert groups == {"temper_260": 3, "temper_190": 3}


def test_the_scales_error_counts_twice_in_a_worn_area(folder, result):
    areas = analyse(
        open_source(folder), AnalysisOptions(reading="worn_area_um2", limit=134.35), compare=False
    )
    width = result.fit["H1"].life
    area = areas.fit["H1"].life  # 12 µm wide, 30° included: 134.35 µm²
    assert area.cuts == pytest.approx(width.cuts, rel=0.03)
    # Twice the error on a curve of half the slope: the same share of the life.
    assert area.log_life_shared_u == pytest.approx(width.log_life_shared_u, rel=0.1)
    assert width.log_life_shared_u < 0  # pictures read too large end a life too early


def test_an_excluded_row_stays_visible_with_its_reason(result):
    left_out = [reading for reading in result.readings if reading.excluded]
    assert [(each.blade, each.cuts, each.station) for each in left_out] == [("S2", 100.0, "60")]
    assert "clamp" in left_out[0].reason


def test_a_second_run_measures_nothing_that_has_not_changed(folder, result, monkeypatch):
    source = open_source(folder)
    tasks, _ = photo_tasks(source)
    monkeypatch.setattr("edgetest.study.photos.measure_photos.measure_photo", None)
    again = measure_tasks(tasks, folder)
    assert [photo.numbers for photo in again] == [photo.numbers for photo in result.photos]


def test_a_changed_scale_is_measured_again(folder, result):
    task = photo_tasks(open_source(folder))[0][0]
    doubled = replace(task, um_per_px=2 * task.um_per_px)
    one = measure_tasks([task], folder)[0].numbers["width_um"]["mean"]
    two = measure_tasks([doubled], folder)[0].numbers["width_um"]["mean"]
    assert two == pytest.approx(2 * one, rel=1e-9)
    measure_tasks([task], folder)


def test_a_typed_width_is_shown_beside_the_measured_one(tmp_path):
    folder = tmp_path / RUN
    shutil.copytree(shipped("sample_runs") / RUN, folder)
    log = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    name = log[1].split(",")[4]
    log = [log[0], log[1].replace(",20,,", ",20,3.3,", 1)]
    (folder / "log.csv").write_text("\n".join(log) + "\n", encoding="utf-8")
    source = open_source(folder)
    photos = measure_tasks(photo_tasks(source)[0], folder)
    readings, doubts = used_readings(source, "edge_width_um", photos)
    assert readings[0].photo == name
    assert readings[0].typed == 3.3
    assert readings[0].measured == readings[0].value
    assert readings[0].source == "photograph"
    assert [one.code for one in doubts] == ["both_typed_and_measured", "typed_and_measured_apart"]
    toml = (folder / "study.toml").read_text(encoding="utf-8")
    toml = toml.replace('edge_width_from = "photographs"', 'edge_width_from = "log"')
    (folder / "study.toml").write_text(toml, encoding="utf-8")
    readings, _ = used_readings(open_source(folder), "edge_width_um", photos)
    assert readings[0].value == 3.3
    assert readings[0].source == "log"


def test_a_correction_is_used_and_never_overwrites_the_automatic_one(tmp_path):
    folder = tmp_path / RUN
    shutil.copytree(shipped("sample_runs") / RUN, folder)
    source = open_source(folder)
    task = photo_tasks(source)[0][0]
    automatic = measure_tasks([task], folder)[0]
    name = task.path.name
    correct(folder, name, "region", [60, 0, 260, 240], who="maker", when="2026-11-20")
    correct(folder, name, "um_per_px", 0.8, who="maker", when="2026-11-21")
    task = photo_tasks(open_source(folder))[0][0]
    assert task.correction.region == (60, 0, 260, 240)
    corrected = measure_tasks([task], folder)[0]
    ratio = corrected.numbers["width_um"]["mean"] / automatic.numbers["width_um"]["mean"]
    assert 1.9 < ratio < 2.1
    entries = read_entries(folder)
    assert [(entry.kind, entry.before, entry.who) for entry in entries] == [
        ("region", None, "maker"),
        ("um_per_px", None, "maker"),
    ]
    assert (name, True) in read_rows(folder)
    correct(folder, name, "region", None, who="maker", when="2026-11-22")
    correct(folder, name, "um_per_px", None, who="maker", when="2026-11-22")
    assert corrections(folder)[name].key() == ""
    task = photo_tasks(open_source(folder))[0][0]
    assert measure_tasks([task], folder)[0].numbers == automatic.numbers


def test_without_a_scale_a_photograph_is_refused(folder):
    path = folder / "photos" / "S1_roll1_000_020.jpg"
    numbers = measure_photo(Task(path, None)).numbers
    assert numbers["status"] == "refused"
    assert [reason["code"] for reason in numbers["reasons"]] == ["no_scale"]


LOG = """blade,heat_treatment,cuts,edge_width_um
A1,soft,0,2.5
A1,soft,50,7.2
A1,soft,100,9.8
A1,soft,200,13.6
B1,hard,0,2.4
B1,hard,50,6.0
B1,hard,100,8.3
B1,hard,200,11.4
"""


def test_one_blade_each_compares_the_blades_and_refuses_the_heat_treatments(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(LOG, encoding="utf-8")
    comparison = analyse(open_source(path), AnalysisOptions(limit=12)).comparison
    assert comparison.scope == "blades"
    codes = [warning["code"] for warning in comparison.to_dict()["warnings"]]
    assert "one_blade_per_treatment" in codes
    assert comparison.to_dict()["blades_needed"]
    assert comparison.ratio.estimate > 1


def test_faults_of_the_log_are_raised_together(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(LOG.replace("7.2", "wide").replace("13.6", "0"), encoding="utf-8")
    with pytest.raises(ManyFaults) as caught:
        analyse(open_source(path), AnalysisOptions(limit=12))
    assert [fault.where for fault in caught.value.faults] == [
        "log.csv, row 3, edge_width_um",
        "log.csv, row 5, edge_width_um",
    ]


def test_no_such_study():
    with pytest.raises(UnusableInput, match="there is no such file or folder"):
        open_source("nowhere")
