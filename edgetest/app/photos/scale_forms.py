"""Take the scale of the photographs and declare their light, set-up by set-up."""

import streamlit as st

from edgetest.app.downloads import show_figure
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.open_study import (
    faults_kept,
    faults_shown,
    show_fault,
    stamp,
    told_once,
    workspace,
)
from edgetest.app.page_words import on_page
from edgetest.app.photos.light_form import light_asked, light_keys
from edgetest.app.photos.marking import mark
from edgetest.app.photos.needle_form import needle_asked, without_needle
from edgetest.app.photos.reduced_pictures import bare_photograph, ruled
from edgetest.app.photos.scale_picture import picture_of_scale
from edgetest.app.photos.tone_form import tone_asked
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import NOT_NOTED
from edgetest.report.figures.photo_figures import plot_scale
from edgetest.store.checking import validate
from edgetest.store.records import STUDY_FILE
from edgetest.store.scale_rules import BESIDE_THE_EDGE, ScaleRule
from edgetest.study.photos.calibrations import (
    keep_calibration,
    misfits,
    read_calibrations,
    rule_of,
)
from edgetest.study.photos.photo_scales import (
    rule_of_scale,
    scale_of_marks,
    scale_of_rule,
    scale_of_wire,
)
from edgetest.study.study_edit import put_scale

UNNAMED = "all photographs"
NEW = "a new named scale"


def show(source):
    """The scale in force, and the ways to take another."""
    st.markdown(
        "Every width rests on the scale. Photograph a stage micrometer through the same objective, "
        "at the same zoom, on the same day; a number copied from a box is a guess."
    )
    name = _which(source.study)
    if name is None:
        return
    rules = {UNNAMED: source.study.scale} if source.study.scale else {}
    rules |= source.study.scales
    now = rules.get(name)
    if now is not None:
        _in_force(source, now, name)
    lit = _light(source, name, now)
    if now is not None:
        if now.light in BESIDE_THE_EDGE:
            needle_asked(source, name, _key(name), now)
        tone_asked(source, name, _key(name), now)
    way = kept_choice(
        source.path, st.segmented_control, "Take it from", next(iter(WAYS)), "scale from",
        options=list(WAYS), required=True, wrap=True,
    )  # fmt: skip
    try:
        taken = WAYS[way](source)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if taken is None:
        return
    found, rule, picture = taken
    rule = light_keys(lit) | rule
    _told(found)
    st.button(
        verbatim(f"Use this scale for {name}"), type="primary", key="scales.use", on_click=_use,
        args=(source.path, _key(name), rule, now),
    )  # fmt: skip
    if picture is not None:
        _keep_for_the_shop(found, source.path / "photos" / picture, lit)


def _key(name):
    """A scale's name as the log says it."""
    return "" if name == UNNAMED else name


def _light(source, name, now):
    """The light of the set-up, to be declared with its scale or by itself."""
    declared = now.lighting() if now else NOT_NOTED
    lit = light_asked(kept_form(source.path, f"light {_key(name)}"), declared)
    if now is not None and lit != declared:
        bare = {"light": None, "lens_na": None, "lamp_na": None}
        rule = now.model_dump(mode="json", exclude_none=True, exclude=set(bare)) | light_keys(lit)
        rule = rule if lit.direction in BESIDE_THE_EDGE else without_needle(rule)
        st.button(
            verbatim(f"Use this light for {name}"), key="scales.use_light", on_click=_use,
            args=(source.path, _key(name), rule, now),
        )  # fmt: skip
    return lit


def _which(study):
    """Name of the scale that is looked at: one for all, or one of several set-ups."""
    names = [UNNAMED, *study.scales, NEW]
    name = kept_choice(study.folder, st.selectbox, "Scale of", names[0], "scale of", options=names)
    if name != NEW:
        return name
    name = kept_form(study.folder, "new scale").field(
        st.text_input, "Its name, as the log's column scale says it", "", "name",
        placeholder="objective_20", autocomplete="off",
    )  # fmt: skip
    return name.strip() or None


@st.cache_data(max_entries=16, show_spinner=False)
def _scale(folder, version, rule):
    return scale_of_rule(rule, folder)


