"""Bring photographs into a study, hear in one line what became of them, and measure them."""

import streamlit as st

from edgetest.app.links import link
from edgetest.app.open_study import faults_shown, show_fault
from edgetest.app.photos.measuring_progress import offer, photographs_of
from edgetest.app.photos.scale_wanted import scale_wanted
from edgetest.app.verbatim import verbatim
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.study.photos.added_photos import add_photo
from edgetest.study.words import counted

NAMED = 6  # names that are listed before the rest is only counted


def show(source, to_scale):
    """Photographs from the camera go to the study's folder as they are.

    Parameters
    ----------
    source : Source
    to_scale : callable
        Opens the view in which the scale is typed.
    """
    st.markdown(
        "They are kept as taken, under their own names. The log's column **photo** says which "
        "blade, stage and station each belongs to; the bench and the page **Sorting** write that "
        "for you."
    )
    files = st.file_uploader(
        "JPEG, HEIC, PNG or TIFF", type=PICTURE_ENDINGS, accept_multiple_files=True,
        key="photographs.files",
    )  # fmt: skip
    _told(source, [_added(source, file) for file in files])
    with faults_shown():
        _, waiting, _ = photographs_of(source)
        scale_wanted(sum(task.um_per_px is None for task in waiting), to_scale=to_scale)
        if waiting:
            offer(source, waiting)


def _added(source, file):
    """What became of a file; each is read and kept once, however often the page runs."""
    known = st.session_state.setdefault("photographs.added", {})
    key = source.path.name, file.file_id
    if key not in known:
        known[key] = add_photo(source, file.name, file.getvalue())
    return known[key]


def _told(source, added):
    """One line for what is kept, one for what the log does not name, one for each fault."""
    kept = [each.name for each in added if each.fault is None]
    for each in added:
        if each.fault is not None:
            show_fault(each.fault)
        for twin in each.twins:
            st.warning(
                verbatim(f"{each.name} shows the same picture as {twin}: that is one reading.")
            )
    if not kept:
        return
    st.success(f"{counted(len(kept), 'photograph')} in the study's folder.")
    named = {row.photo for row in source.log.rows}
    strange = [name for name in kept if name not in named]
    if strange:
        more = " …" if len(strange) > NAMED else ""
        st.warning(
            verbatim(
                f"{len(strange)} of them the log does not name yet: "
                f"{', '.join(strange[:NAMED])}{more}. Write the names into its column photo."
            )
        )
        link("log", "Go to the log")
