"""Page: all studies with where they stand; open one, make one, bring one in, take one away."""

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.desk import new_study, tour
from edgetest.app.links import go_to, link
from edgetest.app.open_study import (
    choose,
    faults_kept,
    faults_shown,
    heading,
    open_folder,
    opened,
    show_kept_faults,
    source_of,
    workspace,
)
from edgetest.app.photos.measuring_progress import version_of
from edgetest.store.export import export_study, import_study
from edgetest.store.workspace import (
    copy_sample_run,
    list_studies,
    sample_runs,
)
from edgetest.study.overview import overview
from edgetest.study.study_state import state_of_source
from edgetest.study.words import counted

GO_TO = {
    "mend": ("log", "Mend the log"),
    "cut": ("bench", "Go to the bench"),
    "measure": ("photographs", "Measure the photographs"),
    "answer": ("comparison", "See the answer"),
    "steel": ("verdict", "Judge its steel"),
}


def show():
    """The page: what is set up in this window, else the doors and what is under way."""
    file = new_study.open_draft()
    if file is not None:
        new_study.show(file)
        return
    made = st.session_state.pop(new_study.MADE, None)
    if made:
        go_to(made)
    heading(
        "Study",
        "What do you want to know? Each door leads through one job, one step at a time.",
    )
    show_kept_faults()
    for said in st.session_state.pop("studies.said", ()):
        st.toast(said)
    new_study.doors()
    entries = list_studies(workspace())
    folder = open_folder()
    if folder is not None and folder.name == tour.OF:
        tour.show()
    _list(entries, folder)
    if folder is not None:
        _open(opened())
    with st.expander("Bring a study in, or take one away", icon=":material/folder_zip:"):
        _carry(folder)


@st.cache_data(max_entries=200, show_spinner=False)
def _state(folder, version, _source):
    return state_of_source(_source)


def _list(entries, folder):
    """Every study with its state; one's own before the sample runs."""
    if not entries:
        st.info(
            "There is no study here yet. Begin at one of the doors above, or bring one in below."
        )
        return
    st.subheader(f"Studies ({len(entries)})")
    titles = [entry.title for entry in entries]
    for entry in sorted(entries, key=lambda e: (e.invented, e.title.casefold())):
        with st.container(border=True):
            left, right = st.columns([5, 1], vertical_alignment="center")
            with left:
                _line(entry, named=titles.count(entry.title) > 1)
            if entry.fault is not None:
                continue
            if entry.folder == folder:
                right.markdown(":material/check: **open**")
            else:
                right.button(
                    "Open", key=f"studies.open.{entry.folder.name}", on_click=choose,
                    args=(entry.folder.name,), width="stretch",
                )  # fmt: skip


def _line(entry, *, named):
    """One study in two lines; its folder's name where another has the same title."""
    label = f" · {entry.folder.name}" if named else ""
    label += " · sample run, invented" if entry.invented else ""
    st.markdown(f"**{entry.title}**{label}")
    with faults_shown():
        if entry.fault is not None:
            raise entry.fault
        source = source_of(entry.folder)
        state = _state(str(entry.folder), version_of(entry.folder), source)
        what = f"{state.protocol}: {state.summary()}"
        what = _steel_words(source.study) if state.next == "steel" else what
        st.caption(f"{what}. Next: {state.next_words()}.")


def _steel_words(study):
    """What stands in a study of a steel that has no blade cut yet."""
    tables = ("pieces", "heats", "tempers", "trials")
    held = [(name, len((study.evidence or {}).get(name, ()))) for name in tables]
    told = ", ".join(counted(count, name.removesuffix("s")) for name, count in held if count)
    return f"Mystery steel: {told or 'nothing written down yet'}"


def _open(source):
    """Blades and heat treatments of the open study, and where to go next."""
    found, study = overview(source), source.study
    state = state_of_source(source)
    st.subheader(study.title)
    path, words = GO_TO.get(state.next, ("log", "See its log"))
    if state.chops and path == "comparison":
        path = "chopper"
    with st.container(horizontal=True):
        link(path, words, icon=":material/arrow_forward:")
        if study.evidence and path != "verdict":
            link("verdict", "See the verdict on its steel", icon=":material/arrow_forward:")
    facts = {"made by": study.maker, "tested by": study.tested_by, "date": study.date,
             "protocol": source.protocol.title if study.protocol else ""}  # fmt: skip
    st.markdown(" · ".join(f"{name}: {words}" for name, words in facts.items() if words))
    if found.blades:
        show_rows(_blades_table(found.blades, study), "blades")
    for treatment in study.heat_treatments:
        steps = treatment.words() or "no step named"
        st.markdown(f"**{treatment.title or treatment.id}**: {steps}")
    if study.notes:
        st.caption(study.notes)


def _blades_table(blades, study):
    """The blades of a study under plain headings."""
    table = pd.DataFrame(blades)
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    table["heat_treatment"] = [titles.get(name, name) for name in table["heat_treatment"]]
    table.columns = ["Blade", "Heat treatment", "Edge angle", "Hardness", "Stages read"]
    table.insert(1, "Role", ["control" if b == study.control else "" for b in table["Blade"]])
    return table if study.control else table.drop(columns="Role")


def _carry(folder):
    """A whole study as one zip, both ways; sample runs anew."""
    if folder is not None:
        st.markdown(
            "**Take the open study away**: its facts, log, photographs, measurements, corrections "
            "and history in one file. Brought in again it is the same to the last letter."
        )
        st.download_button(
            "Download the study as a zip", lambda: export_study(folder), f"{folder.name}.zip",
            "application/zip", key="studies.zip", on_click="ignore", icon=":material/download:",
        )  # fmt: skip
    st.markdown("**Bring a study in** that was taken away as a zip.")
    file = st.file_uploader("Zip of a study", type=["zip"], key="studies.import")
    st.text_input("Name of its folder here", placeholder="as in the zip", key="studies.import_name")
    if file is not None:
        st.button("Bring it in", type="primary", key="studies.bring", on_click=_bring)
    missing = [e for e in sample_runs() if not (workspace() / e.folder.name).exists()]
    for entry in missing:
        st.button(
            f"Get the sample run “{entry.title}” again", key=f"studies.sample.{entry.folder.name}",
            on_click=_sample, args=(entry.folder.name,),
        )  # fmt: skip


def _bring():
    """What the fields say at the moment of the click, not what they said when it was drawn."""
    file = st.session_state["studies.import"]
    name = st.session_state["studies.import_name"].strip() or None
    with faults_kept():
        folder = import_study(file.getvalue(), workspace(), name=name)
        choose(folder.name)
        st.session_state.setdefault("studies.said", []).append(f"{folder.name} is here.")


def _sample(name):
    copy_sample_run(name, workspace() / name)
    choose(name)
