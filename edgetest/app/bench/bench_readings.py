"""The one reading that is due now: a photograph first, else a number, a grade, pass or fail."""

import streamlit as st

from edgetest.app.bench import bench_shot, live_camera
from edgetest.app.bench.number_pad import ask_number
from edgetest.app.open_study import faults_kept, show_fault
from edgetest.app.page_words import on_page
from edgetest.app.photos.reduced_pictures import drawn
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim
from edgetest.errors import UnusableInput
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.study.bench.bench_entry import measure_one, record, stage_photos
from edgetest.study.bench.session_file import leave_out
from edgetest.study.wear.photo_values import W30, WIDTH

PASS_FAIL = ("pass", "fail")
ICONS = {"pass": ":material/check:", "fail": ":material/close:"}
CHOSEN = "bench.reading_first"


def show(source, action):
    """The first reading that is due, or the one that was asked for first."""
    due = due_shown(source, action)
    looked_at = due.by_photo and _photograph(source, action, due)
    if not looked_at:
        if due.kind == "number":
            key = _key(source, action, due)
            ask_number(key, due.label, lambda text: record(source.path, action, due, text))
            how = f" {capital(due.check)}." if due.check else ""
            st.caption(verbatim(f"A number, or a bound: <8, >40, 8-10.{how}"))
        else:
            _choice(source, action, due)
    with st.container(key="bench_leave"):
        st.button(
            "Go on without the rest of this stage",
            key="bench.leave",
            on_click=leave_out,
            args=(source.path, action.run, action.stage),
            width="stretch",
        )


def due_shown(source, action):
    """The reading that the page asks for: the one asked for first, else the first that is due."""
    chosen = st.session_state.get(CHOSEN)
    return next((due for due in action.due if _key(source, action, due) == chosen), action.due[0])


@uncut
def take_first(source, action, due):
    """Ask for a reading before the others of its stage."""
    st.session_state[CHOSEN] = _key(source, action, due)


def _key(source, action, due):
    return f"bench.{source.path.name}.{action.run}.{action.stage}.{due.name}.{due.where}"


@uncut
def _record(folder, action, due, value):
    with faults_kept():
        record(folder, action, due, value)


def _choice(source, action, due):
    """Pass and fail, or the grades of the ladder, as large buttons."""
    words = PASS_FAIL if due.kind == "pass_fail" else source.protocol.ladder
    where = f", {due.where}" if due.where else ""
    st.markdown(f"**{verbatim(capital(due.title) + where)}** — {verbatim(due.check)}")
    big = due.kind == "pass_fail"
    kind = "bench_big" if big else "bench_grades"
    with st.container(horizontal=big, key=f"{kind}_{due.name}_{due.station_mm}_{due.check_no}"):
        for word in words:
            st.button(
                verbatim(capital(word)),
                key=f"bench.{due.name}.{due.where}.{word}",
                icon=ICONS.get(word),
                on_click=_record,
                args=(source.path, action, due, word),
                width="stretch",
            )


def _photograph(source, action, due):
    """Ask for the photograph of a station; whether a picture or the camera fills the screen."""
    again = _why_again(source, action, due)
    place = _key(source, action, due)
    turn = st.session_state.get(f"{place}.turn", 0)
    key = f"{place}.photo.{turn}"
    words = "Take the photograph again" if again else "Photograph"
    words += " between the two lamps" if due.name == W30 else ""
    label = f"{words}: {due.where}" if due.where else words
    file = live_camera.taken_at(place)
    if file is None:
        with st.container(key="bench_upload", gap="small"):
            by_camera = st.toggle(
                "Use this device's camera", key="bench.camera", persist_state="session"
            )
            if by_camera and not st.session_state.get(key):
                live_camera.show(source, action, due, place)
            file = st.file_uploader(verbatim(label), type=PICTURE_ENDINGS, key=key)
        if file is None:
            return by_camera
    bench_shot.show(source, action, due, file, place)
    return True


def _why_again(source, action, due):
    """Say why a photograph that was taken does not do; whether there is one."""
    try:
        photos = stage_photos(source, action.run, action.stage)
    except UnusableInput as fault:  # the scale cannot be had
        show_fault(fault)
        return False
    for photo in reversed(photos):
        name = W30 if photo.between_lamps else WIDTH
        here = (photo.station_mm, name) == due.place
        if here and not photo.measured and not photo.wants_scale:
            st.error(verbatim(on_page(f"Not measured. {photo.numbers['reasons'][0]['text']}")))
            return True
    return False


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
        st.markdown(f"**{verbatim(heads)}**")
        if photo.measured:
            st.markdown(f"## {verbatim(capital(sentence))}")
            for warning in photo.numbers["warnings"]:
                st.caption(verbatim(on_page(warning["text"])))
        elif photo.wants_scale:
            st.markdown("Waits for the scale.")
        else:
            st.error(verbatim(on_page(f"Not measured. {photo.numbers['reasons'][0]['text']}")))
