"""The way on: one link to the next step of the open study, at the end of a page."""

import streamlit as st

from edgetest.app.links import link
from edgetest.app.open_study import faults_shown, open_folder, source_of, version_of
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.study.bench.session_file import SESSION_FILE
from edgetest.study.next_step import NextStep, next_step
from edgetest.study.photos.sort_tray import TRAY_FILE
from edgetest.study.study_state import state_of_source

THEN = {"comparison": NextStep("document", "write the document")}  # behind what stands there


@st.cache_data(max_entries=200, show_spinner=False)
def state_and_step(folder, version, _source):
    """Where a study stands, and its next step; found again only when its files have changed."""
    state = state_of_source(_source)
    return state, next_step(_source, state)


def step_of(source):
    """State and next step of a study that is open."""
    beside = [source.path / name for name in (SESSION_FILE, TRAY_FILE)]
    noted = tuple(path.stat().st_size if path.is_file() else 0 for path in beside)
    return state_and_step(str(source.path), (version_of(source.path), noted), source)


def next_link(source, here):
    """A link to what comes next; where that is done on this page, to what comes behind it."""
    with faults_shown():
        step = step_of(source)[1]
        step = THEN.get(here) if step.page == here else step
        if step is not None:
            with st.container(key="next_link"):
                link(step.page, verbatim(f"Next: {step.words}"), icon=":material/arrow_forward:")


def way_on(here):
    """The link for the study that is open in this window, if there is one that can be opened."""
    folder = open_folder()
    if folder is not None:
        try:
            source = source_of(folder)
        except UnusableInput:
            return  # the page has said so
        next_link(source, here)
