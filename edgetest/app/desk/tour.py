"""The short tour that a first start opens with."""

import streamlit as st

from edgetest.app.links import link
from edgetest.app.open_study import workspace
from edgetest.store.files import write_atomic

CLOSED = ".tour_closed"
OF = "billhook_temper_study"
STEPS = (
    ("photographs", "Photographs",
     "Every photograph of an edge is measured; one that cannot be says why."),
    ("wear-curves", "Wear curves", "How each edge widened, and the cuts at which it was dull."),
    ("comparison", "Comparison", "Which heat treatment lasts longer, by what factor, how sure."),
    ("document", "Document", "What you hand to a customer, as a PDF."),
)  # fmt: skip


def show():
    """The tour, until it is closed for good."""
    folder = workspace()
    if (folder / CLOSED).exists():
        return
    with st.container(border=True, key="tour"):
        st.markdown(
            "**A short tour.** What is open is a sample run with invented data: three billhooks "
            "of each of two tempers and a control blade, 216 photographs of their edges. Nothing "
            "in it is yours, so nothing can go wrong. Look at it in this order:"
        )
        with st.container(horizontal=True, gap=None):
            for number, (path, name, _) in enumerate(STEPS, 1):
                link(path, f"{number}. {name}")
        st.caption(" ".join(words for _, _, words in STEPS))
        st.markdown("Then begin a study of your own at a door above, and take it to the **Bench**.")
        st.button("Close the tour", key="tour.close", on_click=_close)


def _close():
    write_atomic(workspace() / CLOSED, "Take this file away to see the tour again.\n")
