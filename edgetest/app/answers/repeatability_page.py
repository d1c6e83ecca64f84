"""Page: is it the blade or the measuring? The same edge read again and again."""

import pandas as pd
import streamlit as st

from edgetest.app.downloads import table_downloads
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.kept_tables import kept_table
from edgetest.app.open_study import (
    faults_kept,
    faults_shown,
    open_folder,
    show_fault,
    show_kept_faults,
    source_of,
    told_once,
    workspace,
)
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.report.figures.plot_style import reading_words
from edgetest.store.files import csv_text
from edgetest.store.logs import READINGS
from edgetest.study.wear.kept_repeats import keep_repeats
from edgetest.study.wear.repeats import columns_of, repeatability_of
from edgetest.study.words import counted

EXAMPLE = [["operator", "edge_width_um"], *([who, ""] for who in ("A", "A", "A", "B", "B", "B"))]
FACTS = (
    ("sd_repeat", "same hand, again"),
    ("repeat_limit", "two such readings differ by at most"),
    ("sd_reproduce", "another hand or set-up"),
    ("reproduce_limit", "two such readings differ by at most"),
)


def show():
    """The page."""
    st.title("Repeatability")
    show_kept_faults()
    st.markdown(
        "Is it the blade or the measuring? Read **one and the same edge** again and again: take "
        "the blade out, put it back, focus anew. Better still, let a second person do it too. Two "
        "blades that differ by less than two readings of one edge may differ in the reading alone."
    )
    way = kept_choice(
        workspace(), st.segmented_control, "Readings", "Type them", "repeatability way",
        options=("Type them", "From a file"), required=True, label_visibility="collapsed",
    )  # fmt: skip
    found = _typed() if way == "Type them" else _file()
    if found is None:
        return
    data, reading, by, name = found
    relative = kept_choice(
        workspace(), st.toggle, "Spreads as shares of the reading", True, "repeatability relative"
    )
    with faults_shown():
        result = repeatability_of(data, reading=reading, by=by, relative=relative)
        _told(result, reading, name)


def _typed():
    """Two columns to type or paste into."""
    form = kept_form(workspace(), "repeatability")
    reading = form.field(
        st.selectbox, "What was read", next(iter(READINGS)), "reading", options=list(READINGS),
        format_func=lambda name: " in ".join(reading_words(name)),
    )  # fmt: skip
    table = pd.DataFrame({"who or which set-up": ["A"] * 6, "reading": [None] * 6},
                         dtype="object")  # fmt: skip
    table["reading"] = table["reading"].astype(float)
    typed = kept_table(
        form, table, "grid", num_rows="dynamic", hide_index=True, width=420,
        placeholder="",
        column_config={"reading": st.column_config.NumberColumn(format="%g")},
    )  # fmt: skip
    form.way_back(note="")
    typed = typed.dropna(subset=["reading"])
    if len(typed) < 2:
        st.info("Type at least two readings of the same edge; six of each person say more.")
        return None
    rows = [[str(who or "A"), f"{value:g}"] for who, value in typed.to_numpy().tolist()]
    return csv_text([["operator", reading], *rows]).encode(), reading, "operator", "typed in"


def _file():
    """A table with one reading a row."""
    file = st.file_uploader("CSV or XLSX, one reading a row", type=["csv", "xlsx", "txt"],
                            key="repeatability.file")  # fmt: skip
    if file is None:
        st.markdown("It needs a column with the reading, and one with the person or set-up:")
        table_downloads(EXAMPLE, "repeats", what="empty table")
        return None
    try:
        columns = columns_of(file.getvalue(), name=file.name)
    except UnusableInput as fault:
        show_fault(fault)
        return None
    left, right = st.columns(2)
    known = [name for name in columns if name in READINGS]
    reading = left.selectbox("Column of the readings", columns, key="repeatability.column",
                             index=columns.index(known[0]) if known else 0)  # fmt: skip
    named = columns.index("operator") if "operator" in columns else 0
    by = right.selectbox("Column of people or set-ups", columns, named, key="repeatability.by")
    return file.getvalue(), reading, by, file.name


def _keep_button(result, reading, table):
    """Keep the spread with the open study, whose fit, comparison and plan then use it."""
    folder = open_folder()
    if folder is None:
        return
    st.button(
        verbatim(f"Keep it with the study “{source_of(folder).title}”"), key="repeatability.keep",
        on_click=_keep, args=(folder, reading, result.spread, table), icon=":material/bookmark:",
    )  # fmt: skip
    kept, place = told_once("repeatability.kept", False)
    if kept:
        used = "Kept; the study's wear curves, comparison and plan use it from now on"
        place.success(verbatim(result.used_words(used)))


@uncut
def _keep(folder, reading, spread, table):
    with faults_kept():
        keep_repeats(folder, reading, spread, table=table)
        st.session_state["repeatability.kept"] = True


def _told(result, reading, table):
    """The spreads in a sentence and in four numbers, and what to do about them."""
    spread, unit = result.spread, reading_words(reading)[1]
    first, _, more = spread.summary().partition(". ")
    st.markdown(f"## {verbatim(first.rstrip('.'))}.")
    st.markdown(verbatim(more))
    numbers = result.to_dict()
    cells = st.container(horizontal=True)
    for key, words in FACTS:
        value = numbers[key]
        shown = f"{float(f'{100 * value:.2g}'):g} %" if spread.relative else f"{value:.3g} {unit}"
        if spread.set_ups < 2 and "reproduce" in key:
            shown = "not known"
        cells.metric(words, verbatim(shown), width=300)
    for row, value in result.standing_apart:
        st.markdown(
            f"- Row {row:d} reads {value:g} {verbatim(unit)}, unlike the rest; look at it again."
        )
    for warning in numbers["warnings"]:
        st.markdown(f"- {verbatim(warning['text'])}")
    _keep_button(result, reading, table)
    st.caption(
        verbatim(
            f"{counted(spread.readings, 'reading')} by "
            f"{counted(spread.set_ups, 'person or set-up', 'people or set-ups')}; mean "
            f"{spread.mean:.4g} {unit}. After ISO 5725-2."
        )
    )
