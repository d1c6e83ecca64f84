"""Page: three doors to begin by, what is under way with its next step, and the sample runs."""

from collections import Counter

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.desk import carry_study, new_study, tour
from edgetest.app.folds import fold
from edgetest.app.kept_fields import kept_choice
from edgetest.app.latest_changes import latest_changes
from edgetest.app.links import go_to
from edgetest.app.next_link import step_of
from edgetest.app.open_study import (
    choose,
    faults_shown,
    open_folder,
    show_kept_faults,
    source_of,
    workspace,
)
from edgetest.app.page_words import on_page
from edgetest.app.sample_runs_come import show_coming
from edgetest.app.verbatim import verbatim, verbatim_lines
from edgetest.store.study_list import list_studies
from edgetest.study.facts.study_drafts import JOBS, copy_blades
from edgetest.study.next_step import steel_step
from edgetest.study.overview import overview
from edgetest.study.words import counted

ROOM = 12  # studies on the page; of more, those worked on last


def show():
    """The page: what is set up in this window, else the doors and what is under way."""
    file = new_study.open_draft()
    if file is not None:
        new_study.show(file)
        return
    made = st.session_state.pop(new_study.MADE, None)
    if made:
        go_to(made)
    st.title("What do you want to know?", anchor=False)
    show_kept_faults()
    for said in st.session_state.pop("studies.said", ()):
        st.toast(verbatim(said))
    new_study.doors()
    with faults_shown():
        show_coming(workspace())
    listed = list_studies(workspace())
    changed = latest_changes().of([entry.folder for entry in listed]).__getitem__
    folder = open_folder(listed, changed)
    entries = sorted(listed, key=lambda entry: entry.title.casefold())
    own = [entry for entry in entries if not entry.invented]
    st.header("Under way", anchor=False)
    new_study.begun()
    if not own:
        st.markdown("There is no study here yet. Begin at one of the doors above.")
    titles = Counter(entry.title for entry in entries)
    for entry in _shown(own, folder, changed):
        _study(entry, folder, _label(entry, titles, folder))
    _samples(entries, titles, folder)
    words, icon = "Bring a study in, or take one away", ":material/folder_zip:"
    with fold(words, "studies.carry", icon) as is_open:
        if is_open:
            carry_study.show(folder)


def _shown(own, folder, changed):
    """The studies that the page has room for: the open one, then those worked on last.

    Where there are more, a field finds others by their title or folder.
    """
    if len(own) <= ROOM:
        return own
    words = kept_choice(
        workspace(), st.text_input, f"Find one of your {len(own)} studies", "", "find a study",
        autocomplete="off", placeholder="a word of its title",
    ).casefold().split()  # fmt: skip
    named = [
        each
        for each in own
        if all(word in f"{each.title} {each.folder.name}".casefold() for word in words)
    ]
    named.sort(key=lambda each: (each.folder != folder, -changed(each.folder)))
    if len(named) > ROOM:
        st.caption(f"The {ROOM} worked on last, of {len(named)}. Type a word to find others.")
    elif not named:
        st.markdown("No study has these words in its title.")
    return named[:ROOM]


def _label(entry, titles, folder):
    """Title of a study; its folder's name where another has the same one."""
    named = f" · {verbatim(entry.folder.name)}" if titles[entry.title] > 1 else ""
    return f"**{verbatim(entry.title)}**{named}" + " · open" * (entry.folder == folder)


def _study(entry, folder, label):
    """One study: what it holds, its next step, and what else can be asked of it."""
    with st.container(border=True, key=f"study_{entry.folder.name}"):
        st.markdown(label)
        with faults_shown():
            if entry.fault is not None:
                raise entry.fault
            source = source_of(entry.folder)
            state, step = step_of(source)
            _where_it_stands(source, state)
            steps = [step]
            if source.study.evidence and step.page != "verdict":
                steps.append(steel_step(source.study))
            for one in steps:
                if st.button(
                    verbatim(f"Next: {one.words}"),
                    key=f"studies.next.{entry.folder.name}.{one.page}",
                    type="primary" if one is step else "secondary",
                    icon=":material/arrow_forward:",
                ):  # fmt: skip
                    choose(entry.folder.name)
                    go_to(one.page)
            words = "What it holds, and other questions about it"
            with fold(words, f"studies.fold.{entry.folder.name}") as is_open:
                if is_open:
                    _inside(source, entry, folder)


