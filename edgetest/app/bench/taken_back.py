"""Under each action at the bench: mishaps, one tap each, and the one undo, which says of what."""

import streamlit as st

from edgetest.app.bench.number_pad import told_no_longer
from edgetest.app.open_study import faults_kept, show_question
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.study.asked_about import asked_of_last
from edgetest.study.bench.bench_undo import last_done, take_back


def mishaps(words, write, noted=""):
    """A button for each mishap; one tap writes it down.

    Parameters
    ----------
    words : sequence of str
    write : callable
        Takes the words of the one that happened and puts them on disk.
    noted : str
        What is written down of this row already, told under the buttons.
    """
    with st.container(horizontal=True, key="bench_mishaps", gap="small"):
        for each in words:
            st.button(
                each[:1].upper() + each[1:], key=f"bench.mishap.{each}", on_click=_write,
                args=(write, each), icon=":material/report:", width="stretch",
            )  # fmt: skip
    if noted:
        st.caption(verbatim(f"Noted here: {noted}."))


@uncut
def _write(write, words):
    with faults_kept():
        write(words)


def button(source, action, *, table="log"):
    """The one undo of the page: it names what it takes back.

    Parameters
    ----------
    source, action, table
        As for `edgetest.study.bench.bench_undo.last_done`.
    """
    for question in asked_of_last(source, table=table):
        show_question(question)
    done = last_done(source, action, table=table)
    st.button(
        verbatim(f"Undo: {done.words}") if done else "Nothing to undo",
        key="bench.undo",
        icon=":material/undo:",
        on_click=_undo,
        args=(source.path, done, table),
        disabled=done is None,
        width="stretch",
    )


@uncut
def _undo(folder, done, table):
    with faults_kept():
        take_back(folder, done, table=table)
        told_no_longer()
