"""Page: is the salvaged steel worth reusing, one step of the work at a time."""

import tempfile
from pathlib import Path

import streamlit as st

from edgetest.app.answers.criteria_form import criteria_form
from edgetest.app.answers.evidence_forms import FORMS, rows_of
from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import (
    frame_records,
    paper_and_units,
    show_figure,
    table_downloads,
    take_document,
    unbroken,
)
from edgetest.app.links import link
from edgetest.app.open_study import faults_shown, heading, opened, show_kept_faults, stamp
from edgetest.report.documents.steel_sheet import build_steel_document, verdict_sentences
from edgetest.report.figures.steel_figures import plot_verdict
from edgetest.steel.outcome import VERDICTS

STATES = {
    "go": ":material/check_circle:",
    "skip": ":material/skip_next:",
    "stop": ":material/cancel:",
    "do": ":material/arrow_forward:",
    "repeat": ":material/replay:",
}


def show():
    """The page."""
    heading(
        "Verdict",
        "Is the salvaged steel worth reusing? The work goes step by step, and may stop at any.",
    )
    show_kept_faults()
    source = opened()
    with faults_shown():
        result = judged(source.path)
        if result.evidence.pieces:
            _answer(result)
        _steps(source, result)
        if result.evidence.pieces:
            _behind(result)
            criteria_form(source)
            _document(source, result)


def judged(folder):
    """The study's verdict; worked out again only when its files have changed."""
    return _judged(str(folder), stamp(folder))


@st.cache_resource(max_entries=6, show_spinner="Weighing the evidence")
def _judged(folder, version):
    from edgetest.study.steel.judge_steel import judge_steel

    return judge_steel(folder)


def _answer(result):
    """The verdict, its odds in a picture, and what to do next."""
    first, *more = verdict_sentences(result)
    st.markdown(f"#### {unbroken(first)}")
    for sentence in more:
        st.markdown(unbroken(sentence))
    words = result.next_words()
    if words and words not in more:
        st.info(unbroken(words), icon=":material/arrow_forward:")
    if result.decided_by_sequence or not any(c.evidence for c in result.best.criteria):
        return
    cases = result.cases if result.best.route == "carburised" else ()
    name = f"{result.study.folder.name}_verdict"
    show_figure(
        plot_verdict(result.best, cases).figure, name,
        alt=f"Odds that each criterion holds. {result.summary()}",
    )  # fmt: skip


def _steps(source, result):
    """The work in its order: what is done can be opened and mended, what is open has its form."""
    st.subheader("The work, step by step")
    later = []
    for number, step in enumerate(result.advice.steps, 1):
        if step.state == "later":
            later.append(step.title)
            continue
        title = f"{number}. {step.title}"
        if step.state in ("go", "skip", "stop") or (step.step, step.state) == ("test_blade", "do"):
            icon = STATES[step.state]
            with st.expander(title, icon=icon, expanded=step.state in ("stop", "do")):
                _step(source, result, step)
        else:
            with st.container(border=True, key=f"verdict.open.{step.step}"):
                st.markdown(f"**{title}**")
                _step(source, result, step)
    if later:
        st.caption("Later, if it comes to that: " + "; ".join(later) + ".")
    if result.advice.action == "finished":
        st.caption(result.advice.text)


def _step(source, result, step):
    """What a step found or asks, its cautions, what was written down, and its form."""
    if step.text:
        st.markdown(unbroken(step.text))
    for caution in step.cautions:
        st.warning(caution, icon=":material/warning:")
    if (step.step, step.state) == ("quench_ladder", "go"):
        st.caption("Its coupons stand at the step before.")
        return
    rows_of(source, step.step)
    if step.state != "skip":
        FORMS[step.step](source, result)


def _behind(result):
    """Odds, losses and tests as tables, the other routes, the reasons and the doubts."""
    st.subheader("What the verdict rests on")
    for text in result.reasons():
        st.markdown(f"- {unbroken(text)}")
    name = result.study.folder.name
    for route in result.routes:
        st.markdown(f"**{route.route.capitalize()}**: {VERDICTS[route.verdict.verdict].lower()}")
        table = route.verdict.to_frame()
        for column in ("probability_full", "probability_light"):
            table[column] = (100 * table[column]).round(1)
        table["worth_knowing_h"] = table["worth_knowing_h"].round(1)
        table = table[["criterion", "probability_full", "probability_light", "found", "wanted",
                       "worth_knowing_h"]]  # fmt: skip
        table.columns = ["criterion", "full use, %", "light or better, %", "found", "wanted",
                         "worth knowing, h"]  # fmt: skip
        st.dataframe(table, hide_index=True)
        table_downloads(frame_records(table), f"{name}_{route.route.replace(' ', '_')}",
                        what=f"{route.route}: odds")  # fmt: skip
    with st.expander("In doubt", expanded=False):
        list_doubts(result.all_doubts())
    with st.expander("Rule and losses", expanded=False):
        st.markdown(result.best.rule)
        losses = result.best.losses
        st.markdown(
            f"A wrong reuse costs {losses.wrong_reuse_h:g} h of work, a wrong discard "
            f"{losses.wrong_discard_h:g} h."
        )
        for test in result.best.tests:
            st.markdown(
                f"- {test.title[:1].upper()}{test.title[1:]}: {test.hours:g} h, expected to save "
                f"{test.saves_h:.1f} h (verdict on the {test.about})"
            )
    link("case", "The case against the grind", icon=":material/layers:")


def _document(source, result):
    """The one-page verdict, to take away."""
    st.subheader("The page to keep")
    paper, units = paper_and_units("verdict", source.study)
    if not st.button("Write the verdict", type="primary", key="verdict.write"):
        return
    with faults_shown():
        files = _written(str(source.path), stamp(source.path), paper, units, result)
        take_document(files, "verdict")


@st.cache_data(max_entries=4, show_spinner="Writing the page")
def _written(folder, version, paper, units, _result):
    """The documents by file name, as bytes."""
    with tempfile.TemporaryDirectory() as place:
        files = build_steel_document(_result, place, paper=paper, units=units)
        return {Path(file).name: Path(file).read_bytes() for file in files}
