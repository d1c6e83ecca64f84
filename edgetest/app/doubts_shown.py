"""Doubts of results, as every page lists them."""

import streamlit as st

from edgetest.app.downloads import unbroken
from edgetest.report.doubt_lines import doubt_lines


def list_doubts(*doubts):
    """A line for each doubt, those that decide the answer first."""
    for words in doubt_lines(*doubts):
        st.markdown(f"- {unbroken(words)}")
