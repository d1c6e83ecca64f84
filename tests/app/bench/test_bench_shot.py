"""A picture at the bench is told what is wrong with it, and is kept only when a person says so."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.open_study import WORKSPACE_VARIABLE
from edgetest.study.sources import open_source
from tests.app.bench.test_bench_page import bench_page, button
from tests.browser.studies import STATION, bench_study, no_edge, photograph


@pytest.fixture
def bench(tmp_path, monkeypatch):
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    folder = bench_study(
        tmp_path, blades=("K1",), stations=(10.0,), readings=(STATION,), stages=(0, 10)
    )
    page = AppTest.from_function(bench_page, default_timeout=60).run()
    assert not page.exception
    return folder, page


def bring(page, data, name="a.png"):
    page.file_uploader[0].set_value((name, data, "image/png")).run()
    assert not page.exception
    return page


def kept(folder):
    return [row.photo for row in open_source(folder).log.rows if row.photo]


def test_a_good_shot_is_kept_by_one_tap_and_then_measured(bench):
    folder, page = bench
    bring(page, photograph(8.0))
    assert page.success[0].value.startswith("**Good.** The land is")
    assert any("Width about" in each.value for each in page.caption)
    assert kept(folder) == []
    assert not any((folder / "photos").glob("*"))
    button(page, "Keep this picture").click().run()
    assert not page.exception
    assert kept(folder) == ["K1_0000_010.png"]
    assert (folder / "photos" / "K1_0000_010.png").read_bytes() == photograph(8.0)
    assert page.title[0].value == "Blade K1, cut to 10: 10 to go"


def test_a_spoilt_shot_says_what_to_change_and_is_taken_again(bench):
    folder, page = bench
    bring(page, photograph(8.0, blur_px=6.0))
    assert page.error[0].value.startswith("**Turn the focus.** The sides of the edge are soft")
    button(page, "Take it again").click().run()
    assert not page.exception
    assert page.file_uploader[0].value is None
    assert len(page.error) == 0
    assert kept(folder) == []
    bring(page, no_edge())
    assert page.error[0].value.startswith("**No edge is seen.** Bring one bright line")


def test_what_is_no_picture_is_told_and_cannot_end_the_page(bench):
    folder, page = bench
    bring(page, b"words")
    assert "not a picture" in page.error[0].value
    button(page, "Keep this picture").click().run()
    assert not page.exception
    assert kept(folder) == []