def _inside(source, entry, folder):
    """What the study holds, what else can be asked of it, and a way to open it alone."""
    _facts(source)
    _other_jobs(source)
    if entry.folder != folder:
        st.button("Only open it", key=f"studies.open.{entry.folder.name}",
                  on_click=choose, args=(entry.folder.name,))  # fmt: skip


def _where_it_stands(source, state):
    """What the study holds, in counts."""
    study = source.study
    if study.protocol or not study.of_steel:
        st.caption(verbatim(f"{state.protocol}: {state.summary()}"))
    if study.of_steel:
        st.caption(_steel_words(study))


def _samples(entries, titles, folder):
    """The sample runs, to look around in."""
    samples = [entry for entry in entries if entry.invented]
    if not samples:
        return
    st.header("Sample runs, invented", anchor=False)
    if folder is not None and folder.name == tour.OF:
        tour.show()
    for entry in samples:
        name, open_now = entry.folder.name, " (open)" * (entry.folder == folder)
        alike = titles[entry.title] > 1
        label = verbatim(entry.title + f" · {name}" * alike) + open_now
        if st.button(label, key=f"studies.look.{name}", icon=":material/visibility:",
                     width="stretch"):  # fmt: skip
            choose(name)
            with faults_shown():
                go_to(step_of(source_of(entry.folder))[1].page)


def _steel_words(study):
    """What stands in a study of a steel that has no blade cut yet."""
    tables = ("pieces", "heats", "tempers", "trials")
    held = [(name, len((study.evidence or {}).get(name, ()))) for name in tables]
    told = ", ".join(counted(count, name.removesuffix("s")) for name, count in held if count)
    return f"Mystery steel: {told or 'nothing written down yet'}"


def _facts(source):
    """Blades and heat treatments of a study in words."""
    found, study = overview(source), source.study
    facts = {"made by": study.maker, "tested by": study.tested_by, "date": study.date,
             "protocol": source.protocol.title if study.protocol else ""}  # fmt: skip
    st.markdown(verbatim(" · ".join(f"{name}: {words}" for name, words in facts.items() if words)))
    for each in found.asked:
        st.warning(
            verbatim(f"{each['where']}: {each['what']}; {on_page(each['mend'])}"),
            icon=":material/help:",
        )
    if found.blades:
        show_rows(_blades_table(found.blades, study), "blades")
    for treatment in study.heat_treatments:
        steps = treatment.words() or "no step named"
        st.markdown(f"**{verbatim(treatment.title or treatment.id)}**: {verbatim(steps)}")
    if study.notes:
        st.caption(verbatim_lines(study.notes))


def _other_jobs(source):
    """The questions that this study does not ask yet; each begins where it can be answered."""
    study, name = source.study, source.path.name
    asked = {"steel"} if study.evidence else set()
    asked |= {"chopper" if source.protocol.log == "chops" else "edge"} if study.protocol else set()
    st.markdown("**Ask another question about it**")
    for job in JOBS:
        if job in asked:
            continue
        if st.button(JOBS[job], key=f"studies.job.{name}.{job}", icon=new_study.ICONS[job]):
            choose(name)
            if job == "steel":
                go_to("verdict")
            _begin_beside(source, job)


def _begin_beside(source, job):
    """Begin a test of the study's blades: in it where it has none yet, else in one of its own."""
    file = new_study.begin(job, "" if source.study.protocol else source.path.name)
    if source.study.protocol:
        copy_blades(file, source.path, [blade.id for blade in source.study.blades])
    st.rerun()


def _blades_table(blades, study):
    """The blades of a study under plain headings."""
    table = pd.DataFrame(blades)
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    table["heat_treatment"] = [titles.get(name, name) for name in table["heat_treatment"]]
    table.columns = ["Blade", "Heat treatment", "Edge angle", "Hardness", "Stages read"]
    table.insert(1, "Role", ["control" if b == study.control else "" for b in table["Blade"]])
    return table if study.control else table.drop(columns="Role")
