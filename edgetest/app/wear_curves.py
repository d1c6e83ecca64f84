"""Page: the wear curve of every blade with its band, the limit and the life."""

import pandas as pd
import streamlit as st

from edgetest.app.workspace import analysed, heading
from edgetest.report.figures import plot_wear, plot_wear_panel


def show():
    """The page."""
    heading("Wear curves", "How each edge widened, cut by cut, and when it reached the limit.")
    result = analysed()
    for warning in result.warnings:
        st.caption(warning["text"])
    fits, treatments = result.fit.blades, result.treatments()
    panel = plot_wear_panel(fits, treatments, limit=result.limit, reading=result.reading)
    st.pyplot(panel[0].figure, width="stretch")
    st.subheader("Lives")
    table = pd.DataFrame([_row(fit, name) for fit, name in zip(fits, treatments, strict=True)])
    st.dataframe(table, hide_index=True)
    if result.fit.power is not None:
        st.caption(f"Power p of the wear law, shared by all blades: {result.fit.power.summary()}")
    st.subheader("One blade")
    index = st.selectbox("Blade", range(len(fits)), format_func=lambda i: fits[i].blade)
    left, right = st.columns([3, 2])
    kinds = list(dict.fromkeys(treatments))
    axes = plot_wear(
        fits[index],
        limit=result.limit,
        reading=result.reading,
        style=kinds.index(treatments[index]),
    )
    left.pyplot(axes.figure, width="stretch")
    right.markdown(fits[index].summary())
    for warning in fits[index].to_dict()["warnings"]:
        right.markdown(f"- {warning['text']}")


def _row(fit, treatment):
    life = fit.life
    return {
        "blade": fit.blade,
        "heat treatment": treatment,
        "life": life.summary() if life else "none",
        "scatter of the readings": f"{100 * fit.residual_cv:.1f} %",
    }
