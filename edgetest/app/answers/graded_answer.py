"""A graded or pass/fail reading: when each blade left the grade, and whose left it later."""

import pandas as pd
import streamlit as st

from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import frame_records, table_downloads, unbroken
from edgetest.app.open_study import show_fault
from edgetest.errors import UnusableInput
from edgetest.study.wear.grading import analyse_grades
from edgetest.study.wear.group_titles import titles_of


def show(source, reading, limit=None, level=0.95):
    """The lives to leaving a grade, and what they say together."""
    try:
        found = analyse_grades(source, reading=reading, leaves=limit, level=level)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if found.fit is not None:
        st.markdown(f"#### {unbroken(found.fit.summary())}")
    titles = titles_of(source.study)
    rows = [
        {
            "blade": life.blade,
            "heat treatment": titles.get(treatment, treatment),
            f"left “{found.leaves}”": life.summary().partition(": ")[2],
            "checks": life.checks,
        }
        for life, treatment in zip(found.lives, found.treatments, strict=True)
    ]
    table = pd.DataFrame(rows)
    st.dataframe(table, hide_index=True)
    table_downloads(frame_records(table), f"{source.path.name}_{reading}", what="lives")
    list_doubts(found.doubts)
