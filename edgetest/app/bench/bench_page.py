"""Page: the next action at the bench, with gloves on; every tap is on disk before it answers."""

import streamlit as st

from edgetest.app.bench import bench_chops, bench_counter, bench_readings, bench_side, order_form
from edgetest.app.links import link
from edgetest.app.open_study import open_folder, opened, show_fault, show_kept_faults
from edgetest.errors import UnusableInput
from edgetest.study.bench.bench_order import needs_order
from edgetest.study.bench.next_action import next_action, turns_in_order
from edgetest.study.bench.session_file import end_run


def show():
    """The page."""
    if open_folder() is None:
        st.title("Bench", anchor=False)
        st.info("There is no study yet. Begin one on the page **Study**.")
        link("study", "Begin a study", icon=":material/add:")
        return
    source = opened()
    invented = " · invented data" if source.study.invented else ""
    st.caption(f"{source.title}{invented}")
    if source.faults:
        st.title("Bench", anchor=False)
        count = len(source.faults)
        st.error(
            f"The log has {count} fault{'s' * (count > 1)}, so it cannot be told what is next. "
            "Mend them on the page **Log**, then go on here."
        )
        show_fault(source.faults[0])
    elif source.protocol.log == "chops":
        bench_chops.show(source)
    elif needs_order(source):
        order_form.show_order(source)
    else:
        _session(source)


def _session(source):
    """The next action and what goes with it."""
    source = bench_readings.measure_new(source)
    try:
        action = next_action(source, run=_run(source))
    except UnusableInput as fault:
        st.title("Bench", anchor=False)
        show_fault(fault)
        return
    with st.container(key="bench_action"):
        st.title(action.summary(), anchor=False)
    show_kept_faults()
    stands = bench_side.stands(source, action)
    if stands is not None and stands.past:
        _past_limit(source, action, stands)
    with st.container(key="bench_two"):
        left, right = st.columns([3, 2], gap="large")
    with left:
        if action.kind == "cut":
            bench_counter.show(source, action)
        elif action.kind == "read":
            bench_readings.show(source, action)
        else:
            _done(action)
    with right:
        bench_side.last_saved(source)
        if stands is not None:
            bench_side.curve(source, action, stands)
    bench_side.more(source, action)


def _run(source):
    """The run that a person asked for instead of the order's, if it is one of this study."""
    run = st.session_state.get("bench.run")
    if run is not None and run not in turns_in_order(source):
        del st.session_state["bench.run"]
        return None
    return run


def _done(action):
    if action.stages_left:
        st.info(f"This blade is done; {action.stages_left} stages of other blades are left.")
        st.button(
            "Back to the run order", key="bench.order", on_click=bench_side.in_order,
            type="primary", width="stretch",
        )  # fmt: skip
    else:
        st.success("Every stage is cut and read. The answer is on the page **Comparison**.")


def _past_limit(source, action, stands):
    """A blade past its limit is called, and may stop here."""
    with st.container(key="bench_past"):
        last = f"{stands.last:.3g}" if isinstance(stands.last, float) else stands.last
        limit = f"{stands.limit:g}" if isinstance(stands.limit, float | int) else stands.limit
        words = f"reads {last} at {stands.last_stage} cuts" if last is not None else "has worn"
        st.warning(
            f"**Blade {action.name} is past its limit**: it {words}; the limit is {limit}. "
            "Its life is known. It may stop here, or be cut on for a surer curve.",
            icon=":material/flag:",
        )
        st.button(
            f"End blade {action.name}",
            key="bench.end",
            on_click=end_run,
            args=(source.path, action.run),
            width="stretch",
        )
