"""Page: pictures that belong to no row of a log: measured at once, and kept if one wishes."""

from hashlib import sha256

import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.downloads import frame_records, show_figure, table_downloads
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.open_study import (
    faults_kept,
    open_folder,
    show_fault,
    show_kept_faults,
    source_of,
    stamp,
    told_once,
    workspace,
)
from edgetest.app.photos.crest_form import crest_asked
from edgetest.app.photos.light_form import light_asked
from edgetest.app.photos.pictures_found import WAYS, found_on
from edgetest.app.remember import remembered
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import NOT_NOTED
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.study.photos.calibrations import read_calibrations
from edgetest.study.photos.findings import keep_findings
from edgetest.study.photos.measure_photos import pictures_in
from edgetest.study.photos.photo_scales import lights_of_study, scales_of_study

SIDES = ("Side view", "Before and after")
PAIRS = ("Before and after", "Crest between lamps")
JOINED = ("Whole edge", "Focus stack")  # one scale for all, so it is said and not taken from files
ASKS = {
    "Edge width": (1, "One apex view or several: light along the axis, the worn land a bright "
                      "band between dark bevels. Bring a picture in, or choose one of the study."),
    "Whole edge": (2, "Two pictures or more along one edge, each to the right of the one before "
                      "and sharing a third of it at least. Name them in their order, heel "
                      "first."),
    "Focus stack": (2, "Two pictures or more of one place, each focused at another height, camera "
                       "and blade unmoved between them."),
    "Crest between lamps": (2, "First the edge between two lamps that lie across it, so that its "
                               "crest shows two bright lines; then a needle of known thickness in "
                               "the same light and focus. Lamps are hot, the edge is sharp."),
    "Side view": (1, "The edge from the side against a bright ground: chips are bites out of its "
                     "outline, rolls are bends of it."),
    "Before and after": (2, "The same stretch of edge from the side, before and after the work: "
                            "first the one before, then the one after."),
}  # fmt: skip
NUMBER, IN_FILE = "a number", "what the picture's file says"


def show():
    """The page."""
    st.title("Pictures")
    st.markdown("Pictures that are in no log: measured at once, and kept if you wish.")
    show_kept_faults()
    way = kept_choice(
        workspace(), st.segmented_control, "What is measured", next(iter(WAYS)), "loose way",
        options=list(WAYS), required=True, wrap=True,
    )  # fmt: skip
    form = kept_form(workspace(), "loose pictures")
    least, words = ASKS[way]
    st.markdown(words)
    files = _files(way, form)
    try:
        scale, declared = _scale(form, optional=way not in JOINED)
    except UnusableInput as fault:
        show_fault(fault)
        return
    options = _options(way, scale, declared, form)
    most = 2 if way in PAIRS else len(files)
    if len(files) < least or len(files) > most:
        wanted = "two pictures" if least == 2 else "a picture"
        some = "exactly two" if len(files) > most else wanted
        st.info(f"Bring in {some}, or choose from the open study's photographs.")
        return
    if scale is None:
        st.info("Say the scale: how many µm a pixel covers.")
        return
    asked = (way, tuple((name, sha256(data).hexdigest()) for name, data in files), options)
    if st.button("Measure", type="primary", key="loose.measure"):
        st.session_state["loose.asked"] = asked
    if st.session_state.get("loose.asked") == asked:
        _found(asked, files)


def _files(way, form):
    """Pictures brought in and those chosen of the open study, as (name, bytes)."""
    several = way not in PAIRS
    brought = st.file_uploader(
        "Bring pictures in",
        type=PICTURE_ENDINGS,
        accept_multiple_files=True,
        key=f"loose.files.{way}",
    )  # fmt: skip
    found = [(file.name, file.getvalue()) for file in brought]
    if several:
        found.sort(key=lambda each: each[0])
    folder = open_folder()
    photos = folder / "photos" if folder is not None else None
    if photos is not None and photos.is_dir():
        names = [path.name for path in pictures_in(photos)]
        chosen = form.field(
            st.multiselect, "Or photographs of the open study, in their order", [],
            f"names {folder.name} {way}", options=names,
        )  # fmt: skip
        found += [(name, (photos / name).read_bytes()) for name in chosen]
    if len(found) > 1:
        st.caption(verbatim(f"In this order: {', '.join(name for name, _ in found)}"))
    return found


def _scale(form, *, optional):
    """The scale as options of a measurement and the blur it was taken at, and the light.

    None in place of the first where it is not said.
    """
    known = _known_scales()
    names = [*known, NUMBER, *([IN_FILE] if optional else [])]
    name = form.field(st.selectbox, "Scale", names[0], f"scale {optional}", options=names)
    if name == IN_FILE:
        return ({"um_per_px": None, "relative_u": 0.0}, None), NOT_NOTED
    if name in known:
        found, declared = known[name]
        st.caption(verbatim(f"{found.summary()}."))
        scale = {"um_per_px": found.um_per_px, "relative_u": found.relative_u}
        return (scale, found.blur_px), declared
    left, right = st.columns(2, vertical_alignment="bottom")
    value = form.field(left.number_input, "µm per pixel", None, "um_per_px",
                       min_value=0.0, format="%.5f")  # fmt: skip
    share = form.field(
        right.number_input, "How sure, ± %", 1.0, "relative_u",
        min_value=0.0, max_value=20.0, step=0.1, help="Standard uncertainty of the scale.",
    )  # fmt: skip
    if not value:
        return None, NOT_NOTED
    return ({"um_per_px": value, "relative_u": share / 100}, None), NOT_NOTED


