"""A photograph at the bench before it is kept: what to change, and the last one over it."""

from hashlib import sha256

import streamlit as st

from edgetest.app.bench.two_pictures import lay_over
from edgetest.app.open_study import faults_kept, show_fault, stamp
from edgetest.app.page_words import on_page
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, unbroken, verbatim
from edgetest.errors import UnusableInput
from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.shots import look_at_shot, station_so_far
from edgetest.study.photos.same_pictures import twins_of
from edgetest.study.sources import open_source


def show(source, action, due, file, place):
    """What a shot is worth in large words, the picture, and the choice to keep it.

    Parameters
    ----------
    source, action, due
        As for `edgetest.study.bench.shots.station_so_far`.
    file : UploadedFile or TakenPicture
        A file, or from this device's camera; nothing of it is on disk yet.
    place : str
        Key of the station's widgets.
    """
    data = file.getvalue()
    with st.container(key=f"bench_shot_{due.name}_{due.station_mm}"):
        try:
            known = so_far(source, action, due, place)
            asked = (place, sha256(data).hexdigest(), stamp(source.path))
            shot = _looked_at(asked, known, data, file.name)
        except UnusableInput as fault:  # no picture, or the scale cannot be had
            show_fault(fault)
            _buttons(source, action, due, data, file.name, place, good=False)
            return
        if shot.check is not None:
            _words(shot.check)
        for twin in _twins(asked, source, data, file.name):
            st.error(f"**The same picture.** It is that of {verbatim(twin)}. Take this one again.")
        _buttons(
            source, action, due, data, file.name, place, good=not shot.check or shot.check.good
        )
        where = f"Blade {action.name}, {action.stage} cuts, {due.where}"
        if shot.last is None:
            st.image(shot.jpeg, alt=f"The new picture, not kept yet. {where}", width="stretch")
        else:
            _over_the_last(shot, place)
        if shot.check is not None:
            st.caption(verbatim(shot_figures(shot.check)))


@st.cache_resource(max_entries=8, show_spinner="Looking at the picture")
def _looked_at(asked, _known, _data, name):
    return look_at_shot(_known, _data, name)


@st.cache_resource(max_entries=8, show_spinner=False)
def _twins(asked, _source, _data, name):
    """Rows of the log that show this very picture already, in words."""
    return twins_of(_data, name, _source.log.rows, _source.photos_folder)


def so_far(source, action, due, place):
    """What is known of a station before a new picture comes, read once as long as nothing changes.

    Parameters
    ----------
    source, action, due
        As for `edgetest.study.bench.shots.station_so_far`.
    place : str
        Key of the station's widgets.
    """
    return _so_far((place, stamp(source.path)), source, action, due)


@st.cache_resource(max_entries=2, show_spinner=False)
def _so_far(asked, _source, _action, _due):
    return station_so_far(_source, _action, _due)


def _words(check):
    """Large plain words, the gravest first."""
    if not check.doubts:
        st.success(f"**Good.** {verbatim(check.summary().partition(': ')[2].capitalize())}")
    for doubt, (first, rest) in zip(check.doubts, check.words(), strict=True):
        box = st.error if doubt.gravity == "decides" else st.warning
        box(f"**{first}.** {verbatim(capital(rest))}")


def _buttons(source, action, due, data, name, place, *, good):
    """Keep it or take another; nothing is kept before one says so."""
    with st.container(horizontal=True, key=f"bench_big_shot_{due.name}_{due.station_mm}"):
        st.button(
            "Keep this picture", key=f"{place}.keep", type="primary" if good else "secondary",
            on_click=_keep, args=(source.path, action, due, data, name, place), width="stretch",
        )  # fmt: skip
        st.button(
            "Take it again", key=f"{place}.again", type="secondary" if good else "primary",
            on_click=_next_shot, args=(place,), width="stretch",
        )  # fmt: skip


@uncut
def _keep(folder, action, due, data, name, place):
    """The photograph goes to disk and into the log before the page answers."""
    with faults_kept():
        kept = save_station_photo(open_source(folder), action, due, data, name)
        st.session_state["bench.measure"] = kept
    _next_shot(place)


@uncut
def _next_shot(place):
    """The widgets start anew, their picture forgotten."""
    st.session_state.pop(f"{place}.taken", None)
    turn = f"{place}.turn"
    st.session_state[turn] = st.session_state.get(turn, 0) + 1


def _over_the_last(shot, place):
    """The last picture of the station over the new one, and how far this is shifted."""
    st.markdown(f"**{verbatim(shot.place.summary())}**")
    for doubt in shot.place.doubts if shot.place.found else ():
        st.warning(verbatim(on_page(doubt.text)))
    lay_over(
        shot.last.jpeg, shot.jpeg, f"last, {shot.last.cuts:g} cuts", "new", key=f"{place}.over"
    )


def shot_figures(check):
    """The figures behind the words, as a line."""
    if check.width_px is None:
        return "No edge was found to look at."
    return unbroken(
        f"Width about {check.width_px:.0f} px · blur {check.blur_px:.1f} px · edge "
        f"{abs(check.angle_deg):.0f}° off · light {check.land_light:.0%}, "
        f"{check.clipped:.0%} of it at the upper end · bevels {check.light}"
    )
