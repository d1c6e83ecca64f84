"""Doubts of results, as every page lists them."""

import streamlit as st

from edgetest.app.downloads import unbroken
from edgetest.doubts import joined, sentences


def list_doubts(*doubts):
    """A line for each doubt with its blades, those that decide the answer first."""
    for words in sentences(joined(*doubts)):
        st.markdown(f"- {unbroken(words)}")
