"""The tab of a thinner tip says beside its numbers that the shape does not fit the tool."""

from streamlit.testing.v1 import AppTest

from edgetest.app.answers import chopper_page
from tests.app.answers.test_chopper_page import field, page
from tests.study.chop.test_thinner_tip import STUDY, SWUNG, THIN


def test_a_shape_that_does_not_fit_is_told_above_what_a_thinner_tip_changes(tmp_path, monkeypatch):
    monkeypatch.setattr(chopper_page, "opened", chopper_page.opened)  # put back what it replaces
    text = STUDY.format(swung=SWUNG, thick=THIN, ground="1")
    (tmp_path / "study.toml").write_text(text, encoding="utf-8")
    (tmp_path / "chops.csv").write_text("blade,kind,order,chops\n", encoding="utf-8")
    shown = AppTest.from_function(page, args=(str(tmp_path),), default_timeout=90).run()
    field(shown.segmented_control, "Show").set_value("Thinner tip").run()
    assert not shown.exception
    (warned,) = (each.value for each in shown.warning)
    assert "does not fit the tool that was weighed and timed" in warned
    assert "690 measured" in warned
    (changed,) = (each.value for each in shown.markdown if "if it tapered" in each.value)
    assert " to +" in changed  # of mass: as wide as shape and tool stand apart