def _in_force(source, rule, name):
    """The scale that is used now."""
    where = rule.ruling or rule.photo or rule.note or "a number"
    with faults_shown():
        found = _scale(str(source.path), stamp(source.path), rule)
        st.markdown(
            f"In force for {verbatim(name)}: **{verbatim(found.summary())}**, from "
            + verbatim(f"{where}; {rule.lighting().words()}.")
        )
        _doubts(found)


def _doubts(found):
    for doubt in found.doubts:
        st.warning(verbatim(on_page(doubt.text)))


def _told(found):
    """A scale that was just taken."""
    st.success(verbatim(f"{found.summary()}."))
    _doubts(found)
    if found.axes:
        axes = plot_scale(found)
        show_figure(axes.figure, "scale", alt=found.summary(), what="lines found")


def _ruling(source):
    name = picture_of_scale(source, "scales.ruling")
    if name is None:
        return None
    path, picture = source.path / "photos" / name, st.empty()
    picture.image(bare_photograph(path)[0], width="stretch", alt=f"photograph {name}")
    form = kept_form(source.path, "scale of a ruling")
    pitch = form.field(
        st.number_input, "Distance of its lines, µm", 10.0, "pitch", min_value=0.1,
        help="Engraved on the micrometer; 10 µm and 100 µm are the usual ones.",
    )  # fmt: skip
    asked = (name, pitch)
    if st.button("Read the lines", key="scales.read"):
        st.session_state["scales.asked"] = asked
    if st.session_state.get("scales.asked") != asked:
        return None
    taken = _by_rule(source, {"ruling": f"photos/{name}", "pitch_um": pitch}, name)
    shown = ruled(path)
    alt = f"photograph {name} with the lines drawn on it: {shown.words}"
    picture.image(shown.jpeg, width="stretch", alt=alt)
    st.caption(verbatim(f"{shown.words}, drawn on the picture: check that they lie on yours."))
    return taken


def _by_rule(source, rule, picture=None):
    """The scale that a rule gives, the rule, and the picture it was taken from."""
    return scale_of_rule(validate(ScaleRule, rule, "scale"), source.path), rule, picture


def _wire(source):
    """A straight body of known width, lying across the picture."""
    st.markdown(
        "Lay a wire, a feeler gauge on edge or the shank of a drill straight across the picture, "
        "in focus, on a plain ground; measure its thickness with a micrometer screw."
    )
    name = picture_of_scale(source, "scales.wire")
    if name is None:
        return None
    st.image(bare_photograph(source.path / "photos" / name)[0], width=420, alt=f"photograph {name}")
    left, right = st.columns(2)
    form = kept_form(source.path, "scale of a wire")
    diameter = form.field(
        left.number_input, "Its thickness, µm", 500.0, "diameter", min_value=1.0, format="%.6g",
        help="A drill of 0.5 mm has a shank of 500 µm.",
    )  # fmt: skip
    unsure = form.field(
        right.number_input, "How sure, ± µm", 2.0, "unsure", min_value=0.0, format="%.3g",
        help="Standard uncertainty of the thickness; 2 µm for a good micrometer screw.",
    )  # fmt: skip
    asked = (name, diameter, unsure)
    if st.button("Find its two sides", key="scales.find"):
        st.session_state["scales.wire_asked"] = asked
    if st.session_state.get("scales.wire_asked") != asked:
        return None
    found = scale_of_wire(source.path / "photos" / name, diameter, unsure)
    return found, rule_of_scale(found, f"a body {diameter:g} µm thick in photos/{name}"), name


def _marks(source):
    return _marked(source, bar=False)


def _bar(source):
    return _marked(source, bar=True)


