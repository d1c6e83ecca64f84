"""Beside the next action: what was saved last, the curve so far, corrections, the turns."""

import streamlit as st

from edgetest.app.bench import order_form
from edgetest.app.bench.bench_readings import photo_beside_number
from edgetest.app.open_study import faults_kept, faults_shown, show_fault, stamp
from edgetest.errors import UnusableInput
from edgetest.store.journal import last_change, read_history, undo_last
from edgetest.study.bench.bench_entry import (
    MISHAPS,
    NOTES,
    change_words,
    correct_entry,
    entries,
    leave_entry_out,
    remark,
    stage_photos,
)
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.live_standing import standing
from edgetest.study.bench.next_action import turns
from edgetest.study.bench.session_file import end_run, leave_out

HISTORY_SHOWN = 20


def stands(source, action):
    """Where the blade of the action stands, or None where no blade is on the bench."""
    if not action.blade:
        return None
    return _standing(str(source.path), action.run, stamp(source.path, photos=False), source)


@st.cache_resource(max_entries=32, show_spinner=False)
def _standing(folder, run, version, _source):
    return standing(_source, run)


def last_saved(source):
    """The last change of the log, its photograph if it was one, and its undo."""
    change = last_change(source.path)
    if change is None:
        return
    names = shown_names(source)
    with st.container(border=True, key="bench_saved"):
        st.markdown(f"Last: {change_words(change, names, source.protocol)}")
        before, after = change.before or {}, change.after or {}
        if after.get("photo") and after.get("photo") != before.get("photo"):
            _photo_of(source, after, names)
        st.button(
            "Undo this",
            key="bench.undo",
            on_click=_undo,
            args=(source.path, change),
            width="stretch",
        )


def _photo_of(source, cells, names):
    """The photograph of a change with its measurement."""
    row = next((row for row in source.log.rows if row.photo == cells["photo"]), None)
    if row is None:
        return
    with faults_shown():
        photos = stage_photos(source, (row.block, row.blade), row.cuts)
        for photo in photos:
            if photo.photo == row.photo:
                photo_beside_number(photo, names[row.blade])


def _undo(folder, change):
    with faults_kept():
        undo_last(folder, shown=change)


def in_order():
    """Leave the blade that was asked for; the run order says what is next."""
    st.session_state.pop("bench.run", None)


def curve(source, action, stands):
    """The wear curve so far with the limit."""
    if stands.last_stage is None:
        return
    if stands.fit is None:
        st.markdown(
            f"**Blade {action.name}** at {stands.last_stage} cuts: "
            f"{stands.reading.replace('_', ' ')} {stands.last}, limit {stands.limit}"
        )
        return
    words = stands.fit.summary().replace(stands.fit.blade, action.name, 1)
    if not stands.last_stage:  # a fresh edge is no curve yet
        st.caption(words)
        return
    version = stamp(source.path, photos=False)
    picture = _curve(str(source.path), action.run, version, action.name, stands)
    st.image(picture, alt=f"Wear curve of blade {action.name} so far. {words}", width="content")
    st.caption(words)


@st.cache_data(max_entries=64, show_spinner=False)
def _curve(folder, run, version, name, _stands):
    from edgetest.report.figures.plot_style import png_bytes
    from edgetest.report.figures.wear_figures import plot_wear

    axes = plot_wear(
        _stands.fit,
        limit=_stands.result.limit,
        reading=_stands.reading,
        readings=_stands.result.readings,
        title=f"Blade {name}",
    )
    return png_bytes(axes.figure, dpi=140)


def more(source, action):
    """What is wanted now and then: a note, a correction, another blade, the history."""
    if action.blade:
        with st.expander("Note or mishap", key="bench.more.note"):
            _note(source, action)
    with st.expander("Correct a reading", key="bench.more.correct"):
        _correct(source, action)
    with st.expander("Turns, and another blade", key="bench.more.turns"):
        _turns(source)
    order_form.show_labels(source)
    with st.expander("History", key="bench.more.history"):
        _history(source)
    with st.expander("Cautions", key="bench.more.cautions"):
        for caution in source.protocol.cautions:
            st.markdown(f"- {caution}")


