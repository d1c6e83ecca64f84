"""A card of facts: each field saved as it is typed, what cannot stand yet kept and told."""

from functools import partial

import streamlit as st

from edgetest.app.kept_fields import kept_form
from edgetest.app.labels import by_label
from edgetest.app.open_study import show_fault
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.study.facts.fact_values import field_text, field_value
from edgetest.study.facts.set_facts import facts_at, set_facts

SAVED = "facts.saved"


def card_form(folder, place):
    """The form of a card, which keeps what cannot stand in the study yet.

    Parameters
    ----------
    folder : Path
        Of the study.
    place : tuple
        Where the card's table stands; see `set_facts`.
    """
    return kept_form(folder, ".".join(map(str, ("facts", *place))))


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
    with st.container():  # always there: what comes above a field would draw that anew
        form, now = _tried_again(folder, place, facts)
    columns: list = []
    for fact in facts:
        columns = columns or [*st.columns(2)]  # a row at a time: on a phone the order stays
        column = columns.pop(0)
        text = fact.kind in ("rows", "lines")
        form.field(
            column.text_area if text else column.text_input, verbatim(fact.label),
            field_text(now.get(fact.key), fact.kind), fact.key,
            then=partial(_typed, folder, place, facts, now),
            placeholder=fact.hint, help=verbatim(fact.help) or None,
            **({} if text else {"live": False}),
        )  # fmt: skip
    form.way_back(note="")


def choose_fact(folder, place, key, label, options, *, blank, titles=None):
    """One fact that is one of a list, or blank."""
    now, titles = facts_at(folder, place).get(key), titles or {}
    known = [*options] if now is None or now in options else [*options, now]
    form = kept_form(folder, ".".join(map(str, ("fact", *place, key))))
    form.field(
        st.selectbox, label, now or "", key, options=["", *known],
        then=partial(_chosen, folder, place, key, now, form),
        format_func=lambda one: titles.get(one, one) or blank,
    )  # fmt: skip


@uncut
def kept_or_told(change, *arguments, **more):
    """A change from a callback: the fault is told by the page that comes back."""
    try:
        change(*arguments, **more)
    except UnusableInput as fault:
        st.session_state.setdefault("kept_faults", []).append(fault)


def _tried_again(folder, place, facts):
    """What was typed earlier and could not be saved: saved if it can be by now, else told why."""
    form, now = card_form(folder, place), facts_at(folder, place)
    if form.typed is None or not form.typed.now:
        return form, now
    try:
        _save(folder, place, facts, now, form)
    except UnusableInput as fault:
        st.warning("Kept as you typed it, but not part of the study yet:")
        show_fault(by_label(fault, facts))
        return form, now
    return card_form(folder, place), facts_at(folder, place)


@uncut
def _typed(folder, place, facts, shown):
    """Save what was typed into a card, now that it is kept; where it cannot stand, it stays kept.

    A callback: see `kept_fields`.
    """
    try:
        _save(folder, place, facts, shown, card_form(folder, place))
    except UnusableInput:
        return
    st.session_state[SAVED] = True


def _save(folder, place, facts, shown, form):
    """Typed texts into study.toml, and no longer kept beside it."""
    kinds = {fact.key: fact for fact in facts}
    wishes = {
        key: field_value(text, kinds[key].kind, kinds[key].label)
        for key, text in (form.typed.now if form.typed else {}).items()
        if key in kinds
    }
    set_facts(folder, place, shown, wishes)
    form.forget()


@uncut
def _chosen(folder, place, key, was, form):
    value = form.now(key) or None
    kept_or_told(set_facts, folder, place, {key: was}, {key: value})
    form.forget()
