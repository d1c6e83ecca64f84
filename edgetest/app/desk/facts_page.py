"""Page: every fact of the study, of its blades, their heat treatments, grip and outline."""

from typing import get_args

import streamlit as st

from edgetest.app.desk.facts_cards import (
    SAVED,
    choose_fact,
    fact_card,
    kept_or_told,
)
from edgetest.app.desk.silhouette_form import silhouette_form
from edgetest.app.kept_fields import choose_now, kept_choice, kept_form
from edgetest.app.links import link
from edgetest.app.open_study import (
    faults_kept,
    faults_shown,
    heading,
    opened,
    show_kept_faults,
)
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.store.heat_treatments import StepKind
from edgetest.study.facts.draft_blades import slug
from edgetest.study.facts.fact_fields import (
    BLADE,
    DOCUMENT,
    HANDLING,
    OUTLINE,
    PART,
    STEP,
    STUDY,
    TREATMENT,
    Fact,
)
from edgetest.study.facts.fact_values import field_value
from edgetest.study.facts.facts_told import facts_in_words
from edgetest.study.facts.set_facts import (
    add_entry,
    facts_at,
    last_facts,
    take_entry,
    undo_facts,
)
from edgetest.study.steel.row_kinds import spaced

KINDS = get_args(StepKind)


def show():
    """The page."""
    heading(
        "Blades",
        "Every fact of this study, kept as you type it. What you leave blank stays blank:"
        " the document then says *not noted*.",
    )
    source = opened()
    show_kept_faults()
    with st.container():
        _undo(source.path)
    part = kept_choice(
        source.path, st.segmented_control, "Facts of", "Blades", "facts part",
        options=list(PARTS), required=True, wrap=True,
    )  # fmt: skip
    PARTS[part](source)


def _undo(folder):
    """What was changed last, and the way back."""
    last = last_facts(folder)
    if st.session_state.pop(SAVED, False):
        st.toast("Saved.")
    if last is None:
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        st.caption(verbatim(f"Last change: {facts_in_words(last)}"))
        st.button("Undo it", key="facts_undo", on_click=_undone, args=(folder, last))


@uncut
def _undone(folder, change):
    kept_or_told(undo_facts, folder, change)


def _which_blade(source):
    """The blade that is looked at; its title beside its name."""
    names = {blade.id: f"{blade.id} {blade.title}".strip() for blade in source.study.blades}
    if not names:
        st.info("There is no blade yet.")
        return None
    return kept_choice(
        source.path, st.selectbox, "Blade", next(iter(names)), "facts blade",
        options=list(names), format_func=names.__getitem__,
    )  # fmt: skip


def _blades(source):
    """One blade after the other, and a new one."""
    folder, study = source.path, source.study
    blade = _which_blade(source)
    if blade is not None:
        titles = {each.id: each.title or each.id for each in study.heat_treatments}
        left, right = st.columns(2)
        with left:
            choose_fact(
                folder, ("blades", blade), "heat_treatment", "Its heat treatment", list(titles),
                blank="not named", titles=titles,
            )  # fmt: skip
        with right:
            choose_fact(
                folder, (), "control", "Control blade of the study",
                [each.id for each in study.blades], blank="none",
            )  # fmt: skip
        fact_card(folder, ("blades", blade), BLADE)
        _take_blade(source, blade)
    _new_entry(folder, "blades", "Name of a new blade", "K1")


def _take_blade(source, blade):
    """Take a blade away that nothing is logged of."""
    logged = source.log.blades() if source.log is not None else ()
    chopped = source.chops.blades() if source.chops is not None else ()
    if blade in {*logged, *chopped}:
        return
    number = [each.id for each in source.study.blades].index(blade)
    st.button(
        verbatim(f"Take {blade} away: it has no row in the log"), key="facts_take_blade",
        on_click=kept_or_told, args=(take_entry, source.path, ("blades",), number),
    )  # fmt: skip


def _treatments(source):
    """One heat treatment with its steps, and a new one."""
    folder, treatments = source.path, source.study.heat_treatments
    if treatments:
        titles = {each.id: each.title or each.id for each in treatments}
        chosen = kept_choice(
            folder, st.selectbox, "Heat treatment", next(iter(titles)), "facts treatment",
            options=list(titles), format_func=titles.__getitem__,
        )  # fmt: skip
        place = ("heat_treatments", chosen)
        fact_card(folder, place, TREATMENT)
        steps = source.study.heat_treatment(chosen).steps
        for number, step in enumerate(steps):
            with st.container(border=True):
                st.markdown(f"**Step {number + 1}: {verbatim(step.words())}**")
                _step(folder, (*place, "steps", number))
                _away(folder, (*place, "steps"), number, "Take this step away")
        kind = kept_choice(
            folder, st.selectbox, "A further step", KINDS[0], "facts step",
            options=KINDS, format_func=spaced,
        )  # fmt: skip
        before = {f"before step {n + 1}, {step.words()}": n for n, step in enumerate(steps)}
        comes = kept_choice(
            folder, st.selectbox, "It comes", LAST, "facts step before", options=[LAST, *before]
        )
        st.button(
            "Add the step", key="facts_add_step", on_click=kept_or_told,
            args=(add_entry, folder, (*place, "steps"), {"kind": kind}),
            kwargs={"above": before.get(comes)},
        )  # fmt: skip
    else:
        st.info("No heat treatment is named yet. Name one, then say on Blades which blade had it.")
    _new_entry(folder, "heat_treatments", "Name of a new heat treatment", "temper 190 °C twice")


