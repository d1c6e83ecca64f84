"""What does a field of a study that is set up begin with, and why never with what changes?"""

import streamlit as st


def begins(key, value):
    """A field's key; where the field is new it begins with a value.

    A value, default or index that changes with what is kept would make the field another one, and
    what is tapped meanwhile would be lost.
    """
    if key not in st.session_state:
        st.session_state[key] = value
    return key
