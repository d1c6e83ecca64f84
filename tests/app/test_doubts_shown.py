"""Doubts on a page: each sentence once, and links to the pages of the guide that tell more."""

from streamlit.testing.v1 import AppTest

from edgetest.doubts import catalogue
from edgetest.store.guide_pages import read_page

PAGE = """
from edgetest.app import doubts_shown
from edgetest.doubts import doubt
import streamlit as st
doubts_shown.link = lambda path, label, *, icon=None, query=None: st.code(
    f"{path}?page={query['page']} {label}"
)
doubts_shown.list_doubts([doubt("few_lines"), doubt("extrapolated")], [doubt("few_lines")])
"""


def test_the_guides_pages_are_linked_once_each_with_their_titles():
    run = AppTest.from_string(PAGE, default_timeout=20).run()
    assert not run.exception
    assert len(run.markdown) == 2
    names = [catalogue()[code].guide for code in ("few_lines", "extrapolated")]
    told = [f"guide?page={name} Guide: {read_page(name).title}" for name in names]
    assert [element.value for element in run.code] == told