def _marked(source, *, bar):
    """Two marks a known distance apart, or the ends of a bar that the camera wrote in."""
    way = "bar" if bar else "marks"
    name = picture_of_scale(source, f"scales.{way}")
    if name is None:
        return None
    picture, wide, high = bare_photograph(source.path / "photos" / name)
    points, screen_px = mark(
        picture, wide, high, name=name, kind=way, key=f"scales.{way}.board.{name}"
    )
    words = "Length written beside the bar" if bar else "True distance between the two marks"
    distance = kept_form(source.path, f"scale by {way}").field(
        st.number_input, f"{words}, µm", 100.0, "distance", min_value=0.1, format="%.6g"
    )
    if not points:
        ends = "one end of the bar to the other" if bar else "one mark to the other, far apart"
        st.info(f"Drag from {ends}.")
        return None
    a, b = ([round(value, 2) for value in point] for point in points)
    placed = round(max(0.5, screen_px), 2)
    if bar:
        path = source.path / "photos" / name
        found = scale_of_marks(path, (*a, *b), distance, bar=True, mark_sd_px=placed)
        return found, rule_of_scale(found, f"the bar of {distance:g} µm in photos/{name}"), name
    return _by_rule(source, {
        "photo": f"photos/{name}", "a_rc": a, "b_rc": b, "distance_um": distance,
        "mark_sd_px": placed,
    }, name)  # fmt: skip


def _calibration(source):
    """A scale that the shop has kept by name."""
    known = read_calibrations(workspace())
    if not known:
        st.info(
            "No calibration is kept yet. Take the scale from a stage micrometer, then keep it "
            "under the name of the set-up; every study here can use it."
        )
        return None
    name = st.selectbox(
        "Set-up", list(known), key="scales.calibration",
        format_func=lambda name: f"{name}, taken {known[name].taken_on.isoformat()}",
    )  # fmt: skip
    named = {row.photo for row in source.log.rows if row.photo}
    paths = [source.photos_folder / photo for photo in sorted(named)]
    for doubt in misfits(known[name], [path for path in paths if path.is_file()]):
        st.warning(verbatim(on_page(doubt.text)))
    return _by_rule(source, rule_of(known[name]))


def _keep_for_the_shop(found, picture, lit):
    """Keep the scale by name for other studies on the same set-up."""
    with st.expander("Keep it for other studies on this set-up", icon=":material/bookmark:"):
        form = kept_form(workspace(), "calibration to keep")
        name = form.field(
            st.text_input, "Name of the set-up", "", "name", placeholder="stereo, zoom 4"
        )
        left, middle, right = st.columns(3)
        setup = {
            "camera": form.field(left.text_input, "Camera", "", "camera"),
            "objective": form.field(middle.text_input, "Objective", "", "objective"),
            "zoom": form.field(right.text_input, "Zoom", "", "zoom"),
        }
        st.button("Keep it", key="scales.keep", on_click=_keep,
                  args=(found, picture, name, setup | light_keys(lit)))  # fmt: skip
        kept, place = told_once("scales.kept", None)
        if kept:
            place.success(verbatim(f"{kept} is kept; choose it under Calibration in any study."))


@uncut
def _keep(found, picture, name, setup):
    with faults_kept():
        kept = keep_calibration(workspace(), found, name, picture, **setup)
        kept_form(workspace(), "calibration to keep").forget()
        st.session_state["scales.kept"] = kept.name


def _number(source):
    now = source.study.scale.um_per_px if source.study.scale else None
    form = kept_form(source.path, "scale as a number")
    value = form.field(
        st.number_input, "µm per pixel", now, "number", min_value=0.0, format="%.5f",
        placeholder="such as 0.42000",
    )  # fmt: skip
    share = form.field(
        st.number_input, "How sure, ± %", 1.0, "share", min_value=0.0, max_value=20.0, step=0.1,
        help="Standard uncertainty. What a maker states may be several per cent off.",
    )  # fmt: skip
    if not value:
        st.info("Write the scale, or better: take it from a stage micrometer.")
        return None
    return _by_rule(source, {"um_per_px": value, "relative_u": share / 100})


@uncut
def _use(folder, name, rule, was):
    """Write the scale into study.toml, if the one that the page showed still stands there."""
    with faults_kept():
        put_scale(folder, name, validate(ScaleRule, rule, f"{STUDY_FILE}, scale"), was=was)
        kept_form(folder, f"light {name}").forget()


WAYS = {
    "Stage micrometer": _ruling,
    "Wire or gauge": _wire,
    "Two marks": _marks,
    "Scale bar": _bar,
    "Calibration": _calibration,
    "Number": _number,
}
