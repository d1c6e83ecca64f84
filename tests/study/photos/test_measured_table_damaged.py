"""Is a damaged measured.csv measured again, and never believed?"""

import csv
import shutil

import pytest

from edgetest.store.places import shipped

PHOTO = "S1_roll1_300_020.jpg"


@pytest.fixture(scope="module")
def measured(tmp_path_factory):
    """A study with one photograph."""
    folder = tmp_path_factory.mktemp("one")
    (folder / "photos").mkdir()
    run = shipped("sample_runs") / "billhook_temper_study"
    shutil.copyfile(run / "photos" / PHOTO, folder / "photos" / PHOTO)
    (folder / "log.csv").write_text(f"blade,cuts,photo\nS1,300,{PHOTO}\n")
    (folder / "study.toml").write_text(
        'title = "T"\nprotocol = "sisal_rope"\nblades = [{id = "S1"}]\nscale = {um_per_px = 0.4}\n'
    )
    return folder


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("width_um_mean", "99.9"),
        ("width_um_mean", "1" * 400),
        ("width_um_mean", "nan"),
        ("seconds", "soon"),
        ("chips", "[" * 2000),
        ("doubts", "[1]"),
        ("status", ""),
        ("reasons", "x"),
    ],
)
def test_a_changed_cell_is_measured_again(column, text, measured, answer):
    true = answer("measure", measured)[0]["width_um"]["mean"]
    path = measured / "measured.csv"
    with open(path, encoding="utf-8", newline="") as file:
        heading, row = list(csv.reader(file))
    row[heading.index(column)] = text
    with open(path, "w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heading, row])
    assert answer("measure", measured)[0]["width_um"]["mean"] == pytest.approx(true, rel=1e-9)
    with open(path, encoding="utf-8") as file:
        assert float(next(csv.DictReader(file))["width_um_mean"]) == pytest.approx(true, rel=1e-9)


def test_a_file_that_is_no_table_is_measured_again(measured, answer):
    true = answer("measure", measured)[0]["width_um"]["mean"]
    (measured / "measured.csv").write_bytes(b"\xff\xfe\x00 rubbish")
    assert answer("measure", measured)[0]["width_um"]["mean"] == pytest.approx(true, rel=1e-9)
