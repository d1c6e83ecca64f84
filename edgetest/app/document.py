"""Page: the document for the customer, to look at and to take away."""

import tempfile
from pathlib import Path

import streamlit as st

from edgetest.app.workspace import analysed, heading, show_fault
from edgetest.errors import UnusableInput
from edgetest.report.document import build_document


def show():
    """The page."""
    heading("Document", "What was tested, the answer, the figures, and what the data cannot say.")
    paper = st.radio("Paper", ["a4", "us-letter"], horizontal=True, key="document.paper")
    units = st.radio(
        "Lengths in", ["metric", "inch", "both"], horizontal=True, key="document.units"
    )
    if not st.button("Write the document", type="primary"):
        return
    result = analysed()
    with tempfile.TemporaryDirectory() as folder:
        try:
            files = build_document(result, folder, paper=paper, units=units)
        except UnusableInput as fault:
            show_fault(fault)
            return
        contents = {Path(file).name: Path(file).read_bytes() for file in files}
    for name, data in contents.items():
        kind = "PDF" if name.endswith(".pdf") else "HTML"
        st.download_button(f"Download {kind}", data, name, key=f"document.{kind}")
    page = next((data for name, data in contents.items() if name.endswith(".html")), None)
    if page is not None:
        st.iframe(page.decode("utf-8"), height=900)
