"""Page: a chop test, from the strokes to the sheet for the customer."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pandas as pd
import streamlit as st

from edgetest.app.answers.chopper_swing import show_swing, show_thinner
from edgetest.app.answers.fit_options import LEVELS, USUAL_LEVEL
from edgetest.app.answers.side_views_read import read_or_ask, set_side_view_right
from edgetest.app.cards import show_rows
from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import (
    frame_records,
    paper_and_units,
    show_figure,
    table_downloads,
)
from edgetest.app.drawn_figures import Drawing
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.links import link
from edgetest.app.open_study import (
    heading,
    opened,
    show_fault,
    show_kept_faults,
    stamp,
)
from edgetest.app.page_words import on_page
from edgetest.app.remember import answered, at_hand
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.app.written_documents import offer_document
from edgetest.chop.species import SPECIES
from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_edge import edge_pictures, look_rows
from edgetest.report.documents.chopper_numbers import figure_rows
from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.report.documents.chopper_words import tool_sentences, trial_rows
from edgetest.report.figures.chop_figures import (
    plot_chops,
    plot_depths,
)
from edgetest.study.chop.board_order import boards_missed, first_told
from edgetest.study.chop.chop_looks import SOURCES
from edgetest.study.chop.piece_woods import own_woods
from edgetest.study.chop.turns_taken import turns_words

WIDE_IN = (6.4, 3.0)
CHOPPER_PART, CHOPPER_NUMBERS, CHOPPER_SHEET = "chopper part", "In numbers", "Sheet"
IN_TURN = "All tools took turns on each board."


def show():
    """The page."""
    heading("Chopper", "Does it chop, what does that do to its edge, and how does it swing?")
    source = opened()
    if not _has_chops(source):
        st.info(
            "This study has no chop test. Make a study with the protocol *Billet chop*, or put a"
            " chops.csv into its folder; the guide's page *Chop test a hatchet* shows how."
        )
        link("study", "Make a study")
        return
    st.session_state["chopper.options"] = _options(source)
    show_kept_faults()
    try:
        known = at_hand("chops", source.path, *_version(source))
        if not known and not read_or_ask(source):
            return
        result = _result(source)
    except UnusableInput as fault:
        show_fault(fault)
        link("log", "Go to the log", icon=":material/table_rows:")
        return
    if result is None:
        return
    blade = _blade(source, result)
    first, *more = tool_sentences(result, blade)
    st.markdown(f"## {verbatim(first)}")
    for sentence in more:
        st.markdown(verbatim(sentence))
    with st.expander("Cautions of the test"):
        st.markdown(verbatim_list(result.cautions))
    name = f"{Path(source.path).name}_{blade}"
    part = kept_choice(
        source.path, st.segmented_control, "Show", CHOPPER_NUMBERS, CHOPPER_PART,
        options=list(PARTS), required=True,
    )  # fmt: skip
    PARTS[part](source, result, blade, name)


def _has_chops(source):
    """Whether there is anything for the page: rows of chopping, handling or a shape."""
    rows = source.chops is not None and any(not row.waiting for row in source.chops.rows)
    return rows or bool(source.study.handling or source.study.outline)


def _result(source):
    """The chop test read; None while that goes on, which the page then shows."""
    version, options = _version(source)
    folder = source.path

    def make(report):
        from edgetest.study.chop.chop_analysis import analyse_chops
        from edgetest.study.sources import open_chops

        return analyse_chops(open_chops(folder), **dict(options))

    return answered("chops", folder, version, options, make, "Reading the chop test")


def _version(source):
    """What changes when the study's files change, and the way in which the test is read."""
    return stamp(source.path), st.session_state["chopper.options"]


def _drawing(source, plot, *asked):
    """A figure of the test, drawn once as long as the test and what is asked stay as they are."""
    return Drawing(lambda: plot().figure, source.path, (_version(source)[1], *asked))


def _options(source):
    """How the test is read, as pairs that a cache can keep; the usual way where nothing is said."""
    with st.expander("Another way to read the test", icon=":material/tune:"):
        form = kept_form(source.path, "way to read the chops", alone=True)
        left, right = st.columns(2)
        names = ["", *(source.chops.blades() if source.chops else ())]
        woods = _woods(source.study)
        against = form.field(
            left.selectbox, "Blade that the others are held against", "", "against", options=names,
            format_func=lambda name: name or "as the study says",
        )  # fmt: skip
        wood = form.field(
            right.selectbox, "Wood that chops are stated for, at 12 % moisture", "", "wood",
            options=["", *woods], format_func=lambda name: woods.get(name, "coast Douglas-fir"),
            help="The guide's page *Woods* says where each figure is from.",
        )  # fmt: skip
        damage = form.field(
            left.segmented_control, "Chips that count where both were taken", SOURCES[0],
            "damage", options=SOURCES, required=True,
            format_func=lambda source: "by eye" if source == "log" else source,
        )  # fmt: skip
        deep = form.field(
            right.number_input, "A chip counts as damage from this depth, µm", 0.0, "deep",
            min_value=0.0, max_value=5000.0, step=10.0, help="0: every chip that is seen.",
        )  # fmt: skip
        level = form.field(
            st.select_slider, "Intervals that hold the truth in so many of 100 cases",
            USUAL_LEVEL, "level", options=LEVELS, format_func=lambda share: f"{100 * share:g}",
        )  # fmt: skip
        form.way_back("The usual way again", note="")
    wanted = {"against": against, "reference_wood": wood, "chip_limit_um": deep}
    wanted = {key: value for key, value in wanted.items() if value}
    return tuple({**wanted, "damage_from": damage, "level": level}.items())