def _known_scales():
    """Scales of the open study and of the shop, with their light, by what they are called here."""
    found = {}
    folder = open_folder()
    if folder is not None:
        try:
            scales = _study_scales(str(folder), stamp(folder))
        except UnusableInput as fault:
            show_fault(fault)
        else:
            for name, scale in scales.items():
                found[f"the open study's{f', {name}' if name else ''}"] = scale
    for name, kept in read_calibrations(workspace()).items():
        found[f"calibration {name}"] = kept.scale(), kept.lighting()
    return found


@st.cache_data(max_entries=8, show_spinner=False)
def _study_scales(folder, version):
    from edgetest.store.records import load_study

    study = load_study(folder)
    lights = lights_of_study(study)
    return {name: (scale, lights[name]) for name, scale in scales_of_study(study).items()}


def _options(way, scale, declared, form):
    """What a way takes besides the pictures, as pairs that a cache can keep."""
    options, blur_px = scale or ({}, None)
    options = dict(options)
    if way in SIDES:
        bright = form.field(st.toggle, "The blade is bright on a dark ground", False, "bright")
        options["blade"] = "bright" if bright else "dark"
    elif way == "Crest between lamps":
        options |= crest_asked(form)
    else:
        options["lighting"] = light_asked(form, declared)
    if way == "Edge width":
        options["blur_px"] = _blur(form, blur_px)
    if way == "Before and after" and form.field(
        st.toggle, "Say how far the second picture is shifted", False, "shifted",
        help="For edges whose grinding does not show it.",
    ):  # fmt: skip
        options["shift_um"] = form.field(
            st.number_input, "How much further along the second picture a place lies, µm",
            0.0, "shift", value=0.0,
        )  # fmt: skip
    return tuple(options.items())


def _blur(form, of_the_scale):
    """Blur known from elsewhere, which a narrow land needs; None where it is worked out."""
    with st.expander("A narrow land: the blur known from elsewhere", icon=":material/tune:"):
        if of_the_scale and form.field(
            st.toggle,
            f"The scale's picture was in the same focus: its blur, {of_the_scale:.2f} px, holds",
            False, "same_focus",
        ):  # fmt: skip
            return of_the_scale
        typed = form.field(
            st.number_input, "Blur, px (standard deviation)", 0.0, "blur",
            min_value=0.0, max_value=20.0, step=0.1, help="0: worked out from each picture.",
        )  # fmt: skip
    return typed or None


def _found(asked, files):
    """What was found, the pictures with it on them, the numbers, and what may be kept."""
    way, _, options = asked
    bar, stop = st.empty(), st.empty()
    stop.button("Stop", key="loose.stop", icon=":material/stop_circle:", on_click=_stop)

    def progress(done, total):
        bar.progress(done / total, f"{done} of {total} measured")

    try:
        found = remembered("pictures", asked, lambda: found_on(way, files, dict(options), progress))
    except UnusableInput as fault:
        show_fault(fault)
        return
    finally:
        bar.empty()
        stop.empty()
    for sentence in found.sentences:
        (st.markdown if found.measured else st.error)(verbatim(sentence))
    st.markdown(verbatim_list(found.doubts))
    name = f"{way}_{files[0][0].rpartition('.')[0]}".replace(" ", "_").lower()
    if found.axes is not None:
        alt = f"{found.alt}. {found.sentences[0]}"
        show_figure(found.axes.figure, name, alt=alt)
    for caption, jpeg in found.overlays:
        st.image(jpeg, caption=caption, width="stretch", alt=f"{caption} with what was found on it")
    for what, table in found.tables.items():
        if len(table):
            show_rows(table, what, key=f"loose.{name}_{what}")
            table_downloads(frame_records(table), f"{name}_{what}", what=what)
    _keep_buttons(found, files, name)


@uncut
def _stop():
    st.session_state.pop("loose.asked", None)


def _keep_buttons(found, files, name):
    """Take the overlays away, or keep pictures and tables in the open study."""
    with st.container(horizontal=True):
        for caption, jpeg in found.overlays:
            stem = caption.rpartition(".")[0]
            st.download_button(
                verbatim(f"Overlay of {caption}"), jpeg, f"{stem}_overlay.jpg", "image/jpeg",
                key=f"loose.overlay.{caption}", on_click="ignore", icon=":material/download:",
            )  # fmt: skip
        for picture, data in found.pictures.items():
            st.download_button(
                "The sharp picture", data, picture, "image/png", key=f"loose.take.{picture}",
                on_click="ignore", icon=":material/download:",
            )  # fmt: skip
    folder = open_folder()
    if folder is None:
        return
    title = source_of(folder).title
    pictures = {**dict(files), **found.pictures}
    tables = {f"{name}_{what}": frame_records(t) for what, t in found.tables.items() if len(t)}
    st.button(
        verbatim(f"Keep pictures and tables in the study “{title}”"),
        key="loose.keep", on_click=_keep,
        args=(folder, pictures, tables), icon=":material/bookmark:",
    )  # fmt: skip
    kept, place = told_once("loose.kept", None)
    if kept:
        place.success(verbatim(f"Kept in the study's folder: {', '.join(kept)}."))


@uncut
def _keep(folder, pictures, tables):
    with faults_kept():
        kept = keep_findings(folder, pictures, tables)
        st.session_state["loose.kept"] = kept
