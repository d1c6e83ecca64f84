"""A document is asked for on a page: how far is its writing, and where is it to be had then?"""

import tempfile
from pathlib import Path

import streamlit as st

from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import take_document
from edgetest.app.open_study import faults_shown, source_of
from edgetest.app.remember import answered
from edgetest.app.uncut import uncut
from edgetest.report.letters_told import study_letters_doubts


def offer_document(label, page, folder, key, build):
    """A button that writes a document; once it was pressed, how far that is, then the document.

    Parameters
    ----------
    label : str
        Of the button, such as Write the sheet.
    page : str
        The page of the app, for the widgets' keys.
    folder : Path
        The study.
    key : tuple
        What changes when the files or what is asked change: the study's version first.
    build : callable
        Takes a folder and `progress`, writes the files there and returns their paths.
    """
    st.button(
        label, type="primary", key=f"{page}.write", on_click=wanted_now,
        args=(page, folder, key),
    )  # fmt: skip
    if is_wanted(page, folder, key):
        show_document(label, page, folder, key, build)


@uncut
def wanted_now(page, folder, key):
    """A page's document is wanted, until files or wishes change."""
    st.session_state[f"{page}.wanted"] = (str(folder), repr(key))


def is_wanted(page, folder, key):
    """Whether a page's document was asked for as files and wishes are now."""
    return st.session_state.get(f"{page}.wanted") == (str(folder), repr(key))


def show_document(label, page, folder, key, build):
    """The document to look at and to take away, or how far its writing is."""

    def make(report):
        with tempfile.TemporaryDirectory() as place:
            files = build(place, report)
            return {Path(file).name: Path(file).read_bytes() for file in files}

    says = label.replace("Write", "Writing", 1)
    version, *asked = key
    with faults_shown():
        files = answered(
            f"{page} document", folder, version, tuple(asked), make, says,
            counts="steps done", on_disk=False,
        )  # fmt: skip
        if files is not None:
            list_doubts(study_letters_doubts(source_of(folder).study))
            take_document(files, page)
