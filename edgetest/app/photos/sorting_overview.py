"""All pictures of the tray, small; the whole row as planned, shown before it is done."""

import streamlit as st

from edgetest.app.open_study import faults_kept
from edgetest.app.photos.reduced_pictures import tile
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.study.photos.sort_assign import assign_all, set_aside
from edgetest.study.photos.sort_places import as_planned
from edgetest.study.words import counted

SHOWN = 24
TILE_WIDE_PX = 150


def show_plan(source, tray, places):
    """Offer to give all waiting pictures their places in the plan's order; show it first."""
    pairs = list(zip(tray.waiting, as_planned(places, len(tray.waiting)), strict=False))
    if len(pairs) < 2:
        return
    if not st.session_state.get("sorting.planned"):
        st.button(
            f"As planned: all {len(pairs)}", key="sorting.plan", on_click=_ask, args=(True,),
            icon=":material/playlist_add_check:",
        )  # fmt: skip
        return
    with st.container(border=True, key="sort_plan"):
        st.header("As planned")
        over = len(tray.waiting) - len(pairs)
        st.markdown(
            "The first picture goes to the first place that is free, and so on. Check that "
            "picture and place agree, then say yes."
            + (f" **{counted(over, 'picture')} will find no place and stay here.**" if over
               else "")
        )  # fmt: skip
        with st.container(horizontal=True):
            st.button(
                f"Yes, put all {len(pairs)} there", key="sorting.plan.yes", type="primary",
                on_click=_all, args=(source.path, pairs),
            )  # fmt: skip
            st.button("No", key="sorting.plan.no", on_click=_ask, args=(False,))
        _tiles([(picture, place.words) for picture, place in pairs])


def show_grid(tray):
    """The waiting pictures, small; a tap on one takes it next."""
    if len(tray.waiting) < 2:
        return
    with st.expander(f"All {len(tray.waiting)} pictures to sort", icon=":material/grid_view:"):
        _tiles([(picture, picture.name) for picture in tray.waiting], choose=True)


def show_aside(source, tray):
    """Pictures that show no station, to be taken back."""
    aside = [picture for picture in tray.pictures if picture.aside and not picture.photo]
    if not aside:
        return
    with st.expander(f"{counted(len(aside), 'picture')} set aside", icon=":material/inventory_2:"):
        for picture in aside:
            st.button(
                verbatim(f"Sort it after all: {picture.name}"),
                key=f"sorting.back.{picture.sha256}",
                on_click=_back, args=(source.path, picture),
            )  # fmt: skip


def _back(folder, picture):
    set_aside(folder, picture, aside=False)


@uncut
def _ask(asked):
    st.session_state["sorting.planned"] = asked


@uncut
def _all(folder, pairs):
    with faults_kept():
        assign_all(folder, pairs)
    _ask(False)  # behind the writing: whatever is pressed meanwhile ends a callback here


def _tiles(pairs, *, choose=False):
    """Small pictures with their words; a page of them at a time."""
    pages = -(-len(pairs) // SHOWN)
    first = 0
    if pages > 1:
        key = f"sorting.page.{choose}"
        page = st.number_input(f"Part of {pages}", 1, pages, key=key)
        first = (page - 1) * SHOWN
    with st.container(horizontal=True):
        for number, (picture, words) in enumerate(pairs[first : first + SHOWN], first + 1):
            with st.container(width=TILE_WIDE_PX):
                small = tile(picture.shown if picture.shown.is_file() else picture.path)
                if small:
                    st.image(small, alt=f"Picture {number}", width="stretch")
                if choose:
                    st.button(f"Picture {number}", key=f"sorting.at.{picture.sha256}",
                              on_click=look_at, args=(picture.sha256,),
                              width="stretch")  # fmt: skip
                st.caption(verbatim(words if choose else f"{number} · {words}"))


@uncut
def look_at(sha):
    """Take this picture next."""
    st.session_state["sorting.at"] = sha
