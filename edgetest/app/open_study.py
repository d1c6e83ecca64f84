"""The workspace that the app serves, the study that is open, and its cached analysis."""

import os
from contextlib import contextmanager
from pathlib import Path

import streamlit as st

from edgetest.app.latest_changes import latest_changes
from edgetest.app.page_words import on_page
from edgetest.app.remember import answered
from edgetest.app.sample_runs_come import bring_sample_run
from edgetest.app.serve import WORKSPACE_VARIABLE
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim
from edgetest.errors import UnusableInput
from edgetest.store.files import disk_fault
from edgetest.store.records import STUDY_FILE
from edgetest.store.study_list import list_studies
from edgetest.store.workspace import sample_runs
from edgetest.study.photos.measured_table import MEASURED_FILE

WATCHED = ("study.toml", "log.csv", "log.xlsx", "chops.csv", "chops.xlsx", "corrections.jsonl")


def workspace():
    """Folder of the studies; at first start it gets the sample runs."""
    folder = Path(os.environ.get(WORKSPACE_VARIABLE, "edgetest_studies"))
    folder.mkdir(parents=True, exist_ok=True)
    with os.scandir(folder) as inside:
        empty = next(inside, None) is None
    if empty:
        for entry in sample_runs():
            bring_sample_run(entry, folder)
    return folder


def open_folder(entries=None, changed=None):
    """Folder of the study that is open in this window; None if there is none.

    A window keeps its study through a reload, as its name stands in the address; what another
    window or device opens or sets up changes nothing here. A new window opens the study of one's
    own that was worked on last, else the first sample run. `entries` are the studies by name,
    and `changed` tells when one changed last, where the caller has them.
    """
    root = workspace()
    for chosen in (st.session_state.get("study.folder"), st.query_params.get("study")):
        if chosen and Path(chosen).name == chosen and (root / chosen / STUDY_FILE).is_file():
            return _kept(root / chosen)
    entries = list_studies(root) if entries is None else entries
    sound = [entry for entry in entries if entry.fault is None]
    if not sound:
        return None
    own = [entry.folder for entry in sound if not entry.invented]
    if not own:
        return _kept(sound[0].folder)
    return _kept(max(own, key=changed or latest_changes().of(own).__getitem__))


def _kept(folder):
    """The folder, kept as this window's in its memory and its address."""
    latest_changes().watch(folder)
    st.session_state["study.folder"] = folder.name
    if st.query_params.get("study") != folder.name:
        st.query_params["study"] = folder.name
    return folder


@uncut
def choose(name):
    """Open another study in this window; its pages start anew."""
    _kept(workspace() / name)


def stamp(folder, *, photos=True):
    """What changes when a study's files change; the key of everything cached."""
    files = [folder / name for name in WATCHED] + sorted(folder.glob("*.toml"))
    if photos:
        files += sorted((folder / "photos").rglob("*"))
    return tuple((f.name, f.stat().st_mtime_ns, f.stat().st_size) for f in files if f.is_file())


def version_of(folder):
    """What changes when a study's files or its measurements change."""
    path = folder / MEASURED_FILE
    measured = (path.stat().st_mtime_ns, path.stat().st_size) if path.is_file() else ()
    return stamp(folder), measured


@st.cache_resource(max_entries=8, show_spinner=False)
def _source(folder, version):
    from edgetest.study.sources import open_source

    return open_source(folder)


def source_of(folder):
    """A study's source; read again only when its files have changed.

    The version is an argument without an underscore before it: only such are part of the key.
    """
    return _source(str(folder), stamp(folder, photos=False))


def opened():
    """The open study's source, or the page ends with what is wrong and how to mend it."""
    folder = open_folder()
    if folder is None:
        st.info("There is no study yet. Make one on the page **Study**.")
        st.stop()
    try:
        return source_of(folder)
    except UnusableInput as fault:
        show_fault(fault)
        st.stop()


def show_fault(fault):
    """Every fault as a sentence: what, where, how to mend it."""
    for each in getattr(fault, "faults", (fault,)):
        where, what, mend = (on_page(words) for words in (each.where, each.what, each.mend))
        st.error(
            f"**{verbatim(where)}**: {verbatim(what)}. {verbatim(capital(mend))}.",
            icon=":material/build:",
        )


def show_question(question, *, saved=True):
    """What can hardly be meant, as a sentence: what, where, what to do about it."""
    where, what = verbatim(on_page(question.where)), verbatim(on_page(question.what))
    mend = verbatim(capital(on_page(question.mend)))
    st.warning(
        f"{'Saved, but did' if saved else 'Did'} you mean it? **{where}**: {what}. {mend}.",
        icon=":material/help:",
    )


@contextmanager
def faults_shown():
    """What cannot be used inside is told on the page, which goes on behind it."""
    try:
        yield
    except UnusableInput as fault:
        show_fault(fault)


@contextmanager
def faults_kept():
    """What cannot be used inside, in a callback, is told by the page that comes back."""
    try:
        yield
    except UnusableInput as fault:
        st.session_state.setdefault("kept_faults", []).append(fault)
    except OSError as fault:
        told = disk_fault(fault)
        if told is None:
            raise
        st.session_state.setdefault("kept_faults", []).append(told)


def told_once(name, empty=()):
    """What was kept to be told once, and the place it is told in.

    The place is drawn where nothing is told too: what is told on one run and gone on the next
    would else move every field below it, and a field that moved loses what is typed in it.

    Returns
    -------
    kept, place
    """
    return st.session_state.pop(name, empty), st.container()


def show_kept_faults():
    """Show what callbacks kept, once."""
    faults, place = told_once("kept_faults")
    with place:
        for fault in faults:
            show_fault(fault)


def analysed(**options):
    """The open study's analysis; a page that needs it ends here where the study has faults."""
    folder = opened().path

    def make(report):
        from edgetest.study.sources import open_source
        from edgetest.study.wear.analysis import AnalysisOptions
        from edgetest.study.wear.wear_answer import comparison_of

        return comparison_of(open_source(folder), AnalysisOptions(**options), progress=report)

    try:
        result = answered(
            "analysis",
            folder,
            stamp(folder),
            sorted(options.items()),
            make,
            "Working the answer out",
        )
    except UnusableInput as fault:
        show_fault(fault)
        st.stop()
    if result is None:
        st.stop()
    return result


def heading(title, lead):
    """Title of a page, the study it is about, and a sentence on what it is for."""
    st.title(title)
    folder = open_folder()
    if folder is not None:
        try:
            source = source_of(folder)
        except UnusableInput:
            st.caption(verbatim(folder.name))
        else:
            invented = " · invented data" if source.study.invented else ""
            st.caption(verbatim(f"{source.title}{invented}"))
    st.markdown(lead)
