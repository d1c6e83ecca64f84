"""Folded away under the next action: what is done, the curve so far, corrections, the turns."""

import streamlit as st

from edgetest.app.bench import bench_done, bench_readings, bench_window
from edgetest.app.bench.sealed_names import show_sealed
from edgetest.app.downloads import show_picture
from edgetest.app.drawn_figures import drawn_anew
from edgetest.app.folds import fold
from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_shown, show_fault, stamp
from edgetest.app.photos.measuring_progress import offer, photographs_of
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.errors import UnusableInput
from edgetest.store.history import read_history
from edgetest.study.bench.bench_entry import (
    NOTES,
    correct_entry,
    entries,
    leave_entry_out,
    next_roll,
    remark,
)
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.change_words import change_words
from edgetest.study.bench.live_standing import standing
from edgetest.study.bench.next_action import turns
from edgetest.study.bench.session_file import change_roll, end_run, leave_out, read_session
from edgetest.study.words import counted

HISTORY_SHOWN = 20


def stands(source, action):
    """Where the blade of the action stands, or None where no blade is on the bench."""
    if not action.blade:
        return None
    return _standing(str(source.path), action.run, stamp(source.path, photos=False), source)


@st.cache_resource(max_entries=32, show_spinner=False)
def _standing(folder, run, version, _source):
    return standing(_source, run)


def _curve_so_far(source, action):
    """The wear curve so far with the limit."""
    stands_now = stands(source, action)
    if stands_now.last_stage is None:
        st.caption("This blade has no reading yet.")
        return
    _drawn(source, action, stands_now)


def _drawn(source, action, stands):
    if stands.fit is None:
        st.markdown(
            f"**Blade {verbatim(action.name)}** at {stands.last_stage:d} cuts: "
            + verbatim(f"{stands.reading.replace('_', ' ')} {stands.last}, limit {stands.limit}")
        )
        return
    words = stands.fit.summary().replace(stands.fit.blade, action.name, 1)
    if not stands.last_stage:  # a fresh edge is no curve yet
        st.caption(verbatim(words))
        return
    version = stamp(source.path, photos=False)
    picture = _curve(str(source.path), action.run, version, action.name, stands)
    alt = f"Wear curve of blade {action.name} so far. {words}"
    show_picture(picture, f"wear of {action.name}", alt=alt)
    st.caption(verbatim(words))


@st.cache_data(max_entries=64, show_spinner=False)
def _curve(folder, run, version, name, _stands):
    from edgetest.report.figures.wear_figures import plot_wear

    axes = plot_wear(
        _stands.fit,
        limit=_stands.result.limit,
        reading=_stands.reading,
        readings=_stands.result.readings,
        title=f"Blade {name}",
    )
    return drawn_anew(axes.figure)


def show(source, action):
    """What is done, and what is wanted now and then."""
    if action.blade:
        if action.kind == "read" and len(action.due) > 1:
            with fold("Another reading first", "bench.fold.first") as is_open:
                if is_open:
                    _another_first(source, action)
        with fold("Done so far", "bench.fold.done") as is_open:
            if is_open:
                bench_done.show(source, action)
        waiting = bench_done.waiting_for_measuring(source, action)
        if waiting:
            words = f"{counted(len(waiting), 'photograph')} of this blade not measured"
            with fold(words, "bench.fold.measure") as is_open:
                if is_open:
                    offer(source, photographs_of(source)[1])
        with fold("The curve so far", "bench.fold.curve") as is_open:
            if is_open:
                _curve_so_far(source, action)
        with fold("Note", "bench.fold.note") as is_open:
            if is_open:
                _note(source, action)
        with fold("Another roll from here", "bench.fold.roll") as is_open:
            if is_open:
                _next_roll(source, action)
        with fold("Cut this blade no further", "bench.fold.end") as is_open:
            if is_open:
                _end_here(source, action)
    with fold("Correct a reading", "bench.fold.correct") as is_open:
        if is_open:
            _correct(source, action)
    with fold("Turns, and another blade", "bench.fold.turns") as is_open:
        if is_open:
            _turns(source)
    show_sealed(source)
    with fold("History", "bench.fold.history") as is_open:
        if is_open:
            _history(source)
    with fold("Cautions", "bench.fold.cautions"):
        st.markdown(verbatim_list(source.protocol.cautions))


def _another_first(source, action):
    """Every reading that is due at this stage, to be taken out of turn."""
    now = bench_readings.due_shown(source, action)
    for due in action.due:
        if due != now:
            st.button(
                verbatim(due.label), key=f"bench.first.{due.name}.{due.where}", width="stretch",
                on_click=bench_readings.take_first, args=(source, action, due),
            )  # fmt: skip


def _note(source, action):
    """By choice or by text, at the count where it was written."""
    form = kept_form(source.path, f"bench note {action.run}")
    choice = form.field(
        st.selectbox, "What happened", "", "choice", options=["", *NOTES],
        format_func=lambda each: each or "in my own words",
    )  # fmt: skip
    text = form.field(st.text_input, "In my own words", "", "text", autocomplete="off")
    note = "; ".join(part for part in (choice, text.strip()) if part)
    if form.save("Save the note", primary=False) and note:
        with faults_shown():
            remark(source.path, action, note=note)
            form.forget()
            st.rerun()


