"""Page: the standard procedures, in words; copy one and change it with a form."""

from pathlib import Path

import streamlit as st

from edgetest.app.desk import protocol_form
from edgetest.app.kept_fields import choose_now, kept_choice
from edgetest.app.open_study import (
    faults_kept,
    heading,
    open_folder,
    show_fault,
    show_kept_faults,
    workspace,
)
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.errors import UnusableInput
from edgetest.store.protocol import describe
from edgetest.store.records import load_study
from edgetest.store.workspace import copy_protocol
from edgetest.study.own_protocols import free_name, known_protocols, use_protocol

NAME, CHANGE = "protocol", "change protocol"


def show():
    """The page."""
    heading("Protocols", "One procedure for all blades of a study; copy one to write your own.")
    show_kept_faults()
    folder = open_folder()
    known = known_protocols(folder) if folder is not None else known_protocols(Path())
    used = load_study(folder).protocol_name if folder is not None else None
    names = list(known)
    place = folder if folder is not None else workspace()
    name = kept_choice(
        place, st.selectbox, "Protocol", used if used in names else names[0], NAME,
        options=names, format_func=lambda name: _title(name, known[name], used),
    )  # fmt: skip
    protocol = known[name]
    if isinstance(protocol, UnusableInput):
        show_fault(protocol)
        return
    own = name.endswith(".toml")
    editing = own and kept_choice(place, st.toggle, "Change it", False, f"{CHANGE} {name}")
    if editing:
        protocol_form.show(folder, protocol)
        return
    _words(protocol)
    if folder is not None:
        _actions(folder, name, protocol, used)


def _title(name, protocol, used):
    own = " (your own)" if name.endswith(".toml") else ""
    title = name if isinstance(protocol, UnusableInput) else protocol.title
    return f"{title}{own}{' · used by this study' if name == used else ''}"


def _actions(folder, name, protocol, used):
    """Copy it, or use it in the open study."""
    with st.container(horizontal=True):
        if not name.endswith(".toml"):
            st.button("Copy it to change it", key="protocols.copy", on_click=_copy,
                      args=(folder, name))  # fmt: skip
        if name != used:
            st.button("Use it in the open study", key="protocols.use", on_click=_use,
                      args=(folder, name))  # fmt: skip


@uncut
def _copy(folder, name):
    with faults_kept():
        path = copy_protocol(name, folder, free_name(folder, name))
        choose_now(folder, name, NAME, path.name)
        choose_now(folder, False, f"{CHANGE} {path.name}", True)


@uncut
def _use(folder, name):
    with faults_kept():
        use_protocol(folder, name)


def _words(protocol):
    """The procedure as it is read at the bench."""
    st.header(verbatim(protocol.title))
    st.markdown(verbatim(protocol.purpose))
    st.markdown(verbatim(describe(protocol)))
    if protocol.limit:
        limit = protocol.limit
        st.markdown(
            f"**A blade's life ends** at {verbatim(_limit(protocol))}. {verbatim(limit.why)} "
            f"*({verbatim(limit.source)})*"
        )
    st.markdown("**Cautions**")
    st.markdown(verbatim_list(protocol.cautions))
    st.markdown("**How a cut is made**")
    st.markdown(f"{verbatim(protocol.cut.how)} *({verbatim(protocol.cut.source)})*")
    edge = protocol.edge_preparation
    st.markdown(
        f"**Edge**: {verbatim(edge.finish)}; wire edge {verbatim(edge.wire_edge)}. "
        f"*({verbatim(edge.source)})*"
    )
    st.markdown(f"**Control blade**: {verbatim(protocol.control_blade)}")
    st.markdown("**Readings**")
    for reading in protocol.readings:
        repeats = f", {reading.repeats:d} times" if reading.repeats > 1 else ""
        st.markdown(
            f"- {verbatim(reading.title)}{repeats}: {verbatim(reading.check)} "
            f"*({verbatim(reading.source)})*"
        )
    for condition in protocol.conditions:
        st.markdown(
            f"- {verbatim(condition.name)}: {verbatim(condition.value)} "
            f"*({verbatim(condition.source)})*"
        )
    if protocol.notes:
        st.caption(verbatim(protocol.notes))


def _limit(protocol):
    limit = protocol.limit
    rule = protocol.reading(limit.reading)
    value = limit.value if isinstance(limit.value, str) else f"{limit.value:g}"
    return f"{rule.title} {value} {rule.unit}".rstrip()
