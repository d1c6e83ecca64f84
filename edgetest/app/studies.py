"""Page: choose a study, see its facts, make a new one."""

import pandas as pd
import streamlit as st

from edgetest.app.workspace import choose, heading, open_folder, opened, show_fault, workspace
from edgetest.errors import UnusableInput
from edgetest.protocol import protocol_ids
from edgetest.study.overview import overview
from edgetest.workspace import list_studies, new_study


def show():
    """The page."""
    heading("Study", "One study holds the blades, their heat treatments, one protocol, the log.")
    entries = list_studies(workspace())
    for entry in entries:
        if entry.fault is not None:
            show_fault(entry.fault)
    sound = [entry for entry in entries if entry.fault is None]
    if sound:
        names = [entry.folder.name for entry in sound]
        titles = {entry.folder.name: entry.title for entry in sound}
        current = open_folder()
        picked = st.selectbox(
            "Open study",
            names,
            index=names.index(current.name) if current is not None else 0,
            format_func=lambda name: titles[name],
        )
        if current is None or picked != current.name:
            choose(picked)
            st.rerun()
        _facts(opened())
    with st.expander("Make a new study", expanded=not sound):
        _new()


def _facts(source):
    """Blades and heat treatments of the open study."""
    found, study = overview(source), source.study
    if study.invented:
        st.info("This is a sample run with invented data. Look around; nothing here is yours yet.")
    cells = st.columns(4)
    cells[0].metric("Blades", len(found.blades))
    cells[1].metric("Rows in the log", found.rows)
    cells[2].metric("Photographs", found.photos)
    cells[3].metric("Faults", len(found.faults))
    st.subheader("Blades")
    table = pd.DataFrame(found.blades)
    table.columns = ["Blade", "Heat treatment", "Edge angle", "Hardness", "Stages"]
    st.dataframe(table, hide_index=True)
    st.subheader("Heat treatments")
    for treatment in study.heat_treatments:
        st.markdown(f"**{treatment.title or treatment.id}** — {treatment.words()}")
    if study.notes:
        st.markdown(study.notes)


def _new():
    """Form for an empty study."""
    with st.form("study.new", border=False):
        title = st.text_input("Title", placeholder="Two tempers for camp hatchets")
        protocol = st.selectbox("Protocol", protocol_ids())
        blades = st.text_input("Blades, separated by commas", "A1, A2, A3, B1, B2, B3")
        control = st.text_input("Control blade (optional)")
        if not st.form_submit_button("Make study"):
            return
    if not title.strip():
        st.error("A study needs a title: write what is compared.")
        return
    name = "".join(c if c.isalnum() else "_" for c in title.strip().lower())
    ids = tuple(blade.strip() for blade in blades.split(",") if blade.strip())
    try:
        new_study(workspace() / name, protocol, title.strip(), blades=ids, control=control or None)
    except UnusableInput as fault:
        show_fault(fault)
        return
    choose(name)
    st.rerun()
