"""Page: the standard procedures, in words."""

import streamlit as st

from edgetest.protocol import describe, load_protocol, protocol_ids


def show():
    """The page."""
    st.title("Protocols")
    st.markdown("One procedure for all blades of a study; copy one to write your own.")
    rules = {name: load_protocol(name) for name in protocol_ids()}
    name = st.selectbox("Protocol", list(rules), format_func=lambda name: rules[name].title)
    protocol = rules[name]
    st.subheader(protocol.title)
    st.markdown(protocol.purpose)
    st.markdown(describe(protocol))
    st.markdown("**Cautions**")
    for caution in protocol.cautions:
        st.markdown(f"- {caution}")
    st.markdown("**How a cut is made**")
    st.markdown(f"{protocol.cut.how} *({protocol.cut.source})*")
    st.markdown("**Control blade**")
    st.markdown(protocol.control_blade)
    st.markdown("**Readings**")
    for reading in protocol.readings:
        st.markdown(f"- {reading.title}: {reading.check} *({reading.source})*")
