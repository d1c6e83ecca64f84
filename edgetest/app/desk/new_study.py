"""A study set up for a job: the three doors, what is begun, and one step after the other."""

import streamlit as st

from edgetest.app.desk.draft_cards import cards, keep_cards
from edgetest.app.desk.draft_fields import begins
from edgetest.app.desk.draft_protocol import keep_protocol, protocol
from edgetest.app.kept_fields import PAUSE
from edgetest.app.open_study import choose, faults_kept, show_kept_faults, workspace
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.steel.steel_seen import USES
from edgetest.study.facts import study_drafts as setup
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.words import counted

DRAFT, MADE = "draft", "new_study.made"
GO_TO = {"edge": "bench", "chopper": "bench", "steel": "verdict"}
ICONS = {
    "edge": ":material/balance:", "chopper": ":material/carpenter:", "steel": ":material/gavel:",
}  # fmt: skip
LEADS = {
    "edge": "Two heat treatments, or two blades, on one protocol: cut in turn, read, compared.",
    "chopper": "Strokes for a piece of wood, what that does to the edge, and how the tool swings.",
    "steel": "One step at a time, from a file and a magnet to a trial blade.",
}
HINTS = {
    "edge": "Two tempers for camp hatchets", "chopper": "Camp hatchet for its customer",
    "steel": "Discs off the old harrow",
}  # fmt: skip


def doors():
    """Three ways to begin, by the question that a maker has; each leads to a draft of its own."""
    for job, column in zip(setup.JOBS, st.columns(3), strict=True):
        with column, st.container(border=True, height="stretch", key=f"door_{job}"):
            st.button(
                setup.JOBS[job], key=f"door.{job}", on_click=begin, args=(job,), icon=ICONS[job],
                width="stretch", type="primary",
            )  # fmt: skip
            st.caption(LEADS[job])


def begun():
    """Every draft that waits, with the way back to it."""
    for file, draft in setup.drafts_begun(workspace()).items():
        with st.container(border=True, key=f"draft_{file.stem}"):
            name = draft.title.strip() or "Without a name yet"
            st.markdown(f"**{verbatim(name)}** · {setup.JOBS[draft.job]}")
            with st.container(horizontal=True):
                st.button("Next: go on setting it up", key=f"draft.{file.stem}", on_click=_open,
                          args=(file,), type="primary")  # fmt: skip
                st.button("Drop it", key=f"drop.{file.stem}", on_click=setup.drop_draft,
                          args=(file,))  # fmt: skip


def open_draft():
    """The draft that this window works on, or None."""
    name = st.query_params.get(DRAFT)
    return setup.draft_file(workspace(), name) if name else None


@uncut
def begin(job, study=""):
    """Begin a draft in this window, of a study of its own or of one that is there; its file."""
    file = setup.begin_draft(workspace(), job, study=study)
    _open(file)
    return file


@uncut
def _open(file):
    """Work on a draft in this window; its name stands in the address, through a reload."""
    st.query_params[DRAFT] = file.stem
    for key in [key for key in st.session_state if str(key).startswith("setup.")]:
        del st.session_state[key]


@uncut
def _close():
    st.query_params.pop(DRAFT, None)


def show(file):
    """The page while a study is set up: what its job needs, in order; all of it kept at once."""
    draft = setup.read_draft(file)
    st.title(setup.JOBS[draft.job], anchor=False)
    st.markdown(LEADS[draft.job])
    if draft.study:
        st.caption(verbatim(f"Added to {draft.title}"))
    else:
        st.text_input(
            "What you will know it by", key=begins("setup.title", draft.title), on_change=_keep,
            args=(file, "title", "setup.title"), placeholder=HINTS[draft.job],
            autocomplete="off", live=PAUSE,
        )  # fmt: skip
    if draft.job == "steel":
        _use(file, draft)
    else:
        cards(file, draft, protocol(file, draft))
        st.caption("Steel, hardness and all else have their place on the page **Blades**.")
        if rows := setup.rows_to_come(workspace(), setup.read_draft(file) or draft):
            st.caption(f"The log will have {counted(rows, 'row')} to fill in.")
    show_kept_faults()
    st.button(
        "Make it", key="setup.make", type="primary", on_click=_make, args=(file,), width="stretch"
    )
    with st.container(horizontal=True):
        st.button("Leave it for later", key="setup.later", on_click=_close)
        st.button("Drop it", key="setup.drop", on_click=_drop, args=(file,))


@uncut
def _drop(file):
    setup.drop_draft(file)
    _close()


def _use(file, draft):
    """What the steel is wanted for; it can be said later."""
    st.pills(
        "What the steel is wanted for", USES,
        key=begins("setup.use", draft.use if draft.use in USES else None),
        on_change=_keep, args=(file, "use", "setup.use"), format_func=spaced,
    )  # fmt: skip


@uncut
def _keep(file, name, key):
    setup.change_draft(file, **{name: st.session_state[key] or ""})


@uncut
def _make(file):
    """Make the study of what the fields say at this moment."""
    keep_cards(file)
    keep_protocol(file)
    if "setup.title" in st.session_state:
        _keep(file, "title", "setup.title")
    with faults_kept():
        job = setup.read_draft(file).job
        folder = setup.make_study(file)
        choose(folder.name)
        _close()
        st.session_state[MADE] = GO_TO[job]
