"""The next action of a chop test: strokes counted, the piece severed or not, the edge looked at."""

import streamlit as st

from edgetest.app.bench import bench_window, taken_back
from edgetest.app.bench.bench_counter import FIVE, MISSED, ONE, REST, TEN, Counted, awake, counter
from edgetest.app.bench.bench_readings import ICONS, PASS_FAIL
from edgetest.app.bench.let_go import let_go
from edgetest.app.bench.number_pad import ask_number
from edgetest.app.bench.sealed_names import show_sealed
from edgetest.app.folds import fold
from edgetest.app.kept_fields import kept_form
from edgetest.app.links import link
from edgetest.app.next_link import next_link
from edgetest.app.open_study import faults_kept, faults_shown, show_kept_faults, source_of
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim, verbatim_list
from edgetest.store.chop_log import KINDS as WORK
from edgetest.store.chop_log import SEVERED
from edgetest.store.history import read_history
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.change_words import change_words
from edgetest.study.bench.chips_standing import chips_past
from edgetest.study.bench.chop_actions import FACTS, TABLE, next_chop, waiting_chops
from edgetest.study.bench.chop_entries import (
    CELLS,
    add_piece,
    chop_photo,
    read,
    remark_row,
    sever,
    write_cell,
)
from edgetest.study.bench.session_file import note_fact
from edgetest.study.chop.piece_woods import wood_name_fault
from edgetest.study.sources import open_source

MISHAPS = ("hit the clamp or the block", "a nail or a knot was struck", "the piece came loose",
           "blade dropped or knocked", "the handle worked loose")  # fmt: skip
SOUND = {"chips_count": "No damage seen", "rolls_count": "No rolls seen"}
HISTORY_SHOWN = 20


STROKES = (ONE, FIVE, TEN, MISSED)
CHOPS = (ONE, FIVE, REST)


def show(source):
    """The next action fills the screen; all else is folded away under it."""
    action = next_chop(source, line=bench_window.taken_row(source))
    if action.kind == "strokes":
        _striking(source)
        awake()
    else:
        with st.container(key="bench_action"):
            _heading(action)
            if action.kind == "read":
                _read(source, action)
            else:
                next_link(source, "bench")
            taken_back.button(source, action, table=TABLE)
    if action.kind == "strokes" or action.row.kind == "single":
        _piece(source, action)
    _more(source, action)


def _heading(action):
    st.title(verbatim(action.summary()), anchor=False)
    show_kept_faults()


@st.fragment
def _striking(source):
    """Count strokes. A tap runs this alone; what changes the log runs the page."""
    now = source_of(source.path)
    action = next_chop(now, line=bench_window.taken_row(now))
    if now is not source or action.kind != "strokes":
        st.rerun()
    single = action.row.kind == "single"
    with st.container(key="bench_action"):
        _heading(action)
        _past_limit(now, action)
        counter(source.path, action.run, Counted(
            ("stroke", "strokes"), action.strokes, action.stage, action.read_to,
            missed=None if single else action.missed, open_end=not single,
            buttons=CHOPS if single else STROKES,
        ))  # fmt: skip
        if not single:
            _fallen_or_not(source, action)
        taken_back.button(source, action, table=TABLE)
        taken_back.mishaps(
            MISHAPS, lambda words: _mishap(source.path, action.row.line, words), action.row.mishap
        )
        let_go(source, action)


def _past_limit(source, action):
    """A tool whose edge is done by the protocol is called before its next piece."""
    past = chips_past(source, action.row.blade)
    if past is not None and not action.strokes:
        st.warning(
            f"**Blade {verbatim(action.name)}**: {verbatim(past.summary())}. Stop with it here "
            "(**Go on without this row**), chop on and say so in a note, or stone the chip out and "
            "log a touch-up (**Another row, or one more**), which its sheet then tells.",
            icon=":material/flag:",
        )


def _mishap(folder, line, words):
    """Into the row that is under way.

    Nothing of the page is touched: a callback that does so is cut short by the next tap.
    """
    now = open_source(folder)
    remark_row(now, next_chop(now, line=line), mishap=words)


def _fallen_or_not(source, action):
    with st.container(horizontal=True, key="bench_big_severed"):
        for words, severed, icon in (
            ("Severed", True, ":material/check:"), ("Still stands", False, ":material/block:"),
        ):  # fmt: skip
            st.button(
                words, key=f"bench.severed.{severed}", icon=icon, width="stretch",
                on_click=_sever, args=(source, action.row.line, severed),
                disabled=not action.strokes,
            )  # fmt: skip


