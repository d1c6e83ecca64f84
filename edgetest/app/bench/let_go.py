"""What cannot be read of a chop test any more is let go: one row, or all looks that are past."""

import streamlit as st

from edgetest.study.bench.chop_actions import leave_looks, passed_looks
from edgetest.study.bench.session_file import leave_out


def let_go(source, action):
    """Buttons that go on without the row under way, and without all looks that came too late."""
    st.button(
        "Go on without this row", key="bench.leave", on_click=leave_out,
        args=(source.path, action.run, action.row.order or 0), width="stretch",
    )  # fmt: skip
    past = passed_looks(source)
    if len(past) > 1 and action.row.line in {row.line for row in past}:
        st.button(
            f"Go on without all {len(past)} looks that were missed", key="bench.leave_all",
            on_click=leave_looks, args=(source,), width="stretch",
        )  # fmt: skip
