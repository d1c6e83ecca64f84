"""Photographs that only their scale keeps from being measured: said once, with the way to it."""

import streamlit as st

from edgetest.app.links import link
from edgetest.study.words import counted

WORDS = (
    "{} for the scale: how many µm a pixel is. No new photograph is needed; each is measured "
    "once the scale is there."
)


def scale_wanted(count, *, to_scale=None):
    """Say how many photographs wait for their scale, and lead to where it is typed.

    Parameters
    ----------
    count : int
        How many; none says nothing.
    to_scale : callable, optional
        Opens the view where it is typed, on the page that has one; else a link leads there.
    """
    if not count:
        return
    verb = "waits" if count == 1 else "wait"
    st.warning(WORDS.format(f"{counted(count, 'photograph')} {verb}"), icon=":material/straighten:")
    label = "Type the scale and the light"
    if to_scale is None:
        link("photographs", label, icon=":material/straighten:", query={"view": "Scale"})
    else:
        st.button(label, key="photographs.to_scale", type="primary", on_click=to_scale)
