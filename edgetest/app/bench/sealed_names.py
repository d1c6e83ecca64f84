"""How is the word asked for that seals a study's names, and that opens them again?

A word is never kept: it stands in no draft, and is gone when the page is left.
"""

import streamlit as st

from edgetest.app.open_study import faults_shown
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.study.bench.blinding import is_sealed, shown_names
from edgetest.study.bench.unsealing import labels_of, unseal_names


def word_twice(key):
    """Fields for the word that is to seal the names; what was typed, as two texts."""
    st.caption(
        "A second person types the word, keeps it, and ties the codes on the blades. Whoever cuts "
        "and reads must not know it. Without the word nobody gets the names back."
    )
    return tuple(
        st.text_input(words, type="password", key=f"{key}.{part}", autocomplete="new-password")
        for part, words in (("word", "Word of the second person"), ("again", "The word again"))
    )


def same_word(word, again):
    """The word, if it was typed alike twice.

    Raises
    ------
    UnusableInput
    """
    if word != again:
        raise UnusableInput("the two words differ", "word", "type it twice alike")
    return word


def show_sealed(source):
    """The key to the codes for who ties them on, and the way to bring the names back."""
    if not is_sealed(source.study):
        _old_key(source)
        return
    with st.expander("Sealed names"):
        st.caption(
            "Whoever cuts and reads should not open this before all readings are taken. Both "
            "buttons are noted in the history."
        )
        word = st.text_input(
            "Word of the second person", type="password", key="sealed.word", autocomplete="off"
        )
        with st.container(horizontal=True):
            labels = st.button("Show the codes to tie on", key="sealed.labels")
            unseal = st.button("Unseal the names for good", key="sealed.open")
        if labels:
            with faults_shown():
                for blade, code in labels_of(source.path, word).items():
                    st.markdown(f"- {verbatim(blade)}: **{verbatim(code)}**")
        if unseal:
            with faults_shown():
                unseal_names(source.path, word)
                st.rerun()


def _old_key(source):
    """The key of a study that an earlier version blinded; it lies in clear in its folder."""
    codes = shown_names(source)
    if all(blade == code for blade, code in codes.items()):
        return
    with st.expander("Key to the codes, for the one who labels the blades"):
        st.caption("Whoever cuts should not read this.")
        if st.toggle("Show the key", key="bench.key"):
            for blade, code in codes.items():
                st.markdown(f"- {verbatim(blade)}: **{verbatim(code)}**")
