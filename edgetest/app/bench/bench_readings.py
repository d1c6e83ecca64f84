"""The readings that are due at a stage: one field each, photographs looked at, then measured."""

import streamlit as st

from edgetest.app.bench import bench_shot, live_camera
from edgetest.app.bench.bench_counter import undo_button
from edgetest.app.open_study import faults_kept, show_fault
from edgetest.app.photos.reduced_pictures import drawn
from edgetest.errors import UnusableInput
from edgetest.study.bench.bench_entry import measure_one, record, stage_photos
from edgetest.study.bench.session_file import leave_out
from edgetest.study.wear.photo_values import W30, WIDTH

PASS_FAIL = ("pass", "fail")
KINDS = ["jpg", "jpeg", "png", "tif", "tiff", "bmp"]
ICONS = {"pass": ":material/check:", "fail": ":material/close:"}


def show(source, action):
    """Everything that is due, each in a form that a glove can work."""
    widths = [due for due in action.due if due.by_photo]
    if widths or _photographed(source, action):
        _photographs(source, action, widths)
    typed = [due for due in action.due if due.kind == "number"]
    if typed:
        _fields(source, action, typed)
    for due in action.due:
        if due.kind != "number":
            _choice(source, action, due)
    with st.container(horizontal=True):
        st.button(
            "Go on without the rest of this stage",
            key="bench.leave",
            on_click=leave_out,
            args=(source.path, action.run, action.stage),
            width="stretch",
        )
        if action.last_tap is not None:
            undo_button(source, action)


def _fields(source, action, typed):
    """One field each; Enter or the button saves whatever is filled in."""
    keys = {due: _key(source, action, due) for due in typed}
    with st.container(key="bench_fields"), st.form("bench.form", border=False):
        st.caption("A number, or a bound: <8, >40, 8-10. Blank is not read.")
        for due in typed:
            st.text_input(due.label, key=keys[due], autocomplete="off")
        st.form_submit_button(
            "Save what is filled in",
            type="primary",
            width="stretch",
            on_click=_save,
            args=(source.path, action, keys),
        )
    checks = dict.fromkeys((due.title, due.check) for due in typed)
    for title, check in checks:
        st.caption(f"{title[:1].upper()}{title[1:]}: {check}.")


def _key(source, action, due):
    return f"bench.{source.path.name}.{action.run}.{action.stage}.{due.name}.{due.where}"


def _save(folder, action, keys):
    """Every field that is filled in goes to disk by itself; what is refused stays to be mended."""
    for due, key in keys.items():
        value = str(st.session_state.get(key) or "").strip()
        if value:
            _record(folder, action, due, value)


def _record(folder, action, due, value):
    with faults_kept():
        record(folder, action, due, value)


def _choice(source, action, due):
    """Pass and fail, or the grades of the ladder, as large buttons."""
    words = PASS_FAIL if due.kind == "pass_fail" else source.protocol.ladder
    where = f", {due.where}" if due.where else ""
    st.markdown(f"**{due.title[:1].upper()}{due.title[1:]}{where}** — {due.check}")
    big = due.kind == "pass_fail"
    kind = "bench_big" if big else "bench_grades"
    with st.container(horizontal=big, key=f"{kind}_{due.name}_{due.station_mm}_{due.check_no}"):
        for word in words:
            st.button(
                word[:1].upper() + word[1:],
                key=f"bench.{due.name}.{due.where}.{word}",
                icon=ICONS.get(word),
                on_click=_record,
                args=(source.path, action, due, word),
                width="stretch",
            )


def _photographed(source, action):
    """Whether the log names a photograph of this stage."""
    return any(
        row.photo and (row.block, row.blade, row.cuts) == (*action.run, action.stage)
        for row in source.log.rows
    )


def _photographs(source, action, widths):
    """A photograph per station: taken, measured, and asked for again where it was refused."""
    try:
        photos = stage_photos(source, action.run, action.stage)
    except UnusableInput as fault:  # the scale cannot be had
        show_fault(fault)
        photos = ()
    taken = {(photo.station_mm, W30 if photo.between_lamps else WIDTH): photo for photo in photos}
    due = {each.place: each for each in widths}
    at = _camera_at(due)
    for place in sorted({*due, *taken}, key=_in_order):
        with st.container(border=True):
            if place in taken:
                photo_beside_number(taken[place], action.name)
            if place in due:
                _ask(source, action, due[place], at, again=place in taken)


def _in_order(place):
    """Stations from the heel; at each the bright line before the two lamps."""
    station, name = place
    return station or 0, name


def _camera_at(due):
    """The place whose edge the camera shows, as a tuple of one; none where it is not wanted."""
    if not due or not st.toggle("Use this device's camera", key="bench.camera"):
        return ()
    chosen = st.session_state.get("bench.camera_at")
    return (chosen,) if chosen in due else (min(due, key=_in_order),)


def _camera_to(place):
    st.session_state["bench.camera_at"] = place


def _ask(source, action, due, camera_at, *, again):
    """Ask for the photograph of one station; it is looked at before it is kept."""
    place = _key(source, action, due)
    turn = st.session_state.get(f"{place}.turn", 0)
    key = f"{place}.photo.{turn}"
    words = "Take the photograph again" if again else "Photograph"
    words += " between the two lamps" if due.name == W30 else ""
    label = f"{words}: {due.where}" if due.where else words
    file = live_camera.taken_at(place)
    if file is None:
        if camera_at and not st.session_state.get(key):
            if due.place in camera_at:
                with st.container(key="bench_live"):
                    st.markdown(f"**{label}**")
                    live_camera.show(source, action, due, place)
            else:
                st.button(f"Camera to {due.where}", key=f"{place}.here", on_click=_camera_to,
                          args=(due.place,), width="stretch")  # fmt: skip
        file = st.file_uploader(label, type=KINDS, key=key)
    if file is not None:
        bench_shot.show(source, action, due, file, place)


def measure_new(source):
    """Measure the photograph that has just been kept; what it shows decides what is next."""
    name = st.session_state.pop("bench.measure", None)
    if name is None:
        return source
    try:
        with st.spinner("Measuring the photograph"):
            measure_one(source, name)
    except UnusableInput as fault:  # the scale cannot be had: the photograph is kept
        show_fault(fault)
    return source


def photo_beside_number(photo, name):
    """A photograph with what was measured on it, the number or the refusal beside it."""
    place = f"station {photo.station_mm:g} mm" if photo.station_mm is not None else ""
    heads = ", ".join(part for part in (f"Blade {name}", f"{photo.cuts:g} cuts", place) if part)
    left, right = st.columns([3, 2])
    sentence = photo.summary()
    shown = drawn(photo, close=True)
    if shown is not None:
        alt = f"Photograph of the edge, {heads}. {shown.words}"
        left.image(shown.jpeg, alt=alt, width="stretch")
    with right:
        st.markdown(f"**{heads}**")
        if photo.measured:
            st.markdown(f"#### {sentence[:1].upper()}{sentence[1:]}")
            for warning in photo.numbers["warnings"]:
                st.caption(warning["text"])
        else:
            st.error(f"Not measured. {photo.numbers['reasons'][0]['text']}")
