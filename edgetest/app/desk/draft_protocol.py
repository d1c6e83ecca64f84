"""How a study that is set up is tested: its protocol, and what this shop does otherwise."""

import streamlit as st

from edgetest.app.desk.draft_fields import begins
from edgetest.app.kept_fields import PAUSE
from edgetest.app.open_study import faults_kept, workspace
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.store.protocol import describe
from edgetest.study.facts import study_drafts as setup
from edgetest.study.wear.foreseen_departures import asked_words

TEXTS = (("title", "Name of the protocol"), ("medium", "Medium"), ("size", "Its size"))


def protocol(file, draft):
    """Choose a procedure; then say what is read, and where along the edge; that protocol."""
    choices = setup.protocol_choices(workspace(), draft.job)
    st.header("How it is tested", anchor=False)
    names = list(choices)
    st.radio(
        "Protocol", names, None,
        key=begins("setup.protocol", draft.protocol if draft.protocol in names else None),
        format_func=lambda name: verbatim(choices[name].title),
        on_change=_new_protocol, args=(file,),
    )  # fmt: skip
    if draft.protocol not in choices:
        return None
    rules = choices[draft.protocol]
    st.markdown(verbatim(describe(setup.chosen_rules(rules, draft.own))))
    st.markdown(verbatim(asked_words(rules)))
    if draft.job == "edge":
        _what_is_read(file, draft.own or _as_it_says(rules), rules)
    return rules


@uncut
def _new_protocol(file):
    setup.change_draft(file, protocol=st.session_state["setup.protocol"] or "", own={})
    for key in [key for key in st.session_state if str(key).startswith("setup.own")]:
        del st.session_state[key]


def _as_it_says(rules):
    """What the protocol says, to be changed."""
    return {
        "title": f"{rules.title}, own",
        "medium": rules.medium.kind,
        "size": rules.medium.size,
        "stages": list(rules.stages),
        "stations": list(rules.stations_mm),
        "readings": [rule.name for rule in rules.readings],
        "limit": rules.limit.value if rules.limit else None,
    }


def _what_is_read(file, own, rules):
    """The readings and the stations, which most shops choose; the rest behind a switch."""
    titles = {rule.name: verbatim(rule.title) for rule in rules.readings}
    if len(titles) > 1:
        st.pills(
            "What is read at each stage", list(titles), selection_mode="multi",
            key=begins("setup.own.readings", own["readings"]), format_func=titles.__getitem__,
            on_change=_own_readings, args=(file,),
        )  # fmt: skip
    if rules.stations_mm:
        _text(file, "Stations along the edge, mm", "stations", _row(own["stations"]), whole=False)
    if not st.toggle("Change more: stages, medium, limit", key="setup.own"):
        return
    _text(file, "Stages, cumulative cuts", "stages", _row(own["stages"]), whole=True)
    for name, label in TEXTS:
        _text(file, label, name, own[name])
    limit = own.get("limit")
    if rules.limit and isinstance(limit, int | float):
        rule = rules.reading(rules.limit.reading)
        st.number_input(
            verbatim(f"Limit of the {rule.title}, {rule.unit}"), 0.1, None,
            key=begins("setup.own.limit", float(limit)), on_change=_own_limit, args=(file,),
        )  # fmt: skip


def _row(numbers):
    return " ".join(f"{number:g}" for number in numbers)


def _text(file, label, name, value, *, whole=None):
    key = f"setup.own.{name}"
    st.text_input(label, key=begins(key, value), on_change=_changed, args=(file, name, key, whole),
                  autocomplete="off", live=PAUSE)  # fmt: skip


@uncut
def _changed(file, name, key, whole):
    value = st.session_state[key]
    with faults_kept():
        _set(file, name, value if whole is None else setup.numbers(value, whole=whole))


@uncut
def _own_readings(file):
    chosen = st.session_state["setup.own.readings"]
    draft = setup.read_draft(file)
    rules = setup.protocol_choices(workspace(), draft.job)[draft.protocol]
    _set(file, "readings", [rule.name for rule in rules.readings if rule.name in chosen])


def keep_protocol(file):
    """Keep what is chosen to be read now: a change that came with the last taps is not lost."""
    if "setup.own.readings" in st.session_state and setup.read_draft(file).protocol:
        _own_readings(file)


@uncut
def _own_limit(file):
    _set(file, "limit", st.session_state["setup.own.limit"])


def _set(file, name, value):
    """Keep one change; what says just what the protocol says is no change."""
    draft = setup.read_draft(file)
    rules = setup.protocol_choices(workspace(), draft.job)[draft.protocol]
    own = {**(draft.own or _as_it_says(rules)), name: value}
    setup.change_draft(file, own={} if own == _as_it_says(rules) else own)
