"""Page: the next action at the bench, with gloves on; every tap is on disk before it answers."""

import streamlit as st

from edgetest.app.bench import (
    bench_chops,
    bench_done,
    bench_folds,
    bench_readings,
    bench_window,
    order_form,
    scale_step,
    taken_back,
)
from edgetest.app.bench.bench_counter import Counted, awake, counter
from edgetest.app.links import link
from edgetest.app.next_link import next_link
from edgetest.app.open_study import (
    open_folder,
    opened,
    show_fault,
    show_kept_faults,
    show_question,
    source_of,
)
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.report.figures.plot_style import reading_words
from edgetest.study.asked_about import asked_about
from edgetest.study.bench.bench_entry import MISHAPS, remark
from edgetest.study.bench.bench_order import needs_order
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.scale_first import needs_scale
from edgetest.study.bench.session_file import end_run
from edgetest.study.sources import open_source

MOST_ASKED = 5  # questions that stand over the word that all is done; the page Study has them all


def show():
    """The page."""
    if open_folder() is None:
        st.title("Bench", anchor=False)
        st.info("There is no study yet. Begin one on the page **Study**.")
        link("study", "Begin a study", icon=":material/add:")
        return
    source = opened()
    invented = " · invented data" if source.study.invented else ""
    st.caption(verbatim(f"{source.title}{invented}"))
    if source.faults:
        st.title("Bench", anchor=False)
        count = len(source.faults)
        st.error(
            f"The log has {count} fault{'s' * (count > 1)}, so nobody can say what is next. "
            "Mend the log on the page **Log**, then go on here."
        )
        show_fault(source.faults[0])
    elif not source.study.blades:
        st.title("Bench", anchor=False)
        st.info("This study has no blade to cut yet.")
        next_link(source, "bench")
    elif source.protocol.log == "chops":
        bench_chops.show(source)
    elif needs_order(source):
        order_form.show_order(source)
    elif needs_scale(source):
        scale_step.show(source)
    else:
        _session(source)


def _session(source):
    """The next action fills the screen; all else is folded away under it."""
    source = bench_readings.measure_new(source)
    try:
        action = next_action(source, run=bench_window.taken_run(source))
    except UnusableInput as fault:
        st.title("Bench", anchor=False)
        show_fault(fault)
        return
    if action.kind == "cut":
        _cutting(source)
        awake()
    else:
        with st.container(key="bench_action"):
            _heading(action)
            if action.kind == "read":
                bench_readings.show(source, action)
            else:
                _done(source, action)
            taken_back.button(source, action)
    below = st.container()
    with below:
        bench_done.last_picture(source)
    bench_folds.show(source, action)
    if action.kind != "done" and any(not row.waiting for row in source.log.rows):
        link("document", "The document as it stands", icon=":material/description:")
    stands = bench_folds.stands(source, action)
    if stands is not None and stands.past and _life_is_read(source, action, stands):
        with below:
            _past_limit(source, action, stands)


@st.fragment
def _cutting(source):
    """Count to the next stage. A tap runs this alone; what changes the log runs the page."""
    now = source_of(source.path)
    action = next_action(now, run=bench_window.taken_run(now))
    if now is not source or action.kind != "cut":
        st.rerun()
    with st.container(key="bench_action"):
        _heading(action)
        counted = Counted(("cut", "cuts"), action.cuts_done, action.stage, action.read_to)
        counter(source.path, action.run, counted)
        taken_back.button(source, action)
        taken_back.mishaps(MISHAPS, lambda words: _mishap(source.path, action.run, words))


def _mishap(folder, run, words):
    """A mishap belongs to the count at this very moment.

    Nothing of the page is touched: a callback that does so is cut short by the next tap.
    """
    remark(folder, next_action(open_source(folder), run=run), mishap=words)


def _heading(action):
    st.title(verbatim(action.summary()), anchor=False)
    show_kept_faults()


def _done(source, action):
    if action.stages_left:
        st.info(
            verbatim(f"This blade is done; {action.stages_left} stages of other blades are left.")
        )
        st.button(
            "Back to the run order", key="bench.order", on_click=bench_window.in_turn,
            args=(source,), type="primary", width="stretch",
        )  # fmt: skip
    else:
        for question in asked_about(source)[:MOST_ASKED]:
            show_question(question)
        st.success("Every stage is cut and read.")
        next_link(source, "bench")


def _life_is_read(source, action, stands):
    """Whether the stage that passed the limit is read, and nothing is asked of its readings."""
    if action.kind == "read" and action.stage == stands.last_stage:
        return False
    here = {
        row.line
        for row in source.log.rows
        if (row.block, row.blade) == action.run and row.cuts == stands.last_stage
    }
    return not any(getattr(each, "row", None) in here for each in asked_about(source))


def _past_limit(source, action, stands):
    """A blade past its limit is called, and may stop here."""
    with st.container(key="bench_past"):
        unit = reading_words(stands.reading)[1]
        last = f"{stands.last:.3g} {unit}" if isinstance(stands.last, float) else stands.last
        limit = stands.limit
        if isinstance(limit, float | int):
            limit = f"{limit:g} {unit}"
        words = f"reads {last} at {stands.last_stage} cuts" if last is not None else "has worn"
        st.warning(
            f"**Blade {verbatim(action.name)} is past its limit**: it {verbatim(words)}; "
            f"the limit is {verbatim(limit)}. Its life is known. "
            "Stop here, or cut on for a surer curve.",
            icon=":material/flag:",
        )
        st.button(
            verbatim(f"End blade {action.name}"),
            key="bench.end",
            on_click=end_run,
            args=(source.path, action.run),
            width="stretch",
        )
