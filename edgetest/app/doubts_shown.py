"""Doubts of results, as every page lists them."""

import streamlit as st

from edgetest.app.links import link
from edgetest.app.page_words import on_page
from edgetest.app.verbatim import verbatim
from edgetest.doubts import catalogue, joined, sentences
from edgetest.store.guide_pages import read_page

MOST_PAGES = 3  # of the guide, under a list of doubts: those of the gravest


def show_headline(result):
    """The answer with what decides it, and under it what limits it."""
    first, *more = result.headline.answer
    st.markdown(f"## {verbatim(on_page(first))}")
    st.markdown(verbatim(on_page(" ".join(more))))
    _listed(result.headline.limits)


def show_notes(result):
    """What is good to know, at the end."""
    if result.headline.notes:
        st.header("Good to know")
        _listed(result.headline.notes)
    _read_on(result.doubts)


def _listed(lines):
    for words in lines:
        st.markdown(f"- {verbatim(on_page(words))}")


def list_doubts(*doubts):
    """A line for each doubt with its blades, those that decide the answer first."""
    _listed(sentences(joined(*doubts)))
    _read_on(joined(*doubts))


def _read_on(doubts):
    """Links to the pages of the guide that tell more of these doubts, the gravest first."""
    codes = [one.code for one in joined(doubts) if one.code in catalogue()]
    names = dict.fromkeys(catalogue()[code].guide for code in codes)
    pages = [page for name in names if (page := read_page(name)) is not None]
    for page in pages[:MOST_PAGES]:
        link("guide", f"Guide: {verbatim(page.title)}", icon=":material/menu_book:",
             query={"page": page.name})  # fmt: skip
