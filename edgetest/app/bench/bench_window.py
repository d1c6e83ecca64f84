"""Which blade, row and reading has this window taken out of turn?

Another device's choice never takes over: what is chosen stands in the window's own address,
where a reload finds it again.
"""

import streamlit as st

from edgetest.app.uncut import uncut
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.next_action import turns_in_order

TURN, ROW = "turn", "row"  # of the address


def taken_run(source):
    """The run that was asked for instead of the order's, if it is one of this study; else None."""
    names = shown_names(source)
    runs = {_words(run, names): run for run in turns_in_order(source)}
    return runs.get(_kept(source, TURN))


def take_run(source, run):
    """Stay with a run until it is done or given back."""
    _keep(source, TURN, _words(run, shown_names(source)))


def taken_row(source):
    """Row of the chop log that was asked for instead of the next one, or None."""
    kept = _kept(source, ROW)
    return int(kept) if kept and kept.isdigit() else None


def take_row(source, line):
    """Do a row of the chop log first."""
    _keep(source, ROW, str(line))


@uncut
def in_turn(source):
    """Leave what was asked for; the order says what is next."""
    for what in (TURN, ROW):
        _keep(source, what, None)


def _words(run, names):
    """A run as the address says it: by what the screen calls the blade."""
    block, blade = run
    return f"{names[blade]} on {block}" if block else names[blade]


def _kept(source, what):
    """What this window keeps of a study; a new session of the window asks its address."""
    kept = st.session_state.setdefault("bench.window", {})
    place = (source.path.name, what)
    if not kept.get(what):  # the address is asked once: it may be of another study later
        kept[what] = "asked"
        kept[place] = st.query_params.get(what)
    said = kept.get(place)
    if said and st.query_params.get(what) != said:
        st.query_params[what] = said
    elif not said and what in st.query_params:
        del st.query_params[what]
    return said


def _keep(source, what, said):
    st.session_state.setdefault("bench.window", {})[source.path.name, what] = said
    _kept(source, what)
