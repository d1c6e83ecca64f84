"""Page: which heat treatment lasts longer, by what factor, how sure."""

import streamlit as st

from edgetest.app.workspace import analysed, heading
from edgetest.report.comparison_figures import plot_comparison


def show():
    """The page."""
    heading("Comparison", "Blades are the replicates; photographs of one blade are not blades.")
    margin = st.slider("Difference in life worth knowing, %", 1, 50, 10, key="comparison.margin")
    result = analysed(margin=margin / 100)
    if result.comparison is None:
        for warning in result.warnings:
            st.warning(warning["text"])
        return
    st.markdown(f"#### {result.summary()}")
    numbers = result.comparison.to_dict()
    for warning in numbers["warnings"]:
        st.markdown(f"- {warning['text']}")
    lives, _ = plot_comparison(numbers, result.fit.blades, result.treatments())
    st.pyplot(lives.figure, width="stretch")
    st.dataframe(result.comparison.to_frame(), hide_index=True)
