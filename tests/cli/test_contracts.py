"""What outside programs rely on: JSON documents, exit codes, one line for a fault."""

import json
import shutil

import cv2
import numpy as np
import pytest

from edgetest.cli.root import edgetest
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.store.places import shipped


def width_um(rate, blade, cuts):
    """A worn wedge with a per-cent of scatter that repeats."""
    scatter = 1 + 0.01 * ((cuts // 10 + blade) % 3 - 1)
    return (2.4**2 + rate * (1 + 0.06 * blade) * cuts) ** 0.5 * scatter


LOG = "blade,heat_treatment,cuts,edge_width_um\n" + "".join(
    f"{steel}{blade},{steel},{cuts},{width_um(rate, blade, cuts):.3f}\n"
    for steel, rate in (("soft", 0.9), ("hard", 0.5))
    for blade in (1, 2, 3)
    for cuts in (0, 10, 25, 50, 100, 200)
)


def test_measure(run, pictures):
    folder, truth = pictures
    names = ["edge.png", "blank.png", "damaged.jpg", "notes.jpg"]
    code, out, _ = run("measure", *(folder / n for n in names), "--um-per-px", 1, "--json")
    found = json.loads(out)
    assert code == 0
    assert [each["photo"] for each in found] == names
    assert [each["status"] for each in found] == ["measured", "refused", "refused", "refused"]
    assert set(found[0]) >= {
        "photo", "status", "reasons", "width_um", "measured_length_um", "blur_px", "snr", "scale",
        "chips", "seconds",
    }  # fmt: skip
    assert set(found[0]["width_um"]) >= {
        "mean",
        "low",
        "high",
        "sd_along_edge",
        "p05",
        "p50",
        "p95",
    }
    assert found[0]["width_um"]["low"] < truth["width_um"] < found[0]["width_um"]["high"]
    assert found[0]["scale"] == {"um_per_px": 1.0, "relative_u": 0.0}
    assert found[2]["reasons"][0]["code"] == "damaged_file"
    assert found[3]["reasons"][0]["code"] == "not_a_picture"
    for each in found[1:]:
        assert set(each["reasons"][0]) == {"code", "text"}


def test_scale(run, tmp_path):
    ruling, _ = render_ruling(um_per_px=0.8, rotation_deg=2.0, rng=np.random.default_rng(1))
    cv2.imwrite(str(tmp_path / "ruling.png"), ruling)
    code, out, _ = run("scale", tmp_path / "ruling.png", "--pitch-um", 10, "--json")
    found = json.loads(out)
    assert code == 0
    assert found["low"] < 0.8 < found["high"]
    assert found["rotation_deg"] == pytest.approx(2.0, abs=0.05)
    assert found["lines_used"] >= 10


def test_profile(run, tmp_path):
    side, truth = render_profile(rng=np.random.default_rng(2))
    cv2.imwrite(str(tmp_path / "side.png"), side)
    code, out, _ = run("profile", tmp_path / "side.png", "--um-per-px", 2, "--json")
    found = json.loads(out)[0]
    assert code == 0
    assert set(found) >= {"photo", "status", "chips", "rolls", "edge_length_um"}
    assert found["edge_length_um"] == pytest.approx(truth["edge_length_um"], rel=0.02)


def test_fit(run, tmp_path):
    (tmp_path / "log.csv").write_text(LOG)
    code, out, err = run("fit", tmp_path / "log.csv", "--limit", 10, "--json")
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert [each["blade"] for each in found] == [
        "soft1",
        "soft2",
        "soft3",
        "hard1",
        "hard2",
        "hard3",
    ]
    for each in found:
        assert set(each) >= {"blade", "law", "parameters", "life", "residual_cv", "warnings"}
        assert set(each["life"]) == {"cuts", "low", "high", "extrapolated", "censored"}
        for parameter in each["parameters"].values():
            assert set(parameter) == {"value", "low", "high"}


def test_compare(run, tmp_path):
    (tmp_path / "log.csv").write_text(LOG)
    code, out, _ = run("compare", tmp_path / "log.csv", "--limit", 10, "--json")
    found = json.loads(out)
    assert code == 0
    assert set(found) >= {
        "groups",
        "ratio",
        "probability_longer",
        "practical",
        "blades_needed",
        "warnings",
    }
    assert set(found["ratio"]) >= {"estimate", "low", "high", "level", "method", "df"}
    assert set(found["practical"]) >= {"margin", "verdict"}
    assert found["ratio"]["low"] < 0.9 / 0.5 < found["ratio"]["high"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("measure", "nowhere.jpg"), "nowhere.jpg: there is no such file; check the name"),
        (("fit", "nowhere.csv"), "nowhere.csv: there is no such file or folder"),
        (("measure", "EDGE", "--um-per-px", "-1"), "--um-per-px: -1 is no scale"),
        (("profile", "EDGE", "--um-per-px", "nan"), "--um-per-px: nan is no scale"),
        (("profile", "EDGE", "--um-per-px", 2, "--shift-um", 5), "--shift-um: a shift is between"),
        (("scale", "EDGE"), "the distance between the lines is missing"),
        (("scale", "EDGE", "--pitch-um", "10"), "no ruling"),
        (("polish",), "No such command"),
        (
            ("new", "EDGE", "--protocol", "sisal_rope", "--blade", "H1"),
            "a file of this name is there",
        ),
        (("compare", "LOG", "--limit", "10", "--control", "Z9"), "leave --control out"),
        (("fit", "LOG", "--reading", "depth_mm"), "holds no reading of depth_mm"),
        (
            ("fit", "LOG", "--limit", "wide"),
            'limit (--limit): "wide" is not a number; write digits only, such as 12.5; '
            'a grade as limit needs the reading "grade" (--reading grade)',
        ),
        (("report", "LOG", "--limit", "10"), "a document needs a study's facts"),
        (
            ("new", "STUDY", "--protocol", "sisal_rope", "--blade", "H1"),
            "a study stands here already",
        ),
    ],
)
def test_unusable_input_is_one_line_and_exit_code_2(run, pictures, arguments, words):
    study = shipped("sample_runs") / "billhook_temper_study"
    (pictures[0] / "log.csv").write_text(LOG)
    stand_in = {
        "EDGE": pictures[0] / "edge.png",
        "LOG": pictures[0] / "log.csv",
        "STUDY": study,
    }
    code, out, err = run(*(stand_in.get(a, a) for a in arguments))
    assert (code, out) == (2, "")
    assert words in err
    assert len(err.strip().splitlines()) == 1


