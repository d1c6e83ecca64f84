"""Page: the log as it stands, its faults beside it, and a log from a file."""

import pandas as pd
import streamlit as st

from edgetest.app.workspace import heading, opened, show_fault
from edgetest.errors import UnusableInput
from edgetest.logs import log_table, read_log
from edgetest.workspace import replace_log


def show():
    """The page."""
    heading(
        "Log", "What was cut and read, one row a stage and station. Blank is missing, not zero."
    )
    source = opened()
    _state(source.log)
    _upload(source)


def _state(log):
    """The rows, and every fault with its row and column."""
    if log.faults:
        st.error(f"{len(log.faults)} faults; nothing is worked out until they are mended.")
        _list(log.faults)
    elif log.rows:
        st.success(f"{len(log.rows)} rows, no fault found.")
    if not log.rows:
        st.info("The log has no rows yet.")
        return
    heads, *rows = log_table(log.rows)
    table = pd.DataFrame(rows, columns=heads)
    table.insert(0, "row", [row.line for row in log.rows])
    st.dataframe(table, hide_index=True, height=420)
    left_out = [row for row in log.rows if row.exclude]
    for row in left_out:
        st.caption(f"Row {row.line} is left out of the answer: {row.exclude}")


def _list(faults):
    """Every fault with its place and its mend."""
    for fault in faults:
        st.markdown(f"- **{fault.where}**: {fault.what}. *{fault.mend}.*")


def _upload(source):
    """A file is read and judged before it takes the log's place."""
    st.subheader("Take the log from a file")
    file = st.file_uploader("CSV or XLSX", type=["csv", "xlsx", "txt"], key="log.file")
    if file is None:
        return
    try:
        log = read_log(file.getvalue(), study=source.study, name=file.name)
    except UnusableInput as fault:
        show_fault(fault)
        return
    st.markdown(f"**{file.name}**: {len(log.rows)} rows")
    _list(log.faults)
    if log.faults:
        st.error("The study keeps its log. Mend the file and give it again.")
        return
    if st.button("Use this log", type="primary"):
        replace_log(source.path, file.getvalue())
        st.toast("The log is saved; the one before it is kept beside it.")
        st.rerun()
