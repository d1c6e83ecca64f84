"""The camera of this device at the bench, live: words while the video runs, then the picture.

The browser sends a frame, the words for it go back, and only then comes the next one. Nothing
of it is on disk; the picture that is taken goes on as a file would.
"""

from base64 import b64decode, b64encode
from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from edgetest.app.bench.bench_shot import shot_figures, so_far
from edgetest.app.open_study import show_fault
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, unbroken
from edgetest.errors import UnusableInput
from edgetest.study.bench.shots import look_at_frame

NO_WORDS = ("Look yourself", "In light from two sectors the page gives no advice.")

SCALE_WORDS = ("Sharp, and across the picture",
               "Same objective, zoom and camera as for the edges.")  # fmt: skip


@dataclass(frozen=True)
class TakenPicture:
    """A picture of the camera that is not kept yet."""

    data: bytes
    name: str

    def getvalue(self):
        """Its bytes, as an uploaded file gives them."""
        return self.data


@st.cache_resource(show_spinner=False)
def _component():
    html, css, js = (
        Path(__file__).with_suffix(f".{kind}").read_text(encoding="utf-8")
        for kind in ("html", "css", "js")
    )
    return st.components.v2.component("edgetest.live_camera", html=html, css=css, js=js)


def taken_at(place):
    """The picture that was taken and is neither kept nor forgotten, or None."""
    return st.session_state.get(f"{place}.taken")


@st.fragment
def show(source, action, due, place):
    """The live picture with its words; `taken_at` has it once a picture was taken.

    Parameters
    ----------
    source, action, due
        As for `edgetest.study.bench.shots.station_so_far`.
    place : str
        Key of the station's widgets.
    """
    try:
        known = so_far(source, action, due, place)
    except UnusableInput as fault:  # the scale cannot be had
        show_fault(fault)
        return
    key = f"{place}.live"
    answer = st.session_state.get(f"{place}.answer", {})
    _component()(
        key=key,
        data={**answer, **_last(known, answer)},
        on_frame_change=uncut(lambda: _look(known, place, _sent(key, "frame"))),
        on_taken_change=uncut(lambda: _take(place, _sent(key, "taken"))),
    )
    if taken_at(place) is not None:
        st.rerun()


@st.fragment
def show_scale(place):
    """The live picture of what gives the scale, as large as edges are photographed.

    `taken_at` has the picture once one was taken; `forget` makes room for the next.
    """
    key = f"{place}.live"
    _component()(
        key=key,
        data=st.session_state.get(f"{place}.answer", {}),
        on_frame_change=uncut(lambda: _answer_alike(place, _sent(key, "frame"))),
        on_taken_change=uncut(lambda: _take(place, _sent(key, "taken"))),
    )
    if taken_at(place) is not None:
        st.rerun()


def forget(place):
    """The picture that was taken has gone where it belongs."""
    st.session_state.pop(f"{place}.taken", None)


def _answer_alike(place, frame):
    """The same words for each frame: what gives the scale is judged once it was taken."""
    if frame:
        first, rest = SCALE_WORDS
        size = f"Camera {int(frame['width'])} × {int(frame['height'])}"
        st.session_state[f"{place}.answer"] = {
            "gravity": "good", "first": first, "rest": rest, "figures": size, "blur": None,
            "place": "", "number": frame["number"], "has": frame.get("last", ""),
        }  # fmt: skip


def _sent(key, what):
    """What the browser sent, or None: the last frame may come when the camera is off the page."""
    return (st.session_state.get(key) or {}).get(what)


def _last(known, answer):
    """The last picture of the station, unless the browser has it."""
    last = known.last
    if last is None or answer.get("has") == last.name:
        return {}
    address = f"data:image/jpeg;base64,{b64encode(last.jpeg).decode('ascii')}"
    return {"last": {"key": last.name, "words": f"{last.cuts:g} cuts", "address": address}}


def _look(known, place, frame):
    """Words for one frame, to go back with the page."""
    if not frame:
        return
    try:
        size = int(frame["width"]), int(frame["height"])
        words = _words(look_at_frame(known, b64decode(frame["letters"]), size), size)
    except UnusableInput as fault:
        rest = f"{fault.what}; {fault.mend}."
        words = {"gravity": "limits", "first": "This frame cannot be read", "rest": rest,
                 "figures": "", "blur": None, "place": ""}  # fmt: skip
    st.session_state[f"{place}.answer"] = {
        **words, "number": frame["number"], "has": frame.get("last", ""),
    }  # fmt: skip


def _words(look, size):
    """What the page says of a frame: the gravest first, large; the next one below it."""
    check = look.check
    answer = {"figures": f"Camera {size[0]} × {size[1]}", "blur": None, "place": ""}
    if look.place is not None:
        answer["place"] = unbroken(look.place.summary())
    if check is None:
        first, rest = NO_WORDS
        return {**answer, "gravity": "limits", "first": first, "rest": rest}
    answer["figures"] = f"{shot_figures(check)} · {answer['figures']}"
    answer["blur"] = check.blur_px
    if not check.doubts:
        rest = check.summary().partition(": ")[2]
        return {**answer, "gravity": "good", "first": "Good", "rest": unbroken(capital(rest))}
    (first, rest), *others = check.words()
    also = "".join(f" {also}: {then}" for also, then in others[:1])
    gravity = "decides" if check.doubts[0].gravity == "decides" else "limits"
    return {**answer, "gravity": gravity, "first": first, "rest": unbroken(capital(rest) + also)}


def _take(place, picture):
    """Hold the picture for the page, which asks whether it is kept."""
    if picture:
        ending = "png" if picture["kind"] == "image/png" else "jpg"
        held = TakenPicture(b64decode(picture["letters"]), f"camera.{ending}")
        st.session_state[f"{place}.taken"] = held
        st.session_state.pop(f"{place}.answer", None)
