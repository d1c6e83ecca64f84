"""Keep what long work found, whose progress is shown while it runs."""

import streamlit as st


@st.cache_resource(show_spinner=False)
def _shelf(name):
    return {}


def remembered(name, key, make, *, most=8):
    """What `make` returns, made once for a key; the oldest give way to the newest.

    Streamlit's own caches play back what a function drew, and a progress bar that was drawn
    outside it is no longer there then.
    """
    shelf = _shelf(name)
    found = shelf.get(key)
    if found is None:
        found = make()
        while len(shelf) >= most:
            shelf.pop(next(iter(shelf)), None)
        shelf[key] = found
    return found
