"""Page: pictures first, sorting later: many photographs get blade, stage and station."""

import streamlit as st

from edgetest.app.kept_fields import kept_choice
from edgetest.app.links import link
from edgetest.app.next_link import next_link
from edgetest.app.open_study import (
    faults_kept,
    opened,
    show_fault,
    show_kept_faults,
    told_once,
)
from edgetest.app.photos import sorting_looks, sorting_overview
from edgetest.app.photos.reduced_pictures import bare_photograph, tile
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.study.photos.sort_assign import assign, keep_second, last_act, set_aside, undo_act
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.words import counted

VIEWS = ("Sort", "Set the sides", "Your eye")
LEAD = (
    "Take all your photographs in a row, with your gloves on. Drop them here afterwards and give "
    "each its blade, stage and station."
)


def show():
    """The page."""
    st.title("Sorting", anchor=False)
    show_kept_faults()
    source = opened()
    view = kept_choice(
        source.path, st.segmented_control, "Show", VIEWS[0], "sorting view", options=VIEWS,
        required=True, label_visibility="collapsed", wrap=True,
    )  # fmt: skip
    if view == "Set the sides":
        sorting_looks.show_looks(source)
        return
    if view == "Your eye":
        sorting_looks.show_eye(source)
        return
    _sort(source)


def _sort(source):
    """Pictures that wait for a place."""
    st.caption(verbatim(source.title) + (" · invented data" if source.study.invented else ""))
    places = places_of(source)
    if not places:
        st.info(
            "The protocol of this study asks for no photograph of an edge, so there is nothing "
            "to sort. Other pictures are read on the page **Pictures**."
        )
        link("pictures", "Open Pictures")
        return
    tray = read_tray(source)
    if not tray.pictures:
        st.markdown(LEAD)
        _drop(source)
    _told()
    _standing(source, tray)
    if tray.waiting:
        _one(source, tray, places)
        sorting_overview.show_plan(source, tray, places)
        sorting_overview.show_grid(tray)
    elif tray.pictures:
        st.success("Every picture has its place. Measure them on the page **Photographs**.")
        link("photographs", "Measure the photographs", icon=":material/straighten:")
        next_link(source, "sorting")
    sorting_overview.show_aside(source, tray)
    if tray.pictures:
        with st.expander("Add more pictures", icon=":material/add:"):
            _drop(source)


def _drop(source):
    """Where files are dropped; each is on disk before the page goes on."""
    turn = st.session_state.get("sorting.turn", 0)
    files = st.file_uploader(
        "Drop the pictures here, all at once", type=PICTURE_ENDINGS, accept_multiple_files=True,
        key=f"sorting.files.{turn}",
    )  # fmt: skip
    if not files:
        return
    bar, told = st.progress(0.0, "Taking the pictures in"), []
    for number, file in enumerate(files, 1):
        told += take_in(source, [(file.name, file.getvalue())])
        bar.progress(number / len(files), verbatim(f"Picture {number} of {len(files)} is on disk"))
    st.session_state["sorting.told"] = told
    st.session_state["sorting.turn"] = turn + 1
    st.rerun()


def _told():
    """What became of the files that were dropped, once."""
    told, place = told_once("sorting.told")
    with place:
        _each_told(told)


def _each_told(told):
    new = [each for each in told if each.picture is not None]
    if new:
        st.success(f"{counted(len(new), 'picture')} taken in; each is on disk.")
    for each in told:
        if each.fault is not None:
            show_fault(each.fault)
    again = [each for each in told if each.known_as]
    if again:
        lines = [
            f"{each.name}: the same {'file' if each.same_file else 'picture'} as {each.known_as}"
            for each in again
        ]
        head = f"{counted(len(again), 'picture')} left out: the study has the same already."
        st.warning(f"{head}\n{verbatim_list(lines)}")


def _standing(source, tray):
    """How many wait, in which order they stand, and the undo."""
    if not tray.pictures:
        return
    placed = sum(bool(each.photo) for each in tray.pictures)
    st.markdown(
        f"**{len(tray.waiting)} to sort, {placed} in place.** {verbatim(tray.order_words())}"
    )
    act = last_act(source)
    if act is not None:
        st.button(
            verbatim(f"Undo: {act.words()}"), key="sorting.undo", icon=":material/undo:",
            on_click=_undo, args=(source.path, act),
        )  # fmt: skip


