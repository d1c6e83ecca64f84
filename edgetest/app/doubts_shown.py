"""Doubts of results, as every page lists them."""

import streamlit as st

from edgetest.app.verbatim import verbatim
from edgetest.doubts import joined, sentences


def show_headline(result):
    """The answer with what decides it, and under it what limits it."""
    first, *more = result.headline.answer
    st.markdown(f"## {verbatim(first)}")
    st.markdown(verbatim(" ".join(more)))
    _listed(result.headline.limits)


def show_notes(result):
    """What is good to know, at the end."""
    if result.headline.notes:
        st.header("Good to know")
        _listed(result.headline.notes)


def _listed(lines):
    for words in lines:
        st.markdown(f"- {verbatim(words)}")


def list_doubts(*doubts):
    """A line for each doubt with its blades, those that decide the answer first."""
    _listed(sentences(joined(*doubts)))