def _woods(study):
    """Every wood that is known, the study's own first, with what a person reads of it."""
    known = {row.name: row for row in [*own_woods(study), *SPECIES.values()]}
    how = " (hardness reckoned from its density)"
    return {
        name: name + (how if row.reckoned else "")
        for name, row in sorted(
            known.items(), key=lambda item: (item[1].region != "own", item[0].lower())
        )
    }


def _blade(source, result):
    """The tool to look at; the customer's first."""
    names = list(dict.fromkeys([*result.subjects, *result.blades]))
    titles = {name: result.study.blade(name).title for name in names}
    return kept_choice(
        source.path, st.selectbox, "Tool", names[0], "chopper blade", options=names,
        format_func=lambda name: f"{name}: {titles[name]}" if titles[name] else name,
    )  # fmt: skip


def _numbers(source, result, blade, name):
    """Every figure of the tool with its interval."""
    rows = figure_rows(result, blade)
    if rows:
        level = f"{100 * result.report.level:g} % interval"
        table = pd.DataFrame(rows, columns=["figure", "value", level])
        show_rows(table, "figures")
        table_downloads(frame_records(table), f"{name}_figures", what="figures")
    rates = result.report.counts.rate_words() if result.report.counts is not None else {}
    if blade in rates:
        st.markdown(f"{verbatim(rates[blade])}.")
    _doubts(result, blade)


def _chops(source, result, blade, name):
    """Strokes and depths of all tools."""
    if not result.pieces and result.report.depths is None:
        st.info("No piece was severed and too few single chops were measured.")
    if result.pieces:
        missed = boards_missed(result.log)
        turns = f"The tools took turns, but no piece with {missed}." if missed else IN_TURN
        first = first_told(result.log)
        turns += f" {first[:1].upper()}{first[1:]}." if first else ""
        not_in_turn = f"The tools chopped {turns_words(result.log)}."
        words = {"in_turn": turns, "not_in_turn": not_in_turn, "single": ""}
        st.markdown(verbatim(words[result.design]))
        figure = _drawing(source, lambda: plot_chops(result, size_in=WIDE_IN))
        alt = "Strokes for each severed piece. " + result.report.counts.summary()
        show_figure(figure, f"{name}_chops", alt=alt, what="strokes")
        for ratio in result.report.counts.ratios:
            st.markdown("\n".join(f"- {verbatim(line)}" for line in result.ratio_lines(ratio)))
    if result.report.treatments:
        st.markdown("Heat treatments compared:")
        for ratio in result.report.treatments:
            st.markdown(f"- {verbatim(ratio.summary())}")
    if result.report.depths is not None:
        figure = _drawing(source, lambda: plot_depths(result, size_in=WIDE_IN))
        alt = "Depth of single chops. " + result.report.depths.summary()
        show_figure(figure, f"{name}_depths", alt=alt, what="depths")


def _edge(source, result, blade, name):
    """The edge before and after, and every look at it from both sources."""
    rows = look_rows(result, blade)
    if not rows:
        st.info("Nobody looked at this edge: write rows of the kind inspection into chops.csv.")
        return
    shown = _edge_pictures(str(source.path), _version(source), blade, result)
    for column, (caption, jpeg) in zip(st.columns(max(len(shown), 1)), shown, strict=False):
        column.image(
            jpeg, caption=caption, alt=f"Side view of the edge. {caption}", width="stretch"
        )
    table = pd.DataFrame(rows)
    show_rows(table, "looks at the edge")
    table_downloads(frame_records(table), f"{name}_looks", what="looks")
    for row in result.limit:
        if row["blade"] == blade:
            st.markdown(verbatim(row["text"][:1].upper() + row["text"][1:] + "."))
    set_side_view_right(source, result, blade)


@st.cache_data(max_entries=12, show_spinner=False)
def _edge_pictures(folder, version, blade, _result):
    return edge_pictures(_result, blade, words=on_page)


def _doubts(result, blade):
    """Trials, what was not tested, and what to bear in mind."""
    rows = trial_rows(result, blade)
    if rows:
        st.header("Tried")
        for words, outcome in rows:
            st.markdown(f"- **{verbatim(words)}**: {verbatim(outcome)}")
    if result.report.not_tested:
        st.markdown(verbatim(f"Not tested: {', '.join(result.report.not_tested)}."))
    st.header("What to bear in mind")
    list_doubts(result.doubts)


def _sheet(source, result, blade, name):
    """One page for the customer, to look at and to take away."""
    paper, units = paper_and_units("chopper", source.study)
    build = partial(build_sheets, result, blade=blade, paper=paper, units=units)
    offer_document(
        "Write the sheet", "chopper", source.path, (_version(source), blade, paper, units),
        lambda place, report: build(place, progress=report),
    )  # fmt: skip


PARTS: dict[str, Callable] = {
    CHOPPER_NUMBERS: _numbers,
    "Chops": _chops,
    "Edge": _edge,
    "Swing": partial(show_swing, drawing=_drawing),
    "Thinner tip": partial(show_thinner, drawing=_drawing, version=_version),
    CHOPPER_SHEET: _sheet,
}