def _next_roll(source, action):
    """The roll ran out in mid-run: the edge is read here, and later readings name the next one."""
    changed = read_session(source.path).rolls.get(action.run, {})
    for at, (name, _) in sorted(changed.items()):
        st.button(
            verbatim(f"Take back: {name} from {at} cuts on"), key=f"bench.roll.{action.run}.{at}",
            on_click=change_roll, args=(source.path, action.run, "", at), width="stretch",
        )  # fmt: skip
    st.caption(
        "The roll, cord or board ran out, or you change it. The edge is read here first, for what "
        "was cut so far was cut on the old one; readings after that name the new one."
    )
    form = kept_form(source.path, f"bench roll {action.run}")
    name = form.field(st.text_input, "Name of the next roll", "", "name", autocomplete="off")
    if form.save("Go on with this roll", primary=False) and name.strip():
        next_roll(source.path, action, name.strip())
        form.forget()
        st.rerun()


def _end_here(source, action):
    """A blade that chipped or cracked, or that there is no time for, ends before its last stage."""
    st.caption(
        "It chipped or cracked, or you have to stop. What was read of it stays, and says that it "
        "lasted at least so long. A reading that is of the chip and not of the wear is left out "
        "under “Correct a reading”."
    )
    form = kept_form(source.path, f"bench end {action.run}")
    why = form.field(st.text_input, "Why, as a note", "", "why", autocomplete="off").strip()
    if form.save(verbatim(f"End blade {action.name} here"), primary=False):
        with faults_shown():
            if why:
                remark(source.path, action, note=why)
            end_run(source.path, action.run)
            form.forget()
            st.rerun()


def _correct(source, action):
    """Another value in the place of one; the old one stays in the history."""
    names = shown_names(source)
    try:
        found = entries(source)  # of every blade: the page has gone on from the last one
    except UnusableInput as fault:
        show_fault(fault)
        return
    if not found:
        st.caption("No reading has been entered yet.")
        return
    shown = {f"{entry.row}.{entry.column}": entry for entry in found}
    pick = kept_form(source.path, f"bench correct {action.run}")
    which = pick.field(
        st.selectbox, "Reading", next(iter(shown)), "which", options=list(shown),
        format_func=lambda key: shown[key].label(names, source.protocol),
    )  # fmt: skip
    entry = shown[which]
    value = kept_form(source.path, f"bench correct {which}")
    says = value.field(st.text_input, "It should say", entry.text, "says", autocomplete="off")
    if value.save("Correct it", primary=False):
        _change(correct_entry, source.path, entry, says.strip(), (value, pick))
    out = kept_form(source.path, f"bench leave out {which}")
    reason = out.field(
        st.text_input, "Or leave its row out of the answer, because", entry.excluded, "reason",
        autocomplete="off",
    )  # fmt: skip
    if out.save("Leave it out", primary=False):
        _change(leave_entry_out, source.path, entry, reason.strip(), (out, pick))


def _change(change, folder, entry, value, forms):
    """Make a change; what was typed for it is kept no longer."""
    if not value:
        return
    with faults_shown():
        change(folder, entry, value)
        for form in forms:
            form.forget()
        st.rerun()


def _turns(source):
    """Where every run stands; another one can be taken now."""
    found = turns(source)
    for turn in found:
        st.markdown(f"- {verbatim(turn.label())}")
    open_ = [turn for turn in found if turn.state in ("cut", "read")]
    if open_:
        with st.form("bench.turn", border=False):
            picked = st.selectbox(
                "Blade", range(len(open_)), format_func=lambda i: open_[i].label(),
                key="bench.turn.which",
            )  # fmt: skip
            if st.form_submit_button("Take this blade now", width="stretch"):
                bench_window.take_run(source, open_[picked].run)
                st.rerun()
    if bench_window.taken_run(source) is not None:
        st.button("Back to the run order", key="bench.turn.back", on_click=bench_window.in_turn,
                  args=(source,), width="stretch")  # fmt: skip
    for turn in found:
        if turn.state == "ended":
            st.button(verbatim(f"Take up {turn.name} again"), key=f"bench.again.{turn.run}",
                      on_click=end_run, args=(source.path, turn.run),
                      kwargs={"ended": False}, width="stretch")  # fmt: skip
        for stage in turn.left_out:
            st.button(verbatim(f"Ask again for {turn.name} at {stage} cuts"),
                      key=f"bench.ask.{turn.run}.{stage}", on_click=leave_out,
                      args=(source.path, turn.run, stage), kwargs={"left_out": False},
                      width="stretch")  # fmt: skip


def _history(source):
    """Every change, newest first, old values kept."""
    history = read_history(source.path)
    if not history:
        st.caption("No reading has been entered at the bench yet.")
    names = shown_names(source)
    for change in history[: -HISTORY_SHOWN - 1 : -1]:
        moment = change.when[:16].replace("T", " ")
        st.markdown(
            f"- {verbatim(moment)} UTC · {verbatim(change_words(change, names, source.protocol))}"
        )
    if len(history) > HISTORY_SHOWN:
        st.caption(f"{len(history)} changes in all; the file history.jsonl keeps them.")
