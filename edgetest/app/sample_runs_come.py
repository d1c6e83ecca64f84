"""How does a sample run come into the workspace, where its photographs must be rendered first?

That is work beside the pages: counted, stoppable, going on elsewhere. Stopped, it leaves nothing.
"""

from contextlib import suppress

import streamlit as st

from edgetest.app.long_work import StoppedError, Work, show_running, start_work, take, work_of
from edgetest.app.verbatim import verbatim
from edgetest.store.workspace import copy_sample_run, must_be_rendered, sample_runs


def bring_sample_run(entry, workspace):
    """Copy a sample run into the workspace, or begin to; says whether it is there already."""
    name, target = entry.folder.name, workspace / entry.folder.name
    if not must_be_rendered(name):
        copy_sample_run(name, target)
        return True
    start_work(
        _rendering_key(target),
        lambda report: copy_sample_run(name, target, progress=report),
        f"Rendering the photographs of the sample run “{entry.title}”",
        counts="photographs",
        stop_says="Stop rendering",
    )
    return False


def coming(entry, workspace) -> Work | None:
    """The work that brings a sample run, if it is under way or its end has not been told."""
    return work_of(_rendering_key(workspace / entry.folder.name))


def show_coming(workspace):
    """How far the sample runs are that are being rendered; the page runs again at their end.

    Raises
    ------
    UnusableInput
        What ended the work, once.
    """
    for entry in sample_runs():
        work = coming(entry, workspace)
        if work is None:
            continue
        if work.running:
            show_running(work)
            continue
        if work.stopped:
            st.caption(
                verbatim(f"{work.says}: stopped, nothing is kept. You can get the run again below.")
            )
        with suppress(StoppedError):
            take(work)


def _rendering_key(target):
    return "sample run", str(target)
