"""A card of facts: each field saved as it is typed, what cannot stand yet kept and told."""

import streamlit as st

from edgetest.app.labels import by_label
from edgetest.app.open_study import show_fault
from edgetest.errors import UnusableInput
from edgetest.study.facts.fact_values import field_text, field_value
from edgetest.study.facts.set_facts import facts_at, facts_kept, keep_unsaved, set_facts

SAVED = "facts.saved"


def fact_card(folder, place, facts):
    """Fields for the facts of one table, in two columns.

    Parameters
    ----------
    folder : Path
        Of the study.
    place : tuple
        Where the table stands; see `set_facts`.
    facts : sequence of Fact
    """
    name = _name(folder, place)
    now, kept = facts_at(folder, place), facts_kept(folder, place)
    if kept:
        now, kept = _tried_again(folder, place, facts, now, kept)
    _drawn_anew(name, facts, now, kept)
    columns: list = []
    for fact in facts:
        columns = columns or [*st.columns(2)]  # a row at a time: on a phone the order stays
        column = columns.pop(0)
        field = column.text_area if fact.kind in ("rows", "lines") else column.text_input
        field(
            fact.label, kept.get(fact.key, field_text(now.get(fact.key), fact.kind)),
            key=f"{name}.{fact.key}", on_change=_typed, args=(folder, place, facts),
            placeholder=fact.hint, help=fact.help or None,
        )  # fmt: skip


def choose_fact(folder, place, key, label, options, *, blank, titles=None):
    """One fact that is one of a list, or blank."""
    now, titles = facts_at(folder, place).get(key), titles or {}
    known = [*options] if now is None or now in options else [*options, now]
    st.selectbox(
        label, ["", *known], index=known.index(now) + 1 if now is not None else 0,
        key=f"{_name(folder, place)}.{key}.{now}", on_change=_chosen,
        args=(folder, place, key, now), format_func=lambda one: titles.get(one, one) or blank,
    )  # fmt: skip


def forget_fields():
    """Draw every field anew from what stands on disk."""
    for key in [key for key in st.session_state if str(key).startswith("facts.")]:
        del st.session_state[key]


def kept_or_told(change, *arguments):
    """A change from a callback: the fault is told by the page that comes back."""
    try:
        change(*arguments)
    except UnusableInput as fault:
        st.session_state.setdefault("kept_faults", []).append(fault)
        return
    forget_fields()


def _name(folder, place):
    return "facts." + ".".join(map(str, (folder.name, *place)))


def _drawn_anew(name, facts, now, kept):
    """What was changed elsewhere since the card was drawn is shown as it is now."""
    seen = st.session_state.get(f"{name}.seen", now)
    for fact in facts:
        if seen.get(fact.key) != now.get(fact.key) and fact.key not in kept:
            st.session_state.pop(f"{name}.{fact.key}", None)
    st.session_state[f"{name}.seen"] = now


def _tried_again(folder, place, facts, now, kept):
    """What was typed earlier and could not be saved: saved if it can be by now, else told why."""
    try:
        _save(folder, place, facts, now, kept)
    except UnusableInput as fault:
        st.warning("Kept as you typed it, but not part of the study yet:")
        show_fault(by_label(fault, facts))
        return now, kept
    return facts_at(folder, place), {}


def _typed(folder, place, facts):
    """Save what differs from what was shown; keep it beside where it cannot stand yet."""
    name = _name(folder, place)
    shown = st.session_state[f"{name}.seen"]
    texts = {fact.key: st.session_state[f"{name}.{fact.key}"] for fact in facts}
    typed = {
        fact.key: texts[fact.key] for fact in facts
        if texts[fact.key].strip() != field_text(shown.get(fact.key), fact.kind)
    }  # fmt: skip
    try:
        _save(folder, place, facts, shown, typed)
    except UnusableInput:
        keep_unsaved(folder, place, typed)
        return
    st.session_state[SAVED] = True


def _save(folder, place, facts, shown, typed):
    """Typed texts into study.toml, and no longer kept beside it."""
    kinds = {fact.key: fact for fact in facts}
    wishes = {
        key: field_value(text, kinds[key].kind, kinds[key].label)
        for key, text in typed.items()
        if key in kinds
    }
    set_facts(folder, place, shown, wishes)
    keep_unsaved(folder, place, {})


def _chosen(folder, place, key, was):
    value = st.session_state[f"{_name(folder, place)}.{key}.{was}"] or None
    kept_or_told(set_facts, folder, place, {key: was}, {key: value})
