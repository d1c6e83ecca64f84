"""How are a chop test's side views read from its page, stopped, and set right by hand?"""

from contextlib import suppress

import streamlit as st

from edgetest.app.kept_fields import kept_choice
from edgetest.app.long_work import StoppedError, show_running, start_work, take, work_of
from edgetest.app.open_study import faults_shown
from edgetest.app.photos.reduced_pictures import SHOWN_PX, size_of
from edgetest.app.photos.set_right import Subject, set_right
from edgetest.app.verbatim import verbatim
from edgetest.report.figures.overlay import draw_result
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.chop.chop_looks import side_view_tasks
from edgetest.study.photos.side_views import kept_side_view, waiting_side_views
from edgetest.study.words import counted

AT_ONCE = 6  # so few are read without asking
WAYS = ("Look", "Region", "Stretch of edge", "Damage", "Scale")


def side_views_waiting(source):
    """Side views of the open study that are still to be read; a page asks before many."""
    if source.chops is None:
        return []
    tasks = side_view_tasks(source.chops, source.study, source.photos_folder)
    return waiting_side_views(tasks.values())


def read_or_ask(source):
    """Whether the side views may be read: few at once, many when asked, counted and stoppable.

    Reading goes on while other pages are looked at, and each view read is kept by a stop.

    Returns
    -------
    bool
        Whether the test can be worked out now; otherwise the page has said what is to be done.
    """
    key = "side views", str(source.path)
    work = work_of(key)
    if work is not None:
        if not work.rested():
            show_running(work)
            return False
        with suppress(StoppedError):
            take(work)
    waiting = side_views_waiting(source)
    if len(waiting) <= AT_ONCE:
        return True
    words = counted(len(waiting), "side view")
    st.info(f"{words} to read: new, or set right since. You can stop; it goes on from there.")
    st.button(f"Read {words}", type="primary", key="chopper.read", on_click=_read,
              args=(key, waiting))  # fmt: skip
    return False


def _read(key, waiting):
    """Begin to read side views."""

    def make(report):
        for number, task in enumerate(waiting, 1):
            kept_side_view(task)
            report(number, len(waiting))

    start_work(key, make, "Side views", counts="read", stop_says="Stop reading")


def set_side_view_right(source, result, blade):
    """One of a tool's side views, and what a person sets right on it."""
    photos = {
        photo.photo: photo for look in result.looks if look.blade == blade for photo in look.photos
    }
    if not photos:
        return
    with st.expander("Set a side view right", icon=":material/edit:"):
        name = kept_choice(
            source.path, st.selectbox, "Side view", next(iter(photos)), f"side view {blade}",
            options=list(photos),
        )  # fmt: skip
        way = kept_choice(
            source.path, st.segmented_control, "Set right", WAYS[0], "chopper way",
            options=WAYS, required=True, wrap=True,
            help="What the program measured stays; a correction is kept beside it, with your name.",
        )  # fmt: skip
        photo = photos[name]
        st.markdown(verbatim(photo.summary()))
        if photo.automatic is not None:
            chips, rolls = photo.automatic["chips"], photo.automatic["rolls"]
            st.markdown(
                "Set right by a person. Without that: "
                f"{counted(len(chips) or 'no', 'chip')}, {counted(len(rolls) or 'no', 'roll')}."
            )
        with faults_shown():
            set_right(source, _subject(photo), way)


def _subject(photo):
    """The side view as it is set right."""
    found = [{**each, "kind": kind.removesuffix("s")}
             for kind in ("chips", "rolls") for each in photo.numbers[kind]]  # fmt: skip
    try:
        drawn = reduced_jpeg(
            draw_result(read_picture(photo.path), photo, photo.measurement), SHOWN_PX
        )
        size = size_of(photo.path)
    except UnreadablePicture:
        drawn, size = None, (1, 1)
    return Subject(
        photo=photo.photo,
        path=photo.path,
        size=size,
        correction=photo.correction,
        found=tuple(found),
        measurement=photo.measurement if photo.measured else None,
        drawn=drawn,
        um_per_px=(photo.numbers["scale"] or {}).get("um_per_px"),
        alt=f"{photo.photo}: {photo.summary()}",
    )