def _step(folder, place):
    """The fields of one step; its temperature in the unit that it stands in."""
    fahrenheit = Fact("temperature_f", "Temperature, °F", "size", "400")
    held = facts_at(folder, place)
    facts = (fahrenheit, *STEP[1:]) if "temperature_f" in held else STEP
    choose_fact(folder, place, "kind", "Kind of step", KINDS, blank="not named")
    fact_card(folder, place, facts)


def _section(study, section, blade):
    """Where a blade's table of [handling] or [outline] stands: one for all, or one a blade."""
    tables = getattr(study, section) or {}
    known = {fact.key.split(".")[0] for fact in (*HANDLING, *OUTLINE)} | {"parts"}
    alone = [each.id for each in study.blades if each.id != study.control] == [blade]
    return (section,) if alone and set(tables) & known else (section, blade)


def _handling(source):
    """Grip, balance and the pendulum of one blade."""
    blade = _which_blade(source)
    if blade is None:
        return
    st.markdown(
        "Hang the tool from a nail, swing it a little and time twenty full swings, three times."
        " Nobody stands where it would fall."
    )
    fact_card(source.path, _section(source.study, "handling", blade), HANDLING)


def _outline(source):
    """Shape of one blade, by a photograph or by rule, and what is fixed to it."""
    blade = _which_blade(source)
    if blade is None:
        return
    place = _section(source.study, "outline", blade)
    silhouette_form(source, blade, place)
    fact_card(source.path, place, OUTLINE)
    parts = (*place, "parts")
    for number in range(len(_reach_parts(source.study, place))):
        with st.container(border=True):
            fact_card(source.path, (*parts, number), PART)
            _away(source.path, parts, number, "Take this part away")
    with st.container(border=True):
        st.markdown("**A part that adds weight: scales, pins, guard**")
        form = kept_form(source.path, f"new part of {blade}")
        typed = {
            fact.key: form.field(
                st.text_input, verbatim(fact.label), "", fact.key, placeholder=fact.hint
            )
            for fact in PART
        }
        if form.save("Add the part", primary=False):
            _add_part(source.path, parts, typed, form)


def _reach_parts(study, place):
    table = study.outline or {}
    for name in place[1:]:
        table = table.get(name) or {}
    return table.get("parts") or ()


def _add_part(folder, parts, typed, form):
    with faults_shown():
        entry = {fact.key: field_value(typed[fact.key], fact.kind, fact.label) for fact in PART}
        add_entry(folder, parts, {k: v for k, v in entry.items() if v is not None})
        form.forget()
        st.rerun()


def _study(source):
    """What the study is called, who made and tested, for whom."""
    fact_card(source.path, (), STUDY)
    st.markdown("**For its document**")
    fact_card(source.path, ("document",), DOCUMENT)
    if source.chop_test:
        link("chopper", "Go to its sheet", icon=":material/arrow_forward:")
    else:
        link("document", "More wishes for the document", icon=":material/arrow_forward:")


def _new_entry(folder, table, label, hint):
    """A new blade or heat treatment by its name."""
    st.divider()
    form = kept_form(folder, f"new {table}")
    form.field(st.text_input, label, "", "name", placeholder=hint, autocomplete="off")
    st.button("Add it", key=f"new_{table}.add", on_click=_added, args=(folder, table, form))


@uncut
def _added(folder, table, form):
    name = " ".join((form.now("name") or "").split())
    if not name:
        fault = UnusableInput("it has no name yet", "Name", "write what stands on it")
        st.session_state.setdefault("kept_faults", []).append(fault)
        return
    entry = {"id": name} if table == "blades" else {"id": slug(name), "title": name}
    with faults_kept():
        add_entry(folder, (table,), entry)
        form.forget()
        choice = "facts blade" if table == "blades" else "facts treatment"
        choose_now(folder, "", choice, entry["id"])


def _away(folder, place, number, words):
    """Take one entry of a list away."""
    st.button(
        words, key=f"away.{'.'.join(map(str, place))}.{number}", on_click=kept_or_told,
        args=(take_entry, folder, place, number),
    )  # fmt: skip


LAST = "behind all others"
PARTS = {
    "Blades": _blades,
    "Heat treatments": _treatments,
    "Grip and swing": _handling,
    "Outline": _outline,
    "The study": _study,
}
