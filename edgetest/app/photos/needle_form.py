"""Ask for the needle of a set-up with two lamps: its picture and thickness, and the lamps."""

import streamlit as st

from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_kept, faults_shown
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.photo.glints.needle_light import TOLERANCE_UM, TURNED_DEG
from edgetest.store.checking import validate
from edgetest.store.images import PICTURE_ENDINGS, read_picture
from edgetest.store.records import STUDY_FILE
from edgetest.store.scale_rules import LAMP_KEYS, ScaleRule
from edgetest.store.workspace import save_photograph
from edgetest.study.photos.measure_photos import pictures_in
from edgetest.study.study_edit import put_scale

HOW = (
    "Two lines give a size only beside those of a needle of known thickness, photographed in the "
    "same light, zoom and focus. Take it again whenever lamps, zoom or focus were touched, and "
    "give that day at the bench a scale of its own."
)


def needle_asked(source, name, key, rule):
    """The needle in force for a set-up, and the fields to name another.

    Parameters
    ----------
    source : Source
    name : str
        Of the scale in words.
    key : str
        Of the scale as the log says it.
    rule : ScaleRule
        The scale in force, between two lamps.
    """
    now = f"{rule.needle}, {rule.needle_diameter_mm:g} mm" if rule.needle else "none yet"
    with st.expander(
        verbatim(f"Needle in this light: {now}"),
        icon=":material/straighten:",
        expanded=rule.needle is None,
    ):
        st.markdown(HOW)
        with faults_shown():
            form = kept_form(source.path, f"needle {key}")
            picture = _picture(source, name, rule, form)
            told = _told(form, rule)
            if picture is None:
                st.info("Bring in the photograph of the needle.")
                return
            st.button(
                verbatim(f"Use this needle for {name}"), type="primary", key=f"needle.{name}.use",
                on_click=_use, args=(source.path, key, rule, {"needle": picture, **told}, form),
            )  # fmt: skip


def _picture(source, name, rule, form):
    """The needle's picture, as study.toml names it; None where there is none."""
    folder = source.path / "photos"
    file = st.file_uploader(
        "Photograph of the needle", type=PICTURE_ENDINGS, key=f"needle.{name}.file"
    )
    if file is not None:
        read_picture(file.getvalue(), name=file.name)  # what is no picture is not kept
        return f"photos/{save_photograph(source.path, file.name, file.getvalue()).name}"
    named = {row.photo for row in source.log.rows}
    names = [each.name for each in pictures_in(folder)] if folder.is_dir() else []
    names = [each for each in names if each not in named]  # those of no blade
    if not names:
        return None
    now = rule.needle.rpartition("/")[2] if rule.needle else ""
    now = now if now in names else names[0]
    return f"photos/{form.field(st.selectbox, 'Or one that is here', now, 'name', options=names)}"


def _told(form, rule):
    """Thickness and lamps, as keys of the set-up."""
    left, right = st.columns(2, vertical_alignment="bottom")
    diameter = form.field(
        left.number_input, "Diameter of the needle, mm", rule.needle_diameter_mm or 0.4, "mm",
        min_value=0.05, max_value=1.5, step=0.001, format="%.3f",
        help="By micrometer, where you photographed it. 0.2 to 0.5 mm.",
    )  # fmt: skip
    off = TOLERANCE_UM if rule.needle_tolerance_um is None else rule.needle_tolerance_um
    tolerance = form.field(
        right.number_input, "How far that may be off, ± µm", off, "um",
        min_value=0.0, max_value=20.0, step=0.5,
    )  # fmt: skip
    angle = form.field(
        left.number_input, "Lamps from the axis of the lens, °", rule.lamp_angle_deg, "angle",
        min_value=30.0, max_value=90.0, step=1.0, placeholder="not noted",
        help="Not needed: needle and scale give it.",
    )  # fmt: skip
    off = TURNED_DEG if rule.lamps_turned_deg is None else rule.lamps_turned_deg
    turned = form.field(
        right.number_input, "The lamps miss 'straight across the edge' by at most, °", off,
        "turned", min_value=0.0, max_value=45.0, step=1.0,
    )  # fmt: skip
    return {
        "needle_diameter_mm": diameter,
        "needle_tolerance_um": None if tolerance == TOLERANCE_UM else tolerance,
        "lamp_angle_deg": angle,
        "lamps_turned_deg": None if turned == TURNED_DEG else turned,
    }


def without_needle(rule):
    """A set-up's keys without needle and lamps, for a light that has none."""
    return {key: value for key, value in rule.items() if key not in LAMP_KEYS}


@uncut
def _use(folder, key, was, told, form):
    """Write the needle into study.toml, if the set-up that the page showed still stands there."""
    kept = was.model_dump(mode="json", exclude_none=True, exclude={"needle_date"})
    given = {name: value for name, value in {**kept, **told}.items() if value is not None}
    with faults_kept():
        put_scale(folder, key, validate(ScaleRule, given, f"{STUDY_FILE}, scale"), was=was)
        form.forget()
