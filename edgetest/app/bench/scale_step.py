"""Scale and light of the photographs, asked at the bench before the first of them."""

import streamlit as st

from edgetest.app.open_study import show_kept_faults
from edgetest.app.photos import scale_forms
from edgetest.study.bench.scale_first import type_widths


def show(source):
    """The scale's own form, and the way past it for a shop that photographs nothing."""
    st.title("Scale and light, before the first photograph", anchor=False)
    show_kept_faults()
    st.button("I type the widths, no photographs", key="bench.typed", on_click=type_widths,
              args=(source,), width="stretch")  # fmt: skip
    scale_forms.show(source)
