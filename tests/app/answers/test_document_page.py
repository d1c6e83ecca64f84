"""The document page leads a chop test to its sheet, a steel to its verdict."""

from streamlit.testing.v1 import AppTest

from edgetest.store.workspace import new_steel_study, new_study
from tests.app.test_navigation_pages import words


def document_page():
    import streamlit as st

    from edgetest.app.answers import chopper_page, document_page
    from edgetest.app.kept_fields import kept_chosen
    from edgetest.app.open_study import opened

    document_page.show()
    part = kept_chosen(opened().path, chopper_page.CHOPPER_NUMBERS, chopper_page.CHOPPER_PART)
    st.caption(f"Chopper shows: {part}")


def test_the_document_of_a_chop_test_is_its_sheet(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    new_study(tmp_path / "chop", "billet_chop", "One hatchet", blades=("H1",))
    run = AppTest.from_function(document_page, default_timeout=30).run()
    assert "has a sheet for each tool as its document" in words(run)
    assert "Chopper shows: In numbers" in words(run)
    next(each for each in run.button if each.label == "Go to the sheet").click().run()
    assert not run.exception
    assert "Chopper shows: Sheet" in words(run)


def document_alone():
    from edgetest.app.answers import document_page

    document_page.show()


def test_the_document_of_a_steel_is_below_its_verdict(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    new_steel_study(tmp_path / "tines", "tines", use="chopper")
    run = AppTest.from_function(document_alone, default_timeout=30).run()
    assert not run.exception
    assert "its page to keep stand on Verdict" in words(run)
    assert "cut and read" not in words(run)
