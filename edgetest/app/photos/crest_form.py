"""Ask for a needle and two lamps: what turns two bright lines into the size of a crest."""

import streamlit as st

from edgetest.photo.glints.needle_light import TOLERANCE_UM, TURNED_DEG

LIGHTS = {
    "two sectors": "two opposite sectors of the ring, across the edge",
    "ring": "the ring as it is, nothing covered",
}


def crest_asked(form):
    """The needle's thickness and the lamps, as options of a measurement."""
    left, right = st.columns(2, vertical_alignment="bottom")
    diameter = form.field(
        left.number_input, "Diameter of the needle, mm", 0.4, "needle",
        min_value=0.05, max_value=1.5, step=0.001, format="%.3f",
        help="By micrometer, where you photographed it. 0.2 to 0.5 mm.",
    )  # fmt: skip
    tolerance = form.field(
        right.number_input, "How far that may be off, ± µm", TOLERANCE_UM, "needle_u",
        min_value=0.0, max_value=20.0, step=0.5,
    )  # fmt: skip
    left, right = st.columns(2, vertical_alignment="bottom")
    direction = form.field(
        left.selectbox, "Lamps", next(iter(LIGHTS)), "lamps", options=list(LIGHTS),
        format_func=LIGHTS.__getitem__,
        help="An open ring gives only a least size. The guide shows how to tape it.",
    )  # fmt: skip
    angle = form.field(
        right.number_input, "Lamps from the axis of the lens, °", None, "lamp_angle",
        min_value=30.0, max_value=90.0, step=1.0, placeholder="not noted",
        help="Not needed where the scale is known.",
    )  # fmt: skip
    turned = form.field(
        st.number_input, "The lamps miss 'straight across the edge' by at most, °", TURNED_DEG,
        "turned", min_value=0.0, max_value=45.0, step=1.0,
    )  # fmt: skip
    return {
        "diameter_um": 1000 * diameter,
        "tolerance_um": tolerance,
        "direction": direction,
        "lamp_angle_deg": angle,
        "turned_deg": turned,
    }
