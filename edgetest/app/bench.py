"""Page: the next action at the bench, with gloves on; every tap is on disk before it answers."""

from datetime import UTC, datetime

import streamlit as st

from edgetest.app.workspace import analysed, heading, opened, show_fault
from edgetest.bench import append_reading, correct_reading, read_history, undo_last
from edgetest.errors import UnusableInput
from edgetest.images import read_picture
from edgetest.report.figures import plot_wear
from edgetest.report.photographs import overlay_jpeg
from edgetest.study.bench_session import count_cuts, end_run, next_action, past_limit
from edgetest.study.readings import measure_study
from edgetest.study.sources import open_source
from edgetest.workspace import save_photograph

STEPS = (1, 5, 10)
NOTES = ("", "wire edge seen", "hit the board", "rope slipped", "touched a clamp")


def show():
    """The page."""
    heading("Bench", "One thing at a time. Close the lid whenever you like: it goes on from here.")
    source = opened()
    if source.protocol.log != "log":
        st.info("This study is a chop test: its page is **Chopping**.")
        return
    if source.faults:
        st.error("The log has faults. Mend them on the page **Log**, then go on here.")
        return
    for said in st.session_state.pop("bench.said", ()):
        st.toast(said)
    for fault in st.session_state.pop("bench.faults", ()):
        show_fault(fault)
    action = next_action(source)
    st.markdown(f"## {action.summary()}")
    if action.kind == "cut":
        _counter(source, action)
    elif action.kind == "read":
        _readings(source, action)
    else:
        st.success("Every stage is cut and read. The answer is on the page **Comparison**.")
    _undo(source)
    if action.blade:
        _limit(source, action)


def _counter(source, action):
    """Large buttons that count cuts."""
    done, total = action.cuts_done, action.stage
    st.progress(done / total if total else 1.0, f"{done} of {total} cuts")
    columns = st.columns(len(STEPS) + 1)
    for column, step in zip(columns, STEPS, strict=False):
        column.button(
            f"+{step}",
            key=f"bench.plus{step}",
            on_click=_tap,
            args=(source.path, action, step),
            disabled=step > action.to_go,
            width="stretch",
        )
    columns[-1].button(
        f"all {action.to_go}",
        key="bench.all",
        on_click=_tap,
        args=(source.path, action, action.to_go),
        width="stretch",
    )
    st.button(
        "take one cut back",
        key="bench.back",
        on_click=_tap,
        args=(source.path, action, -1),
        disabled=done == 0,
        width="stretch",
    )
    for caution in source.protocol.cautions[:2]:
        st.caption(caution)


def _tap(folder, action, cuts):
    """One tap: on disk before the page answers."""
    count_cuts(folder, action.blade, action.block, cuts)


def _readings(source, action):
    """One field for each reading that is due, photographs first."""
    with st.form("bench.readings", clear_on_submit=True, border=False):
        fields = [_field(source, action, due) for due in action.due]
        note = st.selectbox("Note", NOTES, key="bench.note")
        own = st.text_input("Other note", key="bench.own")
        if st.form_submit_button("Save", type="primary", width="stretch"):
            _save(source, action, fields, own or note)
    _pass_fail(source, action)


def _field(source, action, due):
    """The widget of one reading; what it holds is looked up when the form is sent."""
    label = f"{due.title}{f', {due.unit}' if due.unit else ''}"
    label += f" — {due.where}" if due.where else ""
    key = f"bench.{action.blade}.{action.block}.{action.stage}.{due.name}.{due.where}"
    if due.kind == "grade":
        return (
            due,
            st.selectbox(label, ("", *source.protocol.ladder), key=key, help=due.check),
            None,
        )
    if due.kind == "pass_fail":
        return due, "", None
    value = st.text_input(label, key=key, help=f"{due.check}. Bounds as <x, >x or a-b.")
    picture = None
    if due.name == "edge_width_um":
        picture = st.file_uploader(f"Photograph — {due.where}", key=f"{key}.photo")
    return due, value, picture


