"""Measure a study's photographs from a page: asked for, counted, stoppable, going on elsewhere."""

from contextlib import suppress

import streamlit as st

from edgetest.app import long_work
from edgetest.app.links import link
from edgetest.app.open_study import analysed, opened, version_of
from edgetest.app.verbatim import verbatim
from edgetest.study.photos.measure_changed import waiting_tasks
from edgetest.study.sources import open_source
from edgetest.study.study_state import state_of_source
from edgetest.study.wear.photo_values import PHOTOGRAPHED
from edgetest.study.wear.study_photos import measure_study, photo_tasks
from edgetest.study.words import counted

AT_ONCE = 6  # so few are measured without asking


def photographs_of(source):
    """Tasks of all photographs, those of them that wait to be measured, and names missing.

    Raises
    ------
    UnusableInput
        If the study's scale cannot be taken.
    """
    return _photographs(str(source.path), version_of(source.path))


@st.cache_resource(max_entries=8, show_spinner=False)
def _photographs(folder, version):
    source = open_source(folder)
    tasks, missing = photo_tasks(source)
    return tasks, waiting_tasks(tasks, source.path), missing


def offer(source, waiting):
    """A button that measures the photographs that wait, or how far that is.

    It goes on while other pages are looked at; what is done by a stop stays done.
    """
    if _under_way(source):
        return
    words = counted(len(waiting), "photograph")
    st.info(
        f"{words} to measure: new, or with another scale than before. You can stop; it goes on "
        "from there."
    )
    st.button(
        f"Measure {words}",
        type="primary",
        key="measuring.start",
        on_click=begin_measuring,
        args=(source,),
    )


def offer_again(source):
    """A button that measures everything anew, also what has not changed."""
    if _under_way(source):
        return
    st.button(
        "Measure all of them again", key="measuring.again", icon=":material/refresh:",
        on_click=begin_measuring, args=(source,), kwargs={"again": True},
        help="Only if you doubt a number: what has not changed gives the same one.",
    )  # fmt: skip


def begin_measuring(source, *, again=False):
    """Start measuring a study's photographs, unless that goes on already; for a button's click."""

    def make(report):
        measure_study(source, again=again, progress=report)
        return True

    long_work.start_work(
        _key(source), make, "Photographs", counts="measured", stop_says="Stop measuring"
    )


def _key(source):
    return "measure", str(source.path)


def _under_way(source):
    """Whether the study's photographs are being measured; how far is shown then.

    Raises
    ------
    UnusableInput
        What ended the measuring, once.
    """
    work = long_work.work_of(_key(source))
    if work is None:
        return False
    if work.running:
        long_work.show_running(work)
        return True
    if work.stopped:
        st.caption(
            verbatim(f"Stopped after {work.done} of {work.total}; what was measured is kept.")
        )
    with suppress(long_work.StoppedError):
        long_work.take(work)
    return False


def analysed_or_waiting(**options):
    """The open study's analysis, or the page ends with what has to be done first."""
    source = opened()
    if source.chop_test:
        st.info("This study is a chop test; its figures stand on the page Chopper.")
        link("chopper", "Go to the chopper's figures")
        st.stop()
    if not state_of_source(source).rows and (source.study.evidence or source.study.verdict):
        st.info("This study is about a steel: its answer and its page to keep stand on Verdict.")
        link("verdict", "Go to the verdict")
        st.stop()
    if not state_of_source(source).rows:
        st.info("No reading yet: this page fills once the first stages are cut and read.")
        link("bench", "Go to the bench")
        st.stop()
    _, waiting, _ = photographs_of(source)
    reading = options.get("reading") or source.study.reading_name
    if len(waiting) > AT_ONCE and reading in PHOTOGRAPHED:
        offer(source, waiting)
        st.stop()
    return analysed(**options)
