"""Ask for a needle and two lamps: what turns two bright lines into the size of a crest."""

import streamlit as st

from edgetest.photo.glints.needle_light import TOLERANCE_UM, TURNED_DEG

LIGHTS = {
    "two sectors": "two opposite sectors of the ring, across the edge",
    "ring": "the ring as it is, nothing covered",
}


def crest_asked():
    """The needle's thickness and the lamps, as options of a measurement."""
    left, right = st.columns(2, vertical_alignment="bottom")
    diameter = left.number_input(
        "Diameter of the needle, mm", 0.05, 1.5, 0.4, 0.001, format="%.3f", key="loose.needle",
        help="By micrometer, where you photographed it. 0.2 to 0.5 mm.",
    )  # fmt: skip
    tolerance = right.number_input(
        "How far that may be off, ± µm", 0.0, 20.0, TOLERANCE_UM, 0.5, key="loose.needle_u"
    )
    left, right = st.columns(2, vertical_alignment="bottom")
    direction = left.selectbox(
        "Lamps", list(LIGHTS), format_func=LIGHTS.__getitem__, key="loose.lamps",
        help="An open ring gives only 'at least'. The guide shows how to tape it.",
    )  # fmt: skip
    angle = right.number_input(
        "Lamps from the axis of the lens, °", 30.0, 90.0, None, 1.0, key="loose.lamp_angle",
        placeholder="not noted", help="Not needed where the scale is known.",
    )  # fmt: skip
    turned = st.number_input(
        "The lamps miss 'straight across the edge' by at most, °", 0.0, 45.0, TURNED_DEG, 1.0,
        key="loose.turned",
    )  # fmt: skip
    return {
        "diameter_um": 1000 * diameter,
        "tolerance_um": tolerance,
        "direction": direction,
        "lamp_angle_deg": angle,
        "turned_deg": turned,
    }
