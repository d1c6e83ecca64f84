"""How does a whole study leave the workspace as one zip, and come into it, however large it is?

Nothing of it is held in memory: the zip that goes out is written to disk and sent from there
(`taken_zips`), and one that lies in the workspace's folder is unpacked where it lies. Only what is
given by the browser's own dialogue is held, and that may not be large.
"""

import streamlit as st

from edgetest.app import taken_zips
from edgetest.app.kept_fields import kept_form
from edgetest.app.long_work import show_running, start_work, take, work_of
from edgetest.app.open_study import choose, faults_kept, faults_shown, workspace
from edgetest.app.sample_runs_come import bring_sample_run, coming
from edgetest.app.serve import LARGEST_UPLOAD_MB
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.store.study_zip import import_study
from edgetest.store.workspace import sample_runs

SAID = "studies.said"  # what the page says once


def show(folder):
    """A whole study as one zip, both ways; sample runs anew."""
    if folder is not None:
        st.markdown(
            "**Take the open study away**: its facts, log, photographs, measurements, corrections "
            "and history in one file. Brought in again it is the same to the last letter."
        )
        st.link_button(
            "Download the study as a zip", taken_zips.address(folder), icon=":material/download:"
        )
    st.markdown("**Bring a study in** that was taken away as a zip.")
    file = st.file_uploader(
        f"Zip of a study, up to {LARGEST_UPLOAD_MB} MB", type=["zip"], key="studies.import"
    )
    form = kept_form(workspace(), "bring a study in")
    form.field(st.text_input, "Name of its folder here", "", "name", placeholder="as in the zip")
    if file is not None:
        st.button("Bring it in", type="primary", key="studies.bring", on_click=_bring, args=(form,))
    st.caption(verbatim(f"Put a larger zip into the folder {workspace()}; it is listed here then."))
    for path in sorted(workspace().glob("*.zip")):
        _one_that_lies_here(path, form)
    for entry in sample_runs():
        if (workspace() / entry.folder.name).exists() or coming(entry, workspace()):
            continue
        st.button(
            verbatim(f"Get the sample run “{entry.title}” again"),
            key=f"studies.sample.{entry.folder.name}",
            on_click=_sample, args=(entry,),
        )  # fmt: skip


def _one_that_lies_here(path, form):
    """A zip in the workspace's folder: a button that unpacks it beside the pages."""
    key = ("bring in", str(path))
    work = work_of(key)
    if work is None:
        size = max(1, round(path.stat().st_size / 1e6))
        st.button(
            verbatim(f"Bring in {path.name} ({size} MB)"), key=f"studies.bring.{path.name}",
            on_click=_unpack, args=(key, path, form), icon=":material/folder_zip:",
        )  # fmt: skip
    elif work.running:
        show_running(work)
    else:
        with faults_shown():
            _is_here(take(work))
            st.rerun()


@uncut
def _unpack(key, path, form):
    root, name = workspace(), _name(form)
    form.forget()
    start_work(
        key, lambda report: import_study(path, root, name=name, progress=report),
        f"Unpacking {path.name}", counts="files",
    )  # fmt: skip


@uncut
def _bring(form):
    """What the fields say at the moment of the click, not what they said when it was drawn."""
    file, name = st.session_state["studies.import"], _name(form)
    with faults_kept():
        folder = import_study(file.getvalue(), workspace(), name=name)
        form.forget()
        _is_here(folder)


def _name(form):
    return (form.now("name") or "").strip() or None


def _is_here(folder):
    choose(folder.name)
    st.session_state.setdefault(SAID, []).append(f"{folder.name} is here.")


@uncut
def _sample(entry):
    if bring_sample_run(entry, workspace()):
        choose(entry.folder.name)
