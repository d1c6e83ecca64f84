"""Tables and figures of the answer as files, or the study as one zip."""

import csv
import zipfile

import pytest

from tests.cli.test_contracts import LOG


def table(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_comparisons_tables_hold_its_numbers(answer, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    files = answer("export", log, "--limit", 12, "--to", tmp_path / "out")["files"]
    names = {file.rpartition("/")[2] for file in files}
    assert {"lives.csv", "lives.xlsx", "log.csv", "comparison.svg", "wear_curves.png"} <= names
    lives = {row["blade"]: row for row in table(tmp_path / "out" / "lives.csv")}
    for one in answer("fit", log, "--limit", 12):
        assert float(lives[one["blade"]]["life_cuts"]) == pytest.approx(one["life"]["cuts"])
    assert len(table(tmp_path / "out" / "log.csv")) == LOG.count("\n") - 1
    assert (tmp_path / "out" / "comparison.svg").read_text("utf-8").startswith("<?xml")


def test_a_choppers_figures_and_the_zip(answer, sample_run, tmp_path):
    folder = sample_run("camp_hatchet_study")
    files = answer("export", folder, "--zip", tmp_path / "all.zip", "--to", tmp_path / "out")
    assert str(tmp_path / "all.zip") == files["files"][0]
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert f"{folder.name}/study.toml" in archive.namelist()
    figures = table(tmp_path / "out" / "figures.csv")
    assert {row["blade"] for row in figures} == set(answer("chop", folder)["blades"])
    assert (tmp_path / "out" / "depths.png").read_bytes().startswith(b"\x89PNG")


def test_a_steel_with_blades_takes_its_chances_and_its_lives_away(run, sample_run, tmp_path):
    folder = sample_run("plough_disc_study")
    assert run("export", folder, "--to", tmp_path / "out")[0] == 0
    out = tmp_path / "out"
    chances = {row["what"]: float(row["chance, %"]) for row in table(out / "chances.csv")
               if row["kind"] == "serves for"}  # fmt: skip
    assert sum(chances.values()) == pytest.approx(100, abs=0.5)
    lives = {row["blade"] for row in table(out / "lives.csv")}
    assert {"R1", "U1"} <= lives
    assert {"verdict.svg", "comparison.png"} <= {path.name for path in out.iterdir()}


def test_a_zip_goes_into_a_folder_that_is_there(run, sample_run, tmp_path):
    folder = sample_run("plough_disc_study")
    code, out, err = run("export", folder, "--zip", tmp_path / "nowhere" / "all.zip")
    assert (code, out) == (2, "")
    assert err == f"{tmp_path / 'nowhere'}: there is no such folder; make it, or name a file " \
        "elsewhere\n"  # fmt: skip
    assert not list(tmp_path.iterdir())
