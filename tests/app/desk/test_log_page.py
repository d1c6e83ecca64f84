"""The log page without a browser: a file that names no rolls is told before it is taken."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.open_study import WORKSPACE_VARIABLE
from edgetest.study.sources import open_source
from tests.study.wear.test_uploaded_rolls import FILE, study_on_rolls


def log_page():
    from edgetest.app.desk import log_page

    log_page.show()


@pytest.mark.parametrize("filled", [True, False])
def test_the_rolls_of_the_plan_are_told_and_filled_in(tmp_path, monkeypatch, filled):
    folder = study_on_rolls(tmp_path)
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    page.file_uploader[0].set_value([("mine.csv", FILE, "text/csv")]).run()
    assert not page.exception
    assert "2 rows of this file name none" in page.warning[0].value
    (toggle,) = [each for each in page.toggle if each.label.startswith("Fill in")]
    if not filled:
        toggle.set_value(False).run()
    next(each for each in page.button if each.label == "Use this log").click().run()
    assert not page.exception
    assert {row.block for row in open_source(folder).log.rows} == (
        {"roll 1", "roll 2"} if filled else {""}
    )
