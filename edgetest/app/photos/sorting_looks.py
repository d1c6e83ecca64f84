"""Set the sides of the land by eye, blind if wished, and see how well the eye repeats."""

import secrets

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.open_study import faults_kept, faults_shown, show_fault, stamp, told_once
from edgetest.app.photos.marking import mark
from edgetest.app.remember import remembered
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.store.images import reduced_jpeg
from edgetest.study.bench.blinding import is_blinded, shown_names
from edgetest.study.photos.sort_eye import eye_check, eye_widths, write_widths
from edgetest.study.photos.sort_focus import focus_check, second_pictures
from edgetest.study.photos.sort_looks import (
    EVERY,
    begin_row,
    keep_look,
    open_names,
    read_looks,
    shown_for_look,
    to_look_at,
    undo_look,
)
from edgetest.study.wear.study_readings import treatment_of
from edgetest.study.words import counted

LEAD = (
    "Set both sides of the bright line by eye, picture after picture in a random order. Where the "
    "names are hidden, neither blade, stage nor heat treatment can guide your hand. One picture "
    f"in {EVERY} comes twice, so you see whether your eye still reads as it did."
)


def show_looks(source):
    """The row of looks: begun, gone through, and opened."""
    row = read_looks(source.path).open_row
    if row is not None:
        _one_look(source, row)
        return
    st.markdown(LEAD)
    try:
        new, old = to_look_at(source)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if not (new or old):
        st.info(
            "There is no photograph with a place and a scale yet. Sort the pictures first, and "
            "set the scale on the page **Photographs**."
        )
        return
    st.markdown(
        f"**{counted(len(new), 'picture')} not looked at yet, {len(old)} looked at before.**"
    )
    who = kept_choice(source.path, st.text_input, "Who looks (may stay blank)", "", "who looks",
                      autocomplete="off")  # fmt: skip
    blind = kept_choice(
        source.path, st.toggle, "Hide blade, stage and heat treatment", True, "looks blind"
    )
    st.button(
        "Begin to look" if new else "Look at old ones again", key="sorting.begin", type="primary",
        on_click=_begin, args=(source, who, blind), icon=":material/visibility:",
    )  # fmt: skip


def show_eye(source):
    """How well the eye repeats, the widths it read, and the log."""
    _focus(source)
    check = eye_check(source.path)
    looks = read_looks(source.path)
    st.header("Your eye")
    if not check.looks:
        st.info("Nothing was looked at yet. Begin under **Set the sides**.")
        return
    for line in check.lines():
        st.markdown(verbatim(line))
    st.caption("Limits of agreement after Bland and Altman (1986, 1999), intervals of 95 %.")
    if looks.open_row is not None and looks.open_row.blind:
        st.info("The widths stand here once you have ended this row and seen the names.")
        return
    widths = eye_widths(source.path)
    names = shown_names(source)
    rows = [
        {
            "blade": names[row.blade],
            "heat treatment": "" if is_blinded(source.study) else treatment_of(source, row.blade),
            "cuts": row.cuts,
            "station mm": row.station_mm,
            "width by eye µm": f"{widths[row.photo][0]:.2f}",
            "blind": "yes" if widths[row.photo][1] else "no",
        }
        for row in source.log.rows
        if row.photo in widths
    ]
    show_rows(pd.DataFrame(rows), "Widths read by eye")
    st.button(
        "Write these widths into the log", key="sorting.write", on_click=_write, args=(source,),
        help="Where no width was typed. What the program measured in a photograph still counts "
             "first, unless the study says otherwise.",
    )  # fmt: skip
    written, place = told_once("sorting.written", None)
    if written is not None:
        many = counted(written, "width")
        place.success(f"{many} written; **Undo** on the bench takes each back.")


def _focus(source):
    """How well the focus repeats, from second photographs of a place, once they are measured."""
    pictures = second_pictures(source)
    if not pictures:
        return
    st.header("Your focus")
    key = str(source.path), stamp(source.path, photos=False), tuple(p.sha256 for p in pictures)
    asked = st.session_state.get("sorting.focus") == key
    if not asked:
        st.button(
            f"Measure {counted(len(pictures), 'second photograph')}", key="sorting.measure",
            on_click=_ask_focus, args=(key,), icon=":material/straighten:",
        )  # fmt: skip
        return
    with faults_shown():
        bar = st.progress(0.0, "Measuring")
        check = remembered(
            "sorting.focus", key,
            lambda: focus_check(
                source,
                progress=lambda done, total: bar.progress(done / total, f"{done:d} of {total:d}"),
            ),
        )  # fmt: skip
        bar.empty()
        for line in check.lines():
            st.markdown(verbatim(line))


@uncut
def _ask_focus(key):
    st.session_state["sorting.focus"] = key


def _one_look(source, row):
    """One picture, its edge level and large, and two sides to be set."""
    at, many = len(row.looks) + 1, len(row.photos)
    code = f"Picture {at} of {many}"
    st.markdown(
        f"**{code}.** Set one point on the upper side of the bright line, one on the lower."
    )
    width = None
    with st.container(key="sort_look"), faults_shown():
        shown = shown_for_look(source, row.due)
        jpeg = reduced_jpeg(shown.cut.grey, 1200)
        rows, columns = shown.cut.grey.shape
        points = _sides(source, f"{row.name}.{at}", jpeg, columns, rows)
        width = shown.width_um(points) if points else None
    if not row.blind:
        _place_words(source, row.due)
    with st.container(key="sort_big"):
        st.button(
            "Both sides are set: next" if width else "Set both sides in the picture",
            key="sorting.look", type="primary", width="stretch", disabled=not width,
            on_click=_keep, args=(source.path, row, width), icon=":material/check:",
        )  # fmt: skip
    with st.container(horizontal=True):
        st.button("No side can be seen", key="sorting.look.none", on_click=_keep,
                  args=(source.path, row, None))  # fmt: skip
        if row.looks:
            st.button("Undo: the last picture", key="sorting.look.undo", icon=":material/undo:",
                      on_click=undo_look, args=(source.path, row))  # fmt: skip
        st.button("End here and show the names", key="sorting.open", on_click=open_names,
                  args=(source.path, row))  # fmt: skip


def _sides(source, name, jpeg, columns, rows):
    """Both sides as they are set in a picture; kept for this window until the next one."""
    form = kept_form(source.path, "sides set by eye", alone=True)
    picture, before = form.held("sides", None) or (None, None)
    before = before if picture == name else None
    points, _ = mark(jpeg, columns, rows, name=name, kind="sides", points=before,
                     key=f"sorting.sides.{name}")  # fmt: skip
    if points and points != before:
        form.keep("sides", None, [name, points])
    return points


def _place_words(source, photo):
    """Which picture it is, where that is not hidden."""
    row = next((row for row in source.log.rows if row.photo == photo), None)
    if row is not None:
        station = f", station {row.station_mm:g} mm" if row.station_mm is not None else ""
        st.caption(verbatim(f"{shown_names(source)[row.blade]}, {row.cuts} cuts{station}"))


@uncut
def _begin(source, who, blind):
    with faults_kept():
        begin_row(source, seed=secrets.randbits(32), who=who, blind=blind)


def _keep(folder, row, width):
    keep_look(folder, row, width)


@uncut
def _write(source):
    with faults_kept():
        st.session_state["sorting.written"] = write_widths(source)