def test_a_fault_of_the_program_is_exit_code_1_without_a_traceback(run, tmp_path, monkeypatch):
    monkeypatch.setattr("edgetest.study.sources.open_source", lambda path: 1 / 0)
    code, out, err = run("fit", tmp_path)
    assert (code, out) == (1, "")
    assert "ZeroDivisionError" in err
    assert "Traceback" not in err


def test_check_lists_every_fault_with_exit_code_2(run, tmp_path):
    (tmp_path / "log.csv").write_text(LOG.replace("soft2,soft,25,", "soft2,soft,25,abc"))
    code, out, _ = run("check", tmp_path / "log.csv", "--json")
    found = json.loads(out)
    assert code == 2
    assert len(found["faults"]) == 1
    assert set(found["faults"][0]) == {"where", "what", "mend"}


ROPE = ("--protocol", "sisal_rope", "--blade", "A1", "--blade", "B1")


def test_new_makes_a_study_that_check_takes(run, tmp_path):
    code, out, _ = run("new", tmp_path / "mine", *ROPE, "--dry-run")
    assert code == 0
    assert not (tmp_path / "mine").exists()
    code, out, _ = run("new", tmp_path / "mine", *ROPE, "--json")
    assert json.loads(out)["blades"] == ["A1", "B1"]
    assert code == 0
    code, out, _ = run("check", tmp_path / "mine", "--json")
    assert (code, json.loads(out)["faults"]) == (0, [])


def test_demo_refuses_a_folder_it_did_not_make(run, tmp_path):
    (tmp_path / "mine.txt").write_text("precious")
    code, _, err = run("demo", "--to", tmp_path)
    assert code == 2
    assert "something stands in this folder" in err
    assert (tmp_path / "mine.txt").read_text() == "precious"


@pytest.mark.parametrize("name", edgetest.commands)
def test_every_command_shows_an_example(run, name):
    code, out, _ = run(name, "--help")
    assert code == 0
    assert f"Example:\n    edgetest {name}" in out


def test_every_sample_run_is_sound(run):
    folder = shipped("sample_runs")
    studies = [path.parent for path in folder.glob("*/study.toml")]
    assert len(studies) >= 1
    for study in studies:
        code, out, _ = run("check", study, "--json")
        found = json.loads(out)
        assert (code, found["faults"], found["photos_missing"]) == (0, [], []), study.name
        assert found["invented"]


def test_photographs_of_a_study_are_all_measured(run, tmp_path):
    folder = tmp_path / "study"
    shutil.copytree(shipped("sample_runs") / "billhook_temper_study", folder)
    log = (folder / "log.csv").read_text().splitlines()
    (folder / "log.csv").write_text("\n".join(log[:4]) + "\n")
    code, out, _ = run("measure", folder, "--json")
    assert code == 0
    assert len(json.loads(out)) == 3
    assert (folder / "measured.csv").is_file()


def test_scale_kept_as_a_calibration_and_a_picture_of_another_size(run, tmp_path, pictures):
    ruling, _ = render_ruling(shape=(480, 640), um_per_px=0.8, rng=np.random.default_rng(1))
    cv2.imwrite(str(tmp_path / "ruling.png"), ruling)
    keep = ("--keep-as", "scope, zoom 4", "--calibrations-in", tmp_path)
    code, out, _ = run("scale", tmp_path / "ruling.png", "--pitch-um", 10, *keep)
    assert code == 0
    assert f'Kept as "scope, zoom 4" in {tmp_path / "calibrations.toml"}' in out
    use = ("--calibration", "Scope, Zoom 4", "--calibrations-in", tmp_path, "--json")
    code, out, _ = run("measure", pictures[0] / "edge.png", *use)
    found = json.loads(out)[0]
    assert code == 0
    assert found["scale"]["um_per_px"] == pytest.approx(0.8, rel=1e-3)
    assert "size_mismatch" not in [warning["code"] for warning in found["warnings"]]
    small = cv2.imread(str(pictures[0] / "edge.png"))[:, :500]
    cv2.imwrite(str(tmp_path / "cut.png"), small)
    found = json.loads(run("measure", tmp_path / "cut.png", *use)[1])[0]
    assert "size_mismatch" in [warning["code"] for warning in found["warnings"]]
    code, _, err = run("measure", tmp_path / "cut.png", "--calibration", "other", *use[2:])
    assert code == 2
    assert "there are: scope, zoom 4" in err


def test_scale_from_a_bar_and_marks_outside_the_picture(run, pictures):
    edge = pictures[0] / "edge.png"
    bar = ("--bar", 400, 100, 400, 300, "--distance-um", 100)
    found = json.loads(run("scale", edge, *bar, "--json")[1])
    assert found["um_per_px"] == pytest.approx(0.5)
    code, _, err = run("scale", edge, "--marks", 10, 10, 9999, 10, "--distance-um", 100)
    assert code == 2
    assert "row 9999, column 10 is outside the picture" in err
