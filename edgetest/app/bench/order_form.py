"""In which order are the blades cut, and which code goes on which blade?"""

import streamlit as st

from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_shown, show_kept_faults
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
    form = kept_form(source.path, "run order")
    typed = form.field(
        st.text_input, "Rolls, boards or days, in the order in which they come, commas between",
        "", "blocks", autocomplete="off", placeholder="roll 1, roll 2; blank for one",
    )  # fmt: skip
    seed = form.field(
        st.number_input, "Number of the draw: the same draws the same order", 1, "seed",
        min_value=1,
    )  # fmt: skip
    blinded = form.field(
        st.toggle, "Blind: the bench shows codes, not names", False, "blinded"
    )  # fmt: skip
    if form.save("Draw the order and begin"):
        blocks = [name.strip() for name in typed.split(",") if name.strip()]
        with faults_shown():
            draw_order(source, blocks or [""], seed=seed, blinded=blinded)
            form.forget()
            st.rerun()
    st.button("Keep the order of the list and begin", key="order.keep",
              on_click=keep_order, args=(source,))  # fmt: skip


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
