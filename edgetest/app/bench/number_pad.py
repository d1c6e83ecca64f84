"""One number, typed on large keys or a keyboard; it is on disk before the page says saved.

What is typed and not saved stays in the window's own store, so that a reload, another page or
a dead server takes nothing, and no other device finds it.
"""

from pathlib import Path

import streamlit as st

from edgetest.app.open_study import faults_kept
from edgetest.app.uncut import uncut

KEY = "bench.pad"
ANSWER = "bench.pad_answer"


def told_no_longer():
    """What was saved last was taken back: the pad says "Saved" of it no more."""
    if ANSWER in st.session_state:
        st.session_state[ANSWER] = {**st.session_state[ANSWER], "taken_back": True}


@st.cache_resource(show_spinner=False)
def _component():
    html, css, js = (
        Path(__file__).with_suffix(f".{kind}").read_text(encoding="utf-8")
        for kind in ("html", "css", "js")
    )
    return st.components.v2.component("edgetest.number_pad", html=html, css=css, js=js)


def ask_number(due, label, save):
    """Ask for one number; the field keeps what cannot be saved.

    Parameters
    ----------
    due : str
        What tells this reading from every other one of the workspace.
    label : str
    save : callable
        Takes the text and puts it on disk; raises `UnusableInput` where it cannot be read.
    """

    def take(sent):
        """Save what was sent, once."""
        before = st.session_state.to_dict().get(ANSWER, {})
        if not sent or sent["due"] != due or sent["number"] == before.get("answered"):
            return False
        saved = False
        with faults_kept():
            save(str(sent["text"]))
            saved = True
        st.session_state[ANSWER] = {"due": due, "answered": sent["number"], "saved": saved}
        return True

    answer = st.session_state.get(ANSWER, {})
    saved = answer.get("saved", True)
    result = _component()(
        key=KEY,
        data={
            "due": due,
            "label": label,
            "answered": answer.get("answered"),
            "saved": saved,
            "refused": not saved and answer.get("due") == due,
            "taken_back": answer.get("taken_back", False),
        },
        on_save_change=uncut(lambda: take(st.session_state.to_dict()[KEY].save)),
    )
    # What was sent while the server was down arrives with the page, not with a callback.
    if take(result.save):
        st.rerun()
