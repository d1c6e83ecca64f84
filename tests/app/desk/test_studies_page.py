"""The list of studies says how many photographs are measured, also right after measuring."""

import subprocess
import sys

from streamlit.testing.v1 import AppTest

from edgetest.store.journal import append_reading
from edgetest.store.workspace import save_photograph
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study
from tests.browser.studies import bench_study, photograph


def page():
    from edgetest.app.desk import studies_page

    studies_page.show()


def test_what_was_just_measured_is_counted(tmp_path, monkeypatch):
    folder = bench_study(tmp_path)
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    save_photograph(folder, "edge.png", photograph(18.0))
    append_reading(folder, {"blade": "K1", "cuts": "0", "station_mm": "10", "photo": "edge.png"})
    shown = AppTest.from_function(page, default_timeout=60).run()
    assert "0 of 1 photograph measured" in " ".join(each.value for each in shown.caption)
    measure_study(open_source(folder))
    shown = shown.run()
    assert "1 of 1 photograph measured" in " ".join(each.value for each in shown.caption)
    assert not shown.exception


def test_the_first_page_waits_for_no_library_that_only_answers_need():
    """Imports of two seconds once stood before the first page: one helper had drawn them in."""
    code = (
        "import sys, edgetest.app.desk.studies_page; "
        "print(*{'scipy.stats', 'scipy.signal', 'cv2', 'matplotlib.figure', 'altair'} "
        "& set(sys.modules))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == ""