def _pass_fail(source, action):
    """Pass and fail as two large buttons."""
    for due in action.due:
        if due.kind != "pass_fail":
            continue
        st.markdown(f"**{due.title}** — {due.check}")
        for column, word in zip(st.columns(2), ("pass", "fail"), strict=True):
            column.button(
                word,
                key=f"bench.{due.name}.{due.where}.{word}",
                on_click=_record,
                args=(source.path, _row(action, due) | {due.name: word}),
                width="stretch",
            )


def _row(action, due):
    """The cells that say where a reading belongs."""
    return {
        "blade": action.blade,
        "block": action.block,
        "cuts": action.stage,
        "station_mm": due.station_mm,
        "check_no": due.check_no,
    }


def _record(folder, row):
    """Put one row on disk; what is wrong with it is shown when the page comes back."""
    try:
        append_reading(folder, row)
    except UnusableInput as fault:
        st.session_state.setdefault("bench.faults", []).append(fault)
        return False
    return True


def _save(source, action, fields, note):
    """Every reading given, each on disk by itself; a photograph is measured at once."""
    saved = 0
    for due, value, picture in fields:
        row = _row(action, due) | ({"note": note} if note else {})
        if picture is not None:
            saved += _photograph(source, row, due, picture, value)
        elif value:
            saved += _record(source.path, row | {due.name: value})
    if saved:
        st.session_state["bench.said"] = [f"{saved} saved"]
    if any(picture is not None for _, _, picture in fields):
        measure_study(open_source(source.path))
    st.rerun()


def _photograph(source, row, due, picture, value):
    """Save a photograph and its row; one that was refused before is replaced."""
    data = picture.getvalue()
    ending = picture.name.rpartition(".")[2].lower() or "jpg"
    place = f"_{due.station_mm:03.0f}" if due.station_mm is not None else ""
    moment = datetime.now(UTC).strftime("%H%M%S")
    block = f"_{row['block']}".replace(" ", "") if row["block"] else ""
    name = f"{row['blade']}{block}_{row['cuts']:04d}{place}_{moment}.{ending}"
    try:
        read_picture(data, name=picture.name)
        save_photograph(source.path, name, data)
        old = [
            each
            for each in source.log.rows
            if (each.blade, each.block, each.cuts, each.station_mm)
            == (row["blade"], row["block"], row["cuts"], row["station_mm"])
            and each.photo
        ]
        if old:
            correct_reading(source.path, old[0].line, "photo", name, was=old[0].photo)
        else:
            append_reading(
                source.path, row | {"photo": name} | ({due.name: value} if value else {})
            )
    except UnusableInput as fault:
        st.session_state.setdefault("bench.faults", []).append(fault)
        return 0
    return 1


def _undo(source):
    """Take back the last saved reading; it stays in the history."""
    history = read_history(source.path)
    if not history:
        return
    with st.expander("Last readings, and undo"):
        for change in history[-5:][::-1]:
            cells = change.after or change.before or {}
            words = ", ".join(f"{k} {v}" for k, v in cells.items() if v)
            st.caption(f"{change.when[:16]} {change.what}: {words}")
        if st.button("Undo the last reading", key="bench.undo", width="stretch"):
            try:
                undo_last(source.path)
            except UnusableInput as fault:
                show_fault(fault)
                return
            st.rerun()


def _limit(source, action):
    """The blade's curve so far; a blade past its limit is called."""
    run = f"{action.blade} · {action.block}" if action.block else action.blade
    if not any(row.blade == action.blade and row.cuts for row in source.log.rows):
        return
    result = analysed(compare=False)
    fits = {fit.blade: fit for fit in result.fit.blades}
    fit = fits.get(run) or fits.get(action.blade)
    if fit is None:
        return
    if past_limit(result, fit.blade):
        st.warning(f"**{fit.blade} is past its limit.** Its life is known; it may stop here.")
        st.button(
            f"End {fit.blade}",
            key="bench.end",
            on_click=end_run,
            args=(source.path, action.blade, action.block),
            width="stretch",
        )
    latest = [photo for photo in result.photos if photo.blade == action.blade]
    left, right = st.columns([3, 2])
    left.pyplot(plot_wear(fit, limit=result.limit, reading=result.reading).figure)
    if latest:
        last = max(latest, key=lambda photo: photo.cuts)
        right.image(overlay_jpeg(last), caption=last.summary())