@uncut
def _undo(folder, act):
    with faults_kept():
        undo_act(folder, act)
        st.session_state["sorting.at"] = act.shas[0]


def _one(source, tray, places):
    """One picture, large, with three choices; what is due is chosen already."""
    waiting = tray.waiting
    shas = [each.sha256 for each in waiting]
    at = st.session_state.get("sorting.at")
    number = shas.index(at) if at in shas else 0
    picture = waiting[number]
    due = next(iter(as_planned(places, 1, after=_last_key(tray, places))), places[0])
    with st.container(key="sort_two"):
        left, right = st.columns([3, 2], gap="large")
    with left:
        at_hand = picture.shown.is_file()
        shown = picture.shown.read_bytes() if at_hand else bare_photograph(picture.path)[0]
        st.image(shown, alt=f"Picture {number + 1} of {len(waiting)} to sort", width="stretch")
        taken = f" · {picture.taken[:22].replace('T', ' ')}" if picture.taken else ""
        st.caption(verbatim(f"Picture {number + 1} of {len(waiting)} · {picture.name}{taken}"))
    with right:
        put = st.container()
        place = _choices(picture, places, due)
        with put:
            _put(source, picture, place)
        with st.container(horizontal=True):
            if len(waiting) > 1:
                st.button(
                    "Later", key="sorting.skip", icon=":material/skip_next:",
                    on_click=sorting_overview.look_at, args=(shas[(number + 1) % len(shas)],),
                )  # fmt: skip
            st.button(
                "Shows no station", key="sorting.aside", icon=":material/inventory_2:",
                on_click=set_aside, args=(source.path, picture),
            )  # fmt: skip


def _last_key(tray, places):
    """The place that a picture was given last, which the next one follows."""
    placed = {each.photo for each in tray.pictures if each.photo}
    mine = [place.key for place in places if place.photo in placed]
    return mine[-1] if mine else None


def _choices(picture, places, due):
    """Blade, stage and station; what is due stands first and is chosen."""
    here, name = places, f"sorting.{picture.sha256[:12]}.{due.words}"
    for label, words in (
        ("Blade", lambda place: place.run_words),
        ("Stage", lambda place: place.stage_words),
        ("Station", lambda place: place.station_words),
    ):
        due = due if due in here else _first_free(here)
        chosen = _choice(label, here, due, words, name)
        here = [place for place in here if words(place) == chosen]
        name = f"{name}.{chosen}"
    return here[0]


def _first_free(places):
    return next((place for place in places if place.free), places[0])


def _choice(label, places, due, words, name):
    """One choice, beginning with what is due and going round; what is full has a tick."""
    values = list(dict.fromkeys(map(words, places)))
    free = {words(place) for place in places if place.free}
    first = values.index(words(due))
    with st.container(key=f"sort_choice_{label}"):
        return st.segmented_control(
            label, values[first:] + values[:first], default=values[first], required=True,
            format_func=lambda value: verbatim(value) + " ✓" * (value not in free),
            key=f"{name}.{label}", wrap=True,
        )  # fmt: skip


def _put(source, picture, place):
    """The tap that gives the picture its place, and what stands there already."""
    if place.photo:
        path = source.photos_folder / place.photo
        st.warning(
            f"A photograph stands there already: **{verbatim(place.photo)}**. "
            "Nothing is overwritten."
        )
        small = tile(path) if path.is_file() else None
        if small:
            st.image(small, alt="The photograph that stands there", width=220)
        st.button(
            "Keep it as a second one of this place", key="sorting.second",
            on_click=keep_second, args=(source.path, picture, place),
            icon=":material/filter_2:", width="stretch",
        )  # fmt: skip
        st.caption("Both are measured under **Your eye**: so you see whether the focus repeats.")
    elif place.typed:
        typed = verbatim(f"{place.due.title} {place.typed} {place.due.unit}")
        st.info(f"{typed} was typed there. The photograph is put beside it, and the study says "
                "which one counts.")  # fmt: skip
    label = f"Put it in its place: {place.words}" if place.photo else place.words
    with st.container(key="sort_big"):
        st.button(
            verbatim(label), key="sorting.put", width="stretch",
            type="secondary" if place.photo else "primary",
            icon=":material/swap_horiz:" if place.photo else ":material/check:",
            on_click=_assign, args=(source.path, picture, place),
        )  # fmt: skip


@uncut
def _assign(folder, picture, place):
    with faults_kept():
        assign(folder, picture, place, instead=bool(place.photo))
