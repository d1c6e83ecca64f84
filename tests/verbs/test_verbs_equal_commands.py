"""Every verb gives the numbers of the command of its name, to the last digit."""

import json

import cv2
import numpy as np
import pytest

import edgetest as et
from edgetest.errors import UnusableInput
from edgetest.store.places import shipped

WORDS = {"seconds", "files"}


def numbers(document):
    """A document without how long it took and where it was written."""
    if isinstance(document, dict):
        return {key: numbers(part) for key, part in document.items() if key not in WORDS}
    if isinstance(document, list | tuple):
        return [numbers(part) for part in document]
    return document


def same(found, told):
    """Whether what a verb found is what the command told, once both went through JSON."""
    return numbers(json.loads(json.dumps(found, allow_nan=False))) == numbers(told)


@pytest.fixture(scope="module")
def billhooks(measured_run):
    return measured_run


@pytest.fixture(scope="module")
def photos():
    return shipped("sample_runs") / "billhook_temper_study" / "photos"


def test_fit(billhooks, answer):
    found = et.fit(billhooks, limit=10, power=1.5)
    assert same(found.curves_to_dict(), answer("fit", billhooks, "--limit", 10, "--power", 1.5))


def test_compare(billhooks, answer):
    found = et.compare(billhooks, limit=10, margin=0.2, level=0.9, also=(8.0, 11.0))
    told = answer("compare", billhooks, "--limit", 10, "--margin", 0.2, "--level", 0.9,
                  "--also", 8, "--also", 11)  # fmt: skip
    assert same(found.comparison_to_dict(), told)
    assert found.ratio.to_dict() == told["ratio"]
    assert [one.to_dict() for one in found.doubts] == told["doubts"]


def test_compare_of_a_log_of_grades(tmp_path, answer):
    path = tmp_path / "log.csv"
    rows = "A1,soft,50,pass\nA1,soft,75,fail\nB1,hard,100,pass\nB1,hard,150,fail\n"
    path.write_text(f"blade,heat_treatment,cuts,pass_fail\n{rows}", encoding="utf-8")
    assert same(et.compare(path).comparison_to_dict(), answer("compare", path))
    assert same(et.fit(path).curves_to_dict(), answer("fit", path))


def test_compare_of_noted_lives_in_a_frame_a_csv_and_a_spreadsheet(tmp_path, answer):
    import pandas as pd

    frame = pd.DataFrame({"blade": ["A1", "A2", "A3", "B1", "B2", "B3"]})
    frame["heat_treatment"] = ["straw"] * 3 + ["purple"] * 3
    frame["life"] = [340, ">400", "320-340", 210.0, "<250", 230]
    (tmp_path / "csv").mkdir()
    frame.to_csv(tmp_path / "csv" / "notebook.csv", index=False)
    frame.to_excel(tmp_path / "notebook.xlsx", index=False)
    found = et.compare(frame).comparison_to_dict()
    assert found["practical"]["verdict"] == "shorter"
    for log in (tmp_path / "csv" / "notebook.csv", tmp_path / "notebook.xlsx"):
        assert same(found, answer("compare", log))


def test_measure_a_study(billhooks, answer):
    assert same(et.measure(billhooks).to_dict(), answer("measure", billhooks))


def test_measure_a_photograph(photos, answer):
    path = photos / "H1_roll1_100_020.jpg"
    found = et.measure(path, 0.4, relative_u=0.01)
    assert same([found.to_dict()], answer("measure", path, "--um-per-px", 0.4, "--scale-u", 0.01))


def test_measure_a_folder(photos, tmp_path, answer):
    for name in ("H1_roll1_100_020.jpg", "S1_roll1_100_020.jpg"):
        (tmp_path / name).write_bytes((photos / name).read_bytes())
    found = et.measure(tmp_path, um_per_px=0.4)
    assert same(found.to_dict(), answer("measure", tmp_path, "--um-per-px", 0.4))


def test_scale(photos, answer):
    path = photos / "micrometer.jpg"
    assert same(et.scale(path, pitch_um=10).to_dict(), answer("scale", path, "--pitch-um", 10))
    marks = (100.0, 120.0, 300.0, 400.0)
    told = answer("scale", path, "--marks", *marks, "--distance-um", 100)
    assert same(et.scale(path, marks=marks, distance_um=100).to_dict(), told)


