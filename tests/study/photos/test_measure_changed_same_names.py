"""Do two photographs of one name in two folders each keep their own width, row and file?"""

import csv
import shutil

import pytest

from edgetest.store.places import shipped

KEEN, WORN = "S1_roll1_010_020.jpg", "S1_roll1_300_020.jpg"
STUDY = """\
title = "Two folders"
protocol = "sisal_rope"
[scale]
um_per_px = 0.4
[[blades]]
id = "S1"
"""


@pytest.fixture
def study(tmp_path):
    """A study whose two photographs have one name."""
    photos = tmp_path / "photos"
    for folder, name in (("early", KEEN), ("late", WORN)):
        (photos / folder).mkdir(parents=True)
        source = shipped("sample_runs") / "billhook_temper_study" / "photos" / name
        shutil.copyfile(source, photos / folder / "a.jpg")
    (tmp_path / "study.toml").write_text(STUDY)
    log = "blade,cuts,station_mm,photo\nS1,10,20,early/a.jpg\nS1,300,20,late/a.jpg\n"
    (tmp_path / "log.csv").write_text(log)
    return tmp_path


def test_each_has_its_own_width(study, answer):
    found = {one["photo"]: one["width_um"]["mean"] for one in answer("measure", study)}
    assert set(found) == {"early/a.jpg", "late/a.jpg"}
    assert found["late/a.jpg"] > 1.5 * found["early/a.jpg"]
    with open(study / "measured.csv", encoding="utf-8") as file:
        assert [row["photo"] for row in csv.DictReader(file)] == ["early/a.jpg", "late/a.jpg"]
    again = {one["photo"]: one["width_um"]["mean"] for one in answer("measure", study)}
    assert again == pytest.approx(found)


def test_each_overlay_is_a_file_of_its_own(study, run, tmp_path):
    pictures = [study / "photos" / folder / "a.jpg" for folder in ("early", "late")]
    to = tmp_path / "drawn"
    code, out, _ = run("measure", *pictures, "--um-per-px", 0.4, "--overlay", to)
    assert code == 0
    assert len(list(to.iterdir())) == 2
    assert all(picture.as_posix() in out for picture in pictures)


@pytest.mark.parametrize(
    "name", ["../../secret/s.jpg", "/etc/s.jpg", "C:\\s.jpg", "..\\s.jpg", "a\u202egpj.exe"]
)
def test_a_path_that_leads_outside_is_refused_with_its_row(name, study, run):
    log = study / "log.csv"
    log.write_text(log.read_text().replace("late/a.jpg", name))
    code, out, err = run("check", study)
    assert code == 2
    assert "log.csv, row 3, photo" in out + err
    code, out, err = run("measure", study)
    assert code == 2
    assert "log.csv, row 3, photo" in err


@pytest.mark.parametrize(
    "key", ['ruling = "../r.jpg"\npitch_um = 10', 'ruling = "/r.jpg"\npitch_um = 10']
)
def test_a_ruling_from_outside_is_refused(key, study, run):
    path = study / "study.toml"
    path.write_text(path.read_text().replace("um_per_px = 0.4", key))
    code, out, err = run("check", study)
    assert code == 2
    assert "outside the study" in out + err
