"""How does a photograph of the whole tool become its outline, with its length for a scale?"""

from dataclasses import dataclass

import streamlit as st

from edgetest.app.desk.facts_cards import card_form
from edgetest.app.downloads import show_figure
from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_kept, faults_shown
from edgetest.app.uncut import uncut
from edgetest.chop.silhouette import silhouette
from edgetest.errors import UnusableInput
from edgetest.report.figures.plot_style import NARROW_IN
from edgetest.store.images import PICTURE_ENDINGS, read_picture
from edgetest.store.records import Study
from edgetest.store.workspace import save_photograph
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.facts.fact_values import field_value
from edgetest.study.facts.set_facts import facts_at, set_facts
from edgetest.units import parse_quantity


def silhouette_form(source, blade, place):
    """Take a silhouette into the study, and its scale from the tool's length."""
    st.markdown(
        "Lay the tool on a bright ground, edge away from your hands, and photograph it straight"
        " from above with its whole length in the picture. Its length by rule gives the scale."
    )
    now = facts_at(source.path, place)
    file = st.file_uploader(
        "Photograph of the whole tool", key=f"silhouette.{blade}",
        type=PICTURE_ENDINGS,
    )  # fmt: skip
    left, right = st.columns(2)
    form = kept_form(source.path, f"silhouette of {blade}")
    form.field(left.segmented_control, "The butt lies", now.get("butt"), "butt",
               options=["left", "right"])  # fmt: skip
    form.field(right.text_input, "Its length by rule, mm", "", "length",
               placeholder="400, or 15 3/4 in", autocomplete="off")  # fmt: skip
    if file is not None:
        st.button(
            "Take the outline from it", key=f"silhouette.take.{blade}", type="primary",
            on_click=_take, args=(source.path, blade, place, file, form),
        )  # fmt: skip
    _drawn(source, blade)


@uncut
def _take(folder, blade, place, file, form):
    """Keep the photograph and write where it is and how many millimetres a pixel is."""
    butt, length = form.now("butt"), form.now("length") or ""
    with faults_kept():
        if butt is None:
            raise UnusableInput("is not said", "The butt lies", "tap left or right")
        if not length.strip():
            raise UnusableInput("the length is blank", "length by rule", "measure butt to tip")
        length_mm = float(parse_quantity(field_value(length, "size", "length by rule"), "mm"))
        data = file.getvalue()
        seen = silhouette(read_picture(data, name=file.name).grey, 1.0, butt=butt)
        photo = save_photograph(folder, f"{blade}_silhouette{_ending(file.name)}", data)
        was = facts_at(folder, place)
        wishes = {
            "silhouette": f"photos/{photo.name}", "butt": butt, "scale": None, "sides": None,
            "widths": None, "mm_per_px": float(f"{length_mm / seen.length_mm:.5g}"),
        }  # fmt: skip
        try:
            set_facts(folder, place, was, wishes)
        except UnusableInput:  # the thickness is still to be typed: told by the card below
            card = card_form(folder, place)
            for key, value in wishes.items():
                if value is not None:
                    card.keep(key, "", str(value))
        form.forget()


def _ending(name):
    return "." + name.rsplit(".", 1)[-1].lower()


@dataclass(frozen=True)
class _Tool:
    """A tool to draw of which only the shape and the grip are known."""

    study: Study
    outlines: dict
    handling: dict

    def tool(self, _blade):
        """No swing is worked out here."""


def _drawn(source, blade):
    """The shape in use, to scale."""
    from edgetest.report.figures.chop_figures import plot_balance

    with faults_shown():
        shape = shapes_of(source.study).get(blade)
        if shape is None:
            return
        found = _Tool(
            source.study,
            {blade: outline_of(shape, source.study, f"outline, {blade}")},
            handling_of(source.study),
        )
        plot = plot_balance(found, blade, ringing=False)
        narrow = plot_balance(found, blade, ringing=False, width_in=NARROW_IN)
        length = found.outlines[blade].length_mm
        words = f"{blade} to scale, {length:.0f} mm long, as its outline stands now."
        show_figure(
            plot.figure, f"{blade}_outline", alt=words, narrow=narrow.figure, what="outline"
        )
