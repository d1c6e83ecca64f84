"""In which order are the blades cut, and do they go by codes?"""

import streamlit as st

from edgetest.app.bench.sealed_names import same_word, word_twice
from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_shown, show_kept_faults
from edgetest.study.bench.bench_order import draw_order, keep_order


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
        help="Blank is one here. Where its own field is blank, the page Plan takes several: name "
        "the rolls of your plan to draw its order again.",
    )  # fmt: skip
    seed = form.field(
        st.number_input, "Number of the draw: the same rolls and number give the same order", 1,
        "seed", min_value=1,
    )  # fmt: skip
    blinded = form.field(
        st.toggle, "Blind: codes in place of the blades' names, everywhere", False, "blinded"
    )  # fmt: skip
    words = word_twice("order") if blinded else None
    if form.save("Draw the order and begin"):
        blocks = [name.strip() for name in typed.split(",") if name.strip()]
        with faults_shown():
            word = same_word(*words) if words else None
            draw_order(source, blocks or [""], seed=seed, word=word)
            form.forget()
            st.rerun()
    st.button("Keep the order of the list and begin", key="order.keep",
              on_click=keep_order, args=(source,))  # fmt: skip
