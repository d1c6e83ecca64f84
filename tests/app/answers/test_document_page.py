"""The document page of a chop test leads to the sheet, which is its document."""

from streamlit.testing.v1 import AppTest

from edgetest.store.workspace import new_study
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
