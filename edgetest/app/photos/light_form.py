"""Ask for the light of a set-up: where it comes from, and the apertures of lens and lamp."""

import streamlit as st

from edgetest.photo.apex.apex_light import NOT_NOTED, declared_light

WORDS = {
    "": "not noted",
    "on-axis": "through the lens (on-axis)",
    "ring": "ring of lamps around the lens",
    "dome": "dome or tent, from all sides",
    "two sectors": "two opposite sectors of a ring, the rest covered",
}
HELP = (
    "Through the lens: the flat of the edge shines bright between dark bevels, and a lamp or a "
    "half-mirror sits in the tube. A ring or dome lights bevels and corners, and no width can be "
    "read from it."
)
LENS_HELP = (
    "Engraved on the objective behind the magnification: on 10x/0.25 it is 0.25. Where only a "
    "working distance is engraved, look into the leaflet; leave it empty if you cannot find it."
)
LAMP_HELP = (
    "Only where the light fills another angle than the lens sees. Leave it empty for light through "
    "the same objective."
)


def light_asked(form, now=NOT_NOTED):
    """The light as a person chooses it.

    Parameters
    ----------
    form : KeptForm
        It keeps what is chosen.
    now : Lighting
        What is declared now, shown as the choice.

    Returns
    -------
    Lighting
    """
    direction = form.field(
        st.selectbox, "Where the light comes from", now.direction, "light",
        options=list(WORDS), format_func=lambda name: WORDS[name], help=HELP,
    )  # fmt: skip
    if direction not in ("on-axis", "two sectors"):
        return declared_light(direction)
    left, right = st.columns(2, vertical_alignment="bottom")
    lens = form.field(
        left.number_input, "Aperture of the lens (NA)", now.lens_na, "lens_na",
        min_value=0.01, max_value=0.99, step=0.01, placeholder="not noted", help=LENS_HELP,
    )  # fmt: skip
    lamp = form.field(
        right.number_input, "Aperture of the light (NA)", now.lamp_na, "lamp_na",
        min_value=0.01, max_value=0.99, step=0.01, placeholder="not noted", help=LAMP_HELP,
    )  # fmt: skip
    return declared_light(direction, lens, lamp)


def light_keys(lighting):
    """The light as keys of a scale's rule, those that are noted."""
    told = {
        "light": lighting.direction, "lens_na": lighting.lens_na, "lamp_na": lighting.lamp_na,
    }  # fmt: skip
    return {key: value for key, value in told.items() if value}
