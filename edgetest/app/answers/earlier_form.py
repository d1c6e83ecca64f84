"""Form of the verdict's page: what earlier studies settled, each taken only by its own button."""

import streamlit as st

from edgetest.app.answers.evidence_forms import kept
from edgetest.app.open_study import stamp
from edgetest.app.verbatim import verbatim
from edgetest.store.study_list import list_studies
from edgetest.study.steel.settled_pieces import add_settled, settled_pieces


def offered(source):
    """Settled pieces that could be added; looked for again when any study beside it changes."""
    beside = (entry.folder for entry in list_studies(source.path.resolve().parent))
    return _offered(str(source.path), tuple(stamp(folder, photos=False) for folder in beside))


@st.cache_data(max_entries=4, show_spinner="Looking through earlier studies")
def _offered(folder, version):
    return settled_pieces(folder)


def earlier_form(source):
    """A button for each, with what it would add."""
    st.caption("Nothing is added unasked. What you add counts beside the habits of the trade.")
    for number, one in enumerate(offered(source)):
        st.markdown(verbatim(f"{one.summary()}."))
        st.button(
            "Add to what my shop knows", key=f"verdict.earlier.{number}", on_click=kept,
            args=(add_settled, source.path, one),
        )  # fmt: skip
