"""A fold is drawn when it is opened: what nobody looks at costs no time."""

from contextlib import contextmanager

import streamlit as st


@contextmanager
def fold(words, key, icon=None):
    """A fold; whether it is open, so that it is drawn only then.

    Parameters
    ----------
    words : str
        What stands on it, already safe to show.
    key : str
        Its name among all that a page asks.
    icon : str, optional
    """
    with st.expander(words, key=key, on_change="rerun", icon=icon) as box:
        yield box.open
