"""Photographs brought in: one line for what is kept, one for each fault, one button to measure."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.store.journal import append_reading
from edgetest.store.workspace import change_study
from edgetest.study.sources import open_source
from tests.browser.studies import bench_study, photograph

PICTURES = [(f"{n}.png", photograph(6.0, seed=n), "image/png") for n in range(4)]


def adding():
    from edgetest.app.open_study import opened
    from edgetest.app.photos import add_photographs

    add_photographs.show(opened(), lambda: None)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    folder = bench_study(tmp_path)
    for n, blade in enumerate(("K1", "K1", "K2")):
        row = {"blade": blade, "cuts": 0, "station_mm": 10 + 20 * (n % 2), "photo": f"{n}.png"}
        append_reading(folder, row)
    return folder


def brought(files):
    page = AppTest.from_function(adding, default_timeout=60).run()
    page.file_uploader[0].set_value(files)
    page.run()
    assert not page.exception
    return page


def test_one_line_and_one_button_for_all_of_them(folder):
    page = brought(PICTURES)
    assert [each.value for each in page.success] == ["4 photographs in the study's folder."]
    assert "1 of them the log does not name yet: 3.png." in page.warning[0].value
    assert [each.label for each in page.button] == ["Measure 3 photographs"]
    assert (folder / "photos" / "0.png").read_bytes() == PICTURES[0][1]


def test_a_picture_that_the_log_has_already_is_told_with_both_names(folder):
    brought(PICTURES[:3])
    page = brought([("again.png", PICTURES[0][1], "image/png")])
    said = " ".join(each.value for each in page.warning)
    assert "again.png shows the same picture as 0.png (row" in said


def test_each_fault_is_one_line_with_its_mend(folder):
    brought(PICTURES[:1])
    page = brought([
        ("0.png", PICTURES[1][1], "image/png"), ("note.png", b"no picture", "image/png"),
    ])  # fmt: skip
    assert [each.value for each in page.success] == []
    said = sorted(each.value for each in page.error)
    assert len(said) == 2
    assert "give the file a new name" in said[0].lower()
    assert "JPEG, PNG, TIFF or HEIC" in said[1]


def test_without_a_scale_the_scale_comes_first(folder):
    change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    page = brought(PICTURES[:3])
    assert "3 photographs wait for the scale" in page.warning[0].value
    labels = [each.label for each in page.button]
    assert labels == ["Type the scale and the light", "Measure 3 photographs"]
    assert open_source(folder).study.scale is None
