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
