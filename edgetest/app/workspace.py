"""The workspace that the app serves, the study that is open, and its cached analysis."""

import os
from pathlib import Path

import streamlit as st

from edgetest.errors import UnusableInput
from edgetest.study.analysis import analyse
from edgetest.study.sources import open_source
from edgetest.workspace import copy_sample_run, list_studies, sample_runs

WORKSPACE_VARIABLE = "EDGETEST_WORKSPACE"
WATCHED = ("study.toml", "log.csv", "log.xlsx", "chops.csv", "corrections.jsonl")


def workspace():
    """Folder of the studies; at first start it gets the sample runs."""
    folder = Path(os.environ.get(WORKSPACE_VARIABLE, "edgetest_studies"))
    folder.mkdir(parents=True, exist_ok=True)
    if not any(folder.iterdir()):
        for entry in sample_runs():
            copy_sample_run(entry.folder.name, folder / entry.folder.name)
    return folder


def open_folder():
    """Folder of the study that is open: the one chosen, else the first; None if there is none."""
    entries = [entry for entry in list_studies(workspace()) if entry.fault is None]
    folders = [entry.folder.name for entry in entries]
    chosen = st.session_state.get("study.folder")
    if chosen not in folders:
        chosen = folders[0] if folders else None
    return workspace() / chosen if chosen else None


def choose(name):
    """Open another study; its pages start anew."""
    st.session_state["study.folder"] = name


def stamp(folder):
    """What changes when a study's files change; the key of everything cached."""
    files = [folder / name for name in WATCHED] + sorted((folder / "photos").glob("*"))
    return tuple((f.name, f.stat().st_mtime_ns, f.stat().st_size) for f in files if f.is_file())


def opened():
    """The open study's source, or the page ends with what is wrong and how to mend it."""
    folder = open_folder()
    if folder is None:
        st.info("There is no study yet. Make one on the page **Study**.")
        st.stop()
    try:
        return open_source(folder)
    except UnusableInput as fault:
        show_fault(fault)
        st.stop()


def show_fault(fault):
    """Every fault as a sentence: what, where, how to mend it."""
    for each in getattr(fault, "faults", (fault,)):
        st.error(f"**{each.where}**: {each.what}. {each.mend}.", icon=":material/build:")


@st.cache_resource(max_entries=8, show_spinner=False)
def _analysed(folder, _stamp, options, _progress):
    return analyse(open_source(folder), progress=_progress, **dict(options))


def analysed(**options):
    """The open study's analysis; a page that needs it ends here where the study has faults."""
    folder = opened().path
    bar = st.empty()

    def progress(done, total):
        bar.progress(done / total, f"Measuring photograph {done} of {total}")

    try:
        result = _analysed(str(folder), stamp(folder), tuple(sorted(options.items())), progress)
    except UnusableInput as fault:
        bar.empty()
        show_fault(fault)
        st.stop()
    bar.empty()
    return result


def heading(title, lead):
    """Title of a page, the study it is about, and a sentence on what it is for."""
    st.title(title)
    folder = open_folder()
    if folder is not None:
        try:
            source = open_source(folder)
        except UnusableInput:
            st.caption(folder.name)
        else:
            invented = " · invented data" if source.study.invented else ""
            st.caption(f"{source.title}{invented}")
    st.markdown(lead)