@uncut
def _sever(source, line, severed):
    """By the piece's facts and strokes as they stand now."""
    now = open_source(source.path)
    _do(sever, now, next_chop(now, line=line), severed=severed)


def _piece(source, action):
    """What is known of the piece: as on the last one like it, until something else is written."""
    st.markdown(f"**The piece**: {verbatim(_piece_words(action))}")
    fault = wood_name_fault(dict(action.facts).get("species"), source.study)
    if fault is not None:
        mend = capital(_by_field(fault.mend))
        st.warning(f"**Wood**: {verbatim(fault.what)}. {verbatim(mend)}.")
    unknown = not any(says for _, says in action.facts)
    opened = st.session_state.setdefault(f"bench.piece.{action.row.line}", unknown)  # stays so
    with st.expander("Change what is known of it", expanded=opened):
        for column, says in action.facts:
            key = f"bench.fact.{action.row.line}.{column}"
            st.text_input(
                FACTS[column], says, key=key, on_change=_fact, autocomplete="off",
                args=(source.path, action.run, column, key),
            )  # fmt: skip


def _by_field(words):
    """A sentence that names columns of the log, in the labels of the fields below it."""
    for column, label in FACTS.items():
        words = words.replace(column, f"“{label}”") if "_" in column else words
    return words


def _piece_words(action):
    words = [f"{FACTS[name]}: {says}" for name, says in action.facts if says]
    return "; ".join(words) or "nothing is known of it yet; its size is needed"


def _fact(folder, run, column, key):
    note_fact(folder, run, column, st.session_state.to_dict()[key])


def _read(source, action):
    """What is due of a row: numbers, a side view, pass or fail."""
    numbers = [due for due in action.due if due.kind == "number"]
    if action.row.kind in (*SEVERED, "inspection"):
        _photo(source, action)
        if numbers and numbers[0].name in SOUND:
            none = {due.name: "0" for due in numbers if due.name in SOUND} | _no_rolls(action)
            with st.container(key="bench_big_sound"):
                st.button(SOUND[numbers[0].name], key="bench.sound", icon=":material/check:",
                          on_click=_do, args=(read, source, action, none),
                          width="stretch", type="primary")  # fmt: skip
    if numbers:
        _number(source, action, numbers[0])
        return let_go(source, action)
    for due in action.due:
        if due.kind == "pass_fail":
            st.markdown(f"**{verbatim(capital(due.title))}** — {verbatim(due.check)}")
            with st.container(horizontal=True, key="bench_big_result"):
                for word in PASS_FAIL:
                    st.button(word.capitalize(), key=f"bench.result.{word}", icon=ICONS[word],
                              on_click=_do, args=(read, source, action, {due.name: word}),
                              width="stretch")  # fmt: skip
    let_go(source, action)


def _no_rolls(action):
    """Who sees no damage after a piece sees no rolls: they are not asked for there alone."""
    chips = any(due.name == "chips_count" for due in action.due)
    return {"rolls_count": "0"} if chips and action.row.rolls_count is None else {}


def _number(source, action, due):
    """One number on the large keys."""
    key = f"bench.{source.path.name}.{action.row.line}.{due.name}"
    ask_number(key, due.label, lambda text: read(source, action, {due.name: text}))
    if due.check:
        st.caption(verbatim(f"{capital(due.check)}."))


@uncut
def _do(work, source, action, *rest, **words):
    """Write to disk; what is refused stays to be mended."""
    with faults_kept():
        work(source, action, *rest, **words)
        bench_window.in_turn(source)


def _photo(source, action):
    """A side view of the edge, by file or by this device's camera."""
    if action.row.photo:
        st.caption(verbatim(f"Its side view is there: {action.row.photo}"))
        return
    scales = ["", *source.study.scales]
    scale = scales[0]
    if len(scales) > 1:
        scale = st.selectbox(
            "Scale of the side view", scales, 1, key="bench.chop.scale",
            format_func=lambda name: name or "the scale without a name",
        )  # fmt: skip
    camera = st.toggle("Use this device's camera instead of a file", key="bench.camera",
                       persist_state="session")  # fmt: skip
    turn = st.session_state.get("bench.photo_turn", 0)
    key = f"bench.chop.photo.{action.row.line}.{turn}"
    sent = (source, action, key, scale)
    label = "Side view of the edge, against a bright ground"
    if camera:
        st.camera_input(label, resolution="1080p", key=key, on_change=_photo_arrived, args=sent)
    else:
        st.file_uploader(label, type=PICTURE_ENDINGS, key=key, on_change=_photo_arrived, args=sent)


