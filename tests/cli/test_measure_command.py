"""Many photographs by one command: a folder of studies, loose ones whose results are kept."""

import json
import shutil
from pathlib import Path

import cv2
import numpy as np
import pytest

from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.photos import many_photos
from edgetest.study.photos.measured_table import read_measured

STUDY = """\
title = "{name}"
protocol = "sisal_rope"
[scale]
um_per_px = 1.0
relative_u = 0.01
[[heat_treatments]]
id = "soft"
title = "soft"
steps = []
[[blades]]
id = "B1"
heat_treatment = "soft"
"""


@pytest.fixture
def nothing_measured(monkeypatch):
    """From now on measuring a photograph is a fault."""

    def stop():
        monkeypatch.setattr(many_photos, "bare", lambda task: pytest.fail(f"{task.name} again"))

    return stop


def write_study(folder, widths_um):
    (folder / "photos").mkdir(parents=True)
    (folder / "study.toml").write_text(STUDY.format(name=folder.name), encoding="utf-8")
    rows = ["blade,cuts,photo"]
    for number, width_um in enumerate(widths_um):
        picture, _ = render_apex(
            width_um=width_um, shape=(240, 320), rng=np.random.default_rng(number)
        )
        cv2.imwrite(str(folder / "photos" / f"p{number}.png"), picture)
        rows.append(f"B1,{10 * number},p{number}.png")
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


def test_a_folder_of_studies_is_measured_each_kept_by_itself(tmp_path, run, nothing_measured):
    write_study(tmp_path / "first", (12.0, 18.0))
    write_study(tmp_path / "second", (24.0,))
    (tmp_path / "wrong").mkdir()
    (tmp_path / "wrong" / "study.toml").write_text("title = [", encoding="utf-8")
    code, out, err = run("measure", tmp_path, "--json")
    assert code == 0
    found = {(each["study"], each["photo"]): each["width_um"]["mean"] for each in json.loads(out)}
    assert found == {
        ("first", "p0.png"): pytest.approx(12, rel=0.03),
        ("first", "p1.png"): pytest.approx(18, rel=0.03),
        ("second", "p0.png"): pytest.approx(24, rel=0.03),
    }
    assert err.startswith("wrong: left out: study.toml")
    assert sorted(read_measured(tmp_path / "first")) == ["p0.png", "p1.png"]
    assert sorted(read_measured(tmp_path / "second")) == ["p0.png"]
    nothing_measured()
    code, out, _ = run("measure", tmp_path / "first", tmp_path / "second", "--overlay",
                       tmp_path / "drawn")  # fmt: skip
    assert code == 0
    assert [line.partition(":")[0] for line in out.splitlines()[:3]] == [
        "first/p0.png", "first/p1.png", "second/p0.png"
    ]  # fmt: skip
    assert len(list((tmp_path / "drawn" / "second").iterdir())) == 1


def test_loose_photographs_are_kept_where_a_folder_is_named(tmp_path, run, nothing_measured):
    write_study(tmp_path / "s", (12.0, 18.0))
    photos, kept = tmp_path / "s" / "photos", tmp_path / "kept"
    first = run("measure", photos, "--um-per-px", 1, "--keep-in", kept)
    assert sorted(read_measured(kept)) == ["p0.png", "p1.png"]
    nothing_measured()
    assert run("measure", photos, "--um-per-px", 1, "--keep-in", kept)[:2] == first[:2]
    for wrong in ((photos, "--keep-in", tmp_path / "s"), (tmp_path / "s", "--keep-in", kept)):
        code, _, err = run("measure", *wrong)
        assert (code, err.count("\n")) == (2, 1)
        assert "a study keeps its own results" in err
    shutil.rmtree(kept)
    code, out, _ = run("measure", photos, "--um-per-px", 1, "--keep-in", kept, "--dry-run")
    assert code == 0
    assert "would measure" in out


def test_a_zip_of_studies_is_unpacked_beside_it_once(tmp_path, run, nothing_measured):
    write_study(tmp_path / "w" / "first", (12.0,))
    write_study(tmp_path / "w" / "second", (18.0,))
    archive = Path(shutil.make_archive(str(tmp_path / "years"), "zip", tmp_path, "w"))
    code, first, err = run("measure", archive)
    assert code == 0
    assert f"2 studies in {tmp_path / 'years'}: results are kept there" in err
    assert [line.partition(":")[0] for line in first.splitlines()[:2]] == [
        "first/p0.png", "second/p0.png"
    ]  # fmt: skip
    assert sorted(read_measured(tmp_path / "years" / "second")) == ["p0.png"]
    nothing_measured()
    assert run("measure", archive)[:2] == (0, first)
    again = shutil.copy(archive, tmp_path / "w" / "first.zip")
    code, _, err = run("measure", again)
    assert (code, err.count("\n")) == (2, 1)
    assert "a study of this name lies beside it" in err
    (tmp_path / "torn.zip").write_bytes(archive.read_bytes()[:300])
    code, _, err = run("measure", tmp_path / "torn.zip")
    assert (code, err.count("\n")) == (2, 1)
