"""Ask for grey steps, and put the tone curve they show beside the scale of a set-up."""

import streamlit as st

from edgetest.app.downloads import show_figure
from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_kept, faults_shown
from edgetest.app.page_words import on_page
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.report.figures.photo_figures import plot_tone
from edgetest.store.images import PICTURE_ENDINGS, stored_grey
from edgetest.store.workspace import save_photograph
from edgetest.study.photos.tone_pictures import put_tone, step_numbers, tone_from_pictures

WAYS = {
    "density": ("Densities of the patches", "0.05, 0.20, 0.35, 0.50, 0.65, 0.80, 0.95, 1.10"),
    "light": ("Relative light of the steps", "0.9, 0.6, 0.4, 0.27, 0.18, 0.12, 0.08, 0.05"),
    "seconds": ("Shutter times, in the order of the files", "1/15, 1/30, 1/60, 1/125, 1/250"),
}
HOW = (
    "A file does not say how its camera bends light, so every width carries the doubt of all usual "
    "cameras. Photograph a printed grey wedge that fills the picture, brightest patch just not "
    "white; or one sheet of white paper, out of focus, at several shutter times. Automatic "
    "contrast and HDR off."
)


def tone_asked(source, name, key, rule):
    """Grey steps for the camera of one set-up, and the curve drawn.

    Parameters
    ----------
    source : Source
    name : str
        Of the scale in words.
    key : str
        Of the scale as the log says it.
    rule : ScaleRule
        The scale in force, with the tone that is known.
    """
    known = {None: "not known", "srgb": "sRGB", "linear": "light itself"}
    now = rule.tone if not isinstance(rule.tone, tuple) else "from grey steps"
    with st.expander(
        f"Tone curve of the camera: {known.get(now, now)}", icon=":material/contrast:"
    ):
        st.markdown(HOW)
        files = st.file_uploader(
            "Photograph of the grey steps, or one of each", type=PICTURE_ENDINGS,
            accept_multiple_files=True, key=f"tone.{name}.files",
        )  # fmt: skip
        form = kept_form(source.path, f"tone {key}")
        way = form.field(
            st.segmented_control, "What is known of them", "density", "way",
            options=list(WAYS), required=True,
        )  # fmt: skip
        words, shown = WAYS[way]
        text = form.field(st.text_input, words, "", way, placeholder=shown)
        if not files or not text.strip():
            return
        with faults_shown():
            for file in files:
                stored_grey(file.getvalue(), name=file.name)  # what is no picture is not kept
            paths = [save_photograph(source.path, f.name, f.getvalue()) for f in files]
            found = tone_from_pictures(paths, **{way: step_numbers(text, words)})
            st.success(verbatim(f"{found.summary()}."))
            for doubt in found.doubts:
                st.warning(verbatim(on_page(doubt.text)))
            show_figure(plot_tone(found).figure, "tone", alt=found.summary(), what="tone curve")
            st.button(
                verbatim(f"Use this curve for {name}"), type="primary", key=f"tone.{name}.use",
                on_click=_use, args=(source.path, key, found.curve, form),
            )  # fmt: skip


@uncut
def _use(folder, key, curve, form):
    """Write the curve into study.toml."""
    with faults_kept():
        put_tone(folder, key, curve)
        form.forget()