@uncut
def _photo_arrived(source, action, key, scale):
    file = st.session_state.to_dict().get(key)  # not cut short, as a look by its key is
    if file is None:
        return
    with faults_kept():
        chop_photo(source, action, file.getvalue(), file.name, scale=scale)
    st.session_state["bench.photo_turn"] = st.session_state.get("bench.photo_turn", 0) + 1


def _more(source, action):
    """What is wanted now and then: a note, another row, one more piece, the history."""
    names = shown_names(source)
    if action.kind != "done":
        with fold("Note", "bench.fold.note") as is_open:
            if is_open:
                _note(source, action)
        with fold("Another column of this row", "bench.fold.cell") as is_open:
            if is_open:
                _cell(source, action)
    with fold("Another row, or one more", "bench.fold.turns") as is_open:
        if is_open:
            _turns(source, names)
    show_sealed(source)
    with fold("History", "bench.fold.history") as is_open:
        if is_open:
            _history(source, names)
    with fold("Cautions", "bench.fold.cautions"):
        st.markdown(verbatim_list(source.protocol.cautions))


def _history(source, names):
    mine = [change for change in read_history(source.path) if change.table == TABLE]
    if not mine:
        st.caption("Nothing has been entered at the bench yet.")
    for change in mine[: -HISTORY_SHOWN - 1 : -1]:
        moment = change.when[:16].replace("T", " ")
        st.markdown(
            f"- {verbatim(moment)} UTC · {verbatim(change_words(change, names, source.protocol))}"
        )
    link("log", "Correct a cell in the log")


def _note(source, action):
    """In one's own words; mishaps have their buttons where one strikes."""
    form = kept_form(source.path, f"bench note row {action.row.line}")
    choice = form.field(
        st.selectbox, "What happened", "", "choice", options=["", *MISHAPS],
        format_func=lambda each: each or "in my own words",
    )  # fmt: skip
    text = form.field(st.text_input, "In my own words", "", "text", autocomplete="off").strip()
    if not form.save("Save the note", primary=False) or not (choice or text):
        return
    with faults_shown():
        if choice:
            remark_row(source, action, mishap=choice)
        if text:
            now = open_source(source.path)
            remark_row(now, next_chop(now, line=action.row.line), note=text)
        form.forget()
        st.rerun()


def _cell(source, action):
    """Any column that the log has, such as rolls seen beside the chips."""
    form = kept_form(source.path, f"bench cell row {action.row.line}")
    column = form.field(st.selectbox, "Column", CELLS[0], "column", options=CELLS)
    says = form.field(st.text_input, "What it says", "", "says", autocomplete="off").strip()
    if form.save("Write it into the row", primary=False) and says:
        with faults_shown():
            write_cell(source, action, column, says)
            form.forget()
            st.rerun()


def _turns(source, names):
    """Rows that are not done; another one can be taken now, or one more be made."""
    open_rows = waiting_chops(source)
    if open_rows:
        with st.form("bench.turn", border=False):
            picked = st.selectbox(
                "Row", open_rows, key="bench.turn.which",
                format_func=lambda row: f"{names[row.blade]}: {row.kind} {row.order or ''}".strip(),
            )  # fmt: skip
            if st.form_submit_button("Take this row now", width="stretch"):
                bench_window.take_row(source, picked.line)
                st.rerun()
    with st.form("bench.piece", border=False):
        left, right = st.columns(2)
        left.selectbox("Blade", list(names), format_func=names.__getitem__,
                       key="bench.piece.blade")  # fmt: skip
        right.selectbox("What is done", WORK, key="bench.piece.kind")
        st.form_submit_button("One more of these", width="stretch", on_click=_add,
                              args=(source,))  # fmt: skip


@uncut
def _add(source):
    state = st.session_state.to_dict()
    with faults_kept():
        add_piece(source, state["bench.piece.blade"], state["bench.piece.kind"])
