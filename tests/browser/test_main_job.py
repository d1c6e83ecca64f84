"""The main job through the pages: open, measure, stop, go on, compare, download, a new log."""

import re

import pytest

from edgetest.study.photos.measured_table import read_measured
from tests.browser.conftest import go, no_fault, settle
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.browser

LOG = """blade;cuts;station_mm;edge_width_um;note
H1;0;20;2,4;fresh
H1;50;20;6,1;
H1;100;20;8,2;
H1;200;20;11,4;
H1;300;20;13,7;
S1;0;20;2,5;fresh
S1;50;20;7,0;
S1;100;20;9,6;
S1;200;20;13,2;
S1;300;20;16,1;
"""


@pytest.fixture
def study(server):
    """The sample run as a first start brings it, with nothing measured."""
    return server.workspace / "billhook_temper_study"


def test_first_start_opens_on_a_sample_run_and_goes_to_the_document(
    server, page, study, artefacts, tmp_path
):
    go(page, server, "")
    page.get_by_text("A short tour.").wait_for()
    page.get_by_text("Two tempers for hedging billhooks").first.wait_for()
    (study / "measured.csv").unlink(missing_ok=True)
    log = study / "log.csv"  # one station of three: a third of the photographs tell the same
    heading, *rows = log.read_text(encoding="utf-8").splitlines()
    kept = [row for row in rows if row.split(",")[2] == "40"]
    log.write_text("\n".join([heading, *kept]) + "\n", encoding="utf-8")
    page.screenshot(path=artefacts / "study.png", full_page=True)
    no_fault(page)

    page.get_by_role("link", name="1. Photographs").click()
    page.get_by_role("button", name="Measure 72 photographs").click()
    page.get_by_text("of 72 measured").wait_for()
    page.wait_for_function("() => /([2-6]\\d) of 72 measured/.test(document.body.innerText)")
    page.get_by_role("button", name="Stop measuring").click()
    page.get_by_role("button", name="Stop measuring").wait_for(state="detached")
    settle(page)
    done = len(read_measured(study))
    assert 20 <= done < 72
    # The run that was stopped may still put its last photograph on disk.
    page.get_by_role("button", name=re.compile(r"Measure \d+ photographs")).click()
    page.get_by_text("refused (1)").wait_for()
    settle(page)
    assert len(read_measured(study)) == 72
    page.get_by_text("refused (1)").click()
    page.get_by_text("H2, 50 cuts, 40 mm").wait_for()
    page.screenshot(path=artefacts / "photographs.png", full_page=True)
    no_fault(page)

    go(page, server, "wear-curves")
    page.get_by_text("Power p of the wear law, temper_190").wait_for()
    page.screenshot(path=artefacts / "wear_curves.png", full_page=True)
    no_fault(page)

    go(page, server, "comparison")
    page.get_by_text("times as long as").first.wait_for()
    page.screenshot(path=artefacts / "comparison.png", full_page=True)
    no_fault(page)

    go(page, server, "document")
    page.get_by_role("button", name="Write the document").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Download PDF").click()
    waiting.value.save_as(tmp_path / "document.pdf")
    text = "".join(page_texts(tmp_path / "document.pdf"))
    assert "Two tempers for hedging billhooks" in text
    page.screenshot(path=artefacts / "document.png", full_page=True)
    no_fault(page)


def test_a_log_from_a_file_takes_the_place_of_the_old_one(server, page, study, tmp_path):
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text(LOG, encoding="utf-8-sig")
    bad.write_text(LOG.replace("H1;100;20;8,2", "H1;100;20;eight"), encoding="utf-8")
    go(page, server, "log")
    before = (study / "log.csv").read_bytes()

    page.get_by_text("Take the log from a file").click()
    page.locator("input[type=file]").set_input_files(bad)
    page.get_by_text("bad.csv, row 4, edge_width_um").wait_for()
    settle(page)
    assert (study / "log.csv").read_bytes() == before
    assert page.get_by_role("button", name="Use this log").count() == 0

    go(page, server, "log")
    page.get_by_text("Take the log from a file").click()
    page.locator("input[type=file]").set_input_files(good)
    page.get_by_role("button", name="Use this log").click()
    page.get_by_text("10 rows read, no fault found").wait_for()
    assert (study / "log_before_1.csv").read_bytes() == before
    assert (study / "log.csv").read_bytes() == good.read_bytes()
    no_fault(page)