def test_profile(answer):
    path = shipped("sample_runs") / "camp_hatchet_study" / "photos" / "H1_after_heel.jpg"
    assert same([et.profile(path, 8).to_dict()], answer("profile", path, "--um-per-px", 8))


def test_plan(billhooks, answer):
    rolls = ["roll 1", "roll 2", "roll 3"]
    found = et.plan(billhooks, ratio=1.4, blocks=rolls, seed=7, power=0.9)
    told = answer("plan", billhooks, "--ratio", 1.4, "--blocks", ",".join(rolls), "--seed", 7,
                  "--power", 0.9, "--dry-run")  # fmt: skip
    assert same(found.to_dict(), told)


def test_plan_is_written_only_where_that_is_asked(sample_run):
    folder = sample_run("billhook_temper_study")
    before = (folder / "study.toml").read_text("utf-8")
    assert et.plan(folder).files == ()
    assert (folder / "study.toml").read_text("utf-8") == before
    assert {path.name for path in et.plan(folder, save=True).files} == {"study.toml"}


def test_another_order_of_a_begun_log_is_saved_only_anew(sample_run):
    folder = sample_run("billhook_temper_study")
    et.plan(folder, seed=1, save=True)  # every run was begun: nothing is drawn
    assert "order" not in (folder / "study.toml").read_text("utf-8").partition("[plan]")[2]
    with pytest.raises(UnusableInput, match="nothing is left to draw"):
        et.plan(folder, seed=2, save=True, anew=True)
    before = (folder / "study.toml").read_text("utf-8")
    with pytest.raises(UnusableInput, match="order"):
        et.plan(folder, seed=2, blocks=["roll 1", "roll 7"], save=True)
    assert (folder / "study.toml").read_text("utf-8") == before
    assert et.plan(folder, seed=2, blocks="roll 9", save=True, anew=True).files
    assert (folder / "study.toml").read_text("utf-8") != before


def test_chop(answer):
    folder = shipped("sample_runs") / "camp_hatchet_study"
    found = et.chop(folder, level=0.9, thinner={"H1": (150.0, 3.0)})
    told = answer("chop", folder, "--level", 0.9, "--thinner", "H1", "150", "3")
    assert same(found.to_dict(), told)


def test_case(sample_run, answer):
    plan = {"thickness_mm": 1, "temperature_c": 900, "hours": 4, "removed_mm": (0.05, 0.05)}
    told = answer("case", "--thickness-mm", 1, "--temperature-c", 900, "--hours", 4,
                  "--removed-mm", 0.05)  # fmt: skip
    assert same(et.case(**plan).to_dict(), told)
    folder = sample_run("plough_disc_study")
    sections = [each.to_dict() for each in et.case(folder)]
    assert same(sections, answer("case", folder)["sections"])


@pytest.mark.slow
def test_verdict(sample_run, answer):
    folder = sample_run("plough_disc_study")
    told = answer("verdict", folder)
    assert told.pop("could_be_added") == []  # of other studies, which a result knows nothing of
    assert same(et.verdict(folder).to_dict(), told)


@pytest.mark.usefixtures("untypeset")
def test_report(billhooks, tmp_path, answer):
    files = et.report(billhooks, tmp_path / "a", limit=10)
    told = answer("report", billhooks, "--limit", 10, "--to", tmp_path / "b")
    assert [path.name for path in files] == [path.rpartition("/")[2] for path in told["files"]]
    assert et.compare(billhooks, limit=10).summary() == told["answer"]


@pytest.mark.usefixtures("untypeset")
def test_report_of_a_chop_test(tmp_path, sample_run, answer):
    folder = sample_run("camp_hatchet_study")
    told = answer("report", folder, "--to", tmp_path / "b")
    names = [path.rpartition("/")[2] for path in told["files"]]
    assert [path.name for path in et.report(folder, tmp_path / "a")] == names


def test_tone(tmp_path, answer):
    light = [0.9, 0.5, 0.28, 0.16, 0.09, 0.05]
    stored = np.rint(255 * np.array(light) ** (1 / 2.2)).astype(np.uint8)
    path = tmp_path / "wedge.png"
    cv2.imwrite(str(path), np.repeat(np.repeat(stored[None], 40, axis=1), 90, axis=0))
    told = answer("tone", path, "--light", ",".join(map(str, light)))
    assert same(et.tone(path, light=light).to_dict(), told)