def _note(source, action):
    """By choice or by text; a mishap goes to its own column, with the count it happened at."""
    with st.form("bench.note", border=False, clear_on_submit=True):
        choice = st.selectbox(
            "What happened", ["", *MISHAPS, *NOTES], key="bench.note.choice",
            format_func=lambda each: each or "in my own words",
        )  # fmt: skip
        text = st.text_input("In my own words", key="bench.note.text", autocomplete="off")
        sent = st.form_submit_button("Save the note", width="stretch")
    if not sent or not (choice or text.strip()):
        return
    mishap = choice if choice in MISHAPS else ""
    note = "; ".join(part for part in ("" if mishap else choice, text.strip()) if part)
    with faults_shown():
        remark(source.path, action, note=note, mishap=mishap)
        st.rerun()


def _correct(source, action):
    """Another value in the place of one; the old one stays in the history."""
    names = shown_names(source)
    try:
        found = entries(source, action.run if action.blade else None)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if not found:
        st.caption("Nothing has been read of this blade yet.")
        return
    shown = {f"{entry.row}.{entry.column}": entry for entry in found}
    which = f"bench.correct.which.{found[0].row}.{found[0].column}.{found[0].text}"  # the latest
    with st.form("bench.correct", border=False):
        st.selectbox(
            "Reading", list(shown), key=which,
            format_func=lambda key: shown[key].label(names, source.protocol),
        )  # fmt: skip
        st.text_input("It should say", key="bench.correct.value", autocomplete="off")
        st.form_submit_button(
            "Correct it", key="bench.correct.go", on_click=_correct_now,
            args=(source.path, shown, which), width="stretch",
        )  # fmt: skip
        st.text_input(
            "Or leave its row out of the answer, because", key="bench.correct.reason",
            autocomplete="off",
        )  # fmt: skip
        st.form_submit_button(
            "Leave it out", key="bench.correct.out", on_click=_leave_out_now,
            args=(source.path, shown, which), width="stretch",
        )  # fmt: skip


def _correct_now(folder, shown, which):
    value = str(st.session_state.get("bench.correct.value") or "").strip()
    if value:
        _changed(correct_entry, folder, shown, which, value, "bench.correct.value")


def _leave_out_now(folder, shown, which):
    reason = str(st.session_state.get("bench.correct.reason") or "").strip()
    if reason:
        _changed(leave_entry_out, folder, shown, which, reason, "bench.correct.reason")


def _changed(change, folder, shown, which, value, key):
    """Make a change against what the page showed; a stale one is refused with both versions."""
    entry = shown.get(st.session_state.get(which))
    if entry is None:
        return
    with faults_kept():
        change(folder, entry, value)
        st.session_state[key] = ""


def _turns(source):
    """Where every run stands; another one can be taken now."""
    found = turns(source)
    for turn in found:
        st.markdown(f"- {turn.label()}")
    open_ = [turn for turn in found if turn.state in ("cut", "read")]
    if open_:
        with st.form("bench.turn", border=False):
            picked = st.selectbox(
                "Blade", range(len(open_)), format_func=lambda i: open_[i].label(),
                key="bench.turn.which",
            )  # fmt: skip
            if st.form_submit_button("Take this blade now", width="stretch"):
                st.session_state["bench.run"] = open_[picked].run
                st.rerun()
    if st.session_state.get("bench.run") is not None:
        st.button("Back to the run order", key="bench.turn.back", on_click=in_order,
                  width="stretch")  # fmt: skip
    for turn in found:
        if turn.state == "ended":
            st.button(f"Take up {turn.name} again", key=f"bench.again.{turn.run}",
                      on_click=end_run, args=(source.path, turn.run),
                      kwargs={"ended": False}, width="stretch")  # fmt: skip
        for stage in turn.left_out:
            st.button(f"Ask again for {turn.name} at {stage} cuts",
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
        st.markdown(f"- {moment} UTC · {change_words(change, names, source.protocol)}")
    if len(history) > HISTORY_SHOWN:
        st.caption(f"{len(history)} changes in all; the file history.jsonl has every one.")
