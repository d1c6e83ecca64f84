"""What is not to be read of a chop test is let go: one row."""

import streamlit as st

from edgetest.study.bench.session_file import leave_out


def let_go(source, action):
    """The button that goes on without the row under way."""
    st.button(
        "Go on without this row", key="bench.leave", on_click=leave_out,
        args=(source.path, action.run, action.row.order or 0), width="stretch",
    )  # fmt: skip
