"""In which order are the blades cut, and which code goes on which blade?"""

import streamlit as st

from edgetest.app.open_study import faults_kept, show_kept_faults
from edgetest.study.bench.bench_order import draw_order, keep_order
from edgetest.study.bench.blinding import is_blinded, shown_names


def show_order(source):
    """Draw the run order before the first cut."""
    st.title("In which order", anchor=False)
    show_kept_faults()
    st.markdown(
        "The day, the roll and the hand drift while a test runs. A random order keeps the "
        "drift from looking like a heat treatment; codes in place of names keep the hand from "
        "favouring one."
    )
    st.text_input(
        "Rolls, boards or days, in the order in which they come, with commas between",
        key="order.blocks", autocomplete="off", placeholder="roll 1, roll 2; blank for one",
    )  # fmt: skip
    st.number_input("Seed: the same number draws the same order", 1, None, 1, key="order.seed")
    st.toggle("Blind: the bench shows codes, not names", key="order.blinded")
    st.button("Draw the order and begin", key="order.draw", type="primary", on_click=_draw,
              args=(source,), width="stretch")  # fmt: skip
    st.button("Keep the order of the list and begin", key="order.keep",
              on_click=keep_order, args=(source,), width="stretch")  # fmt: skip


def _draw(source):
    state = st.session_state
    blocks = [name.strip() for name in state["order.blocks"].split(",") if name.strip()]
    with faults_kept():
        draw_order(source, blocks or [""], seed=state["order.seed"], blinded=state["order.blinded"])


def show_labels(source):
    """Which code goes on which blade, for another person to tie on."""
    if not is_blinded(source.study):
        return
    with st.expander("Key to the codes, for the one who labels the blades"):
        st.caption("Whoever cuts should not read this.")
        if not st.toggle("Show the key", key="bench.key"):
            return
        for blade, code in shown_names(source).items():
            st.markdown(f"- {blade}: **{code}**")
