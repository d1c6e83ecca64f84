"""Cards of a study being set up, each kept at once: a heat treatment and its blades, or a tool."""

import streamlit as st

from edgetest.app.desk.draft_fields import begins
from edgetest.app.kept_fields import PAUSE
from edgetest.app.labels import by_label
from edgetest.app.open_study import faults_kept, show_fault, workspace
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.study_list import list_studies
from edgetest.study.facts import study_drafts as setup
from edgetest.study.facts.draft_blades import (
    blades_read,
    card_blades,
    card_treatment,
    cards_shown,
    is_filled,
)
from edgetest.study.facts.fact_fields import BLADE
from edgetest.study.wear.foreseen_departures import angle_otherwise

EDGE_CARD = (
    ("treatment", "Heat treatment", "temper 190 °C"),
    ("temper", "Last temper, °C", "190, or 375 °F; blank where it is none"),
    ("names", "Its blades, with commas between", "K1, K2, K3"),
    ("angle", "Edge angle per side, degrees", "blank where nobody measured it"),
)
CHOPPER_CARD = (
    ("names", "What is marked on it", "H1"),
    ("title", "What a customer calls it", "camp hatchet"),
    ("edge", "Length of its edge, mm", "80, or 3 1/8 in"),
    ("angle", "Edge angle per side, degrees", "blank where nobody measured it"),
)
NEXT_HINTS = {"H1": "H2", "K1, K2, K3": "S1, S2, S3", "temper 190 °C": "temper 260 °C"}
CARDS = {"edge": "Heat treatment", "chopper": "Tool"}
MORE = {"edge": "A further heat treatment", "chopper": "Another tool, or a known one beside it"}
ANOTHER = "setup.another"  # how many cards there were when one more was asked for


def cards(file, draft, rules=None):
    """A card after the other, a blank one last; then what is copied of an earlier study.

    `rules` is the protocol that was chosen: an angle that it does not ask for is told on its card.
    """
    edge = draft.job == "edge"
    another = st.session_state.get(ANOTHER) == len(draft.cards)
    shown = cards_shown(draft, another=another)
    tools = "The tool" if len(shown) == 1 else "The tools"
    st.header("What is compared" if edge else tools, anchor=False)
    for number, card in enumerate(shown):
        with st.container(border=True, key=f"setup_card_{number}"):
            _card(file, draft.job, number, card, rules)
    if is_filled(shown[-1]):
        st.button(MORE[draft.job], key="setup.more", on_click=_more, args=(len(draft.cards),))
    if edge:
        st.text_input(
            "Control blade, if one is cut beside them",
            key=begins("setup.control", _control(draft)),
            on_change=_keep_control, args=(file,), placeholder="C1, of a steel that you know",
            autocomplete="off", live=PAUSE,
        )  # fmt: skip
    _copied(file, draft)
    _copy(file)


def _card(file, job, number, card, rules):
    """One card; what it says is told back, or what is wrong with it."""
    if job == "edge" or number:
        st.markdown(f"**{CARDS[job]} {number + 1}**")
    columns: list = []
    for field, label, hint in EDGE_CARD if job == "edge" else CHOPPER_CARD:
        columns = columns or [*st.columns(2)]
        key = f"setup.card.{number}.{field}"
        columns.pop(0).text_input(
            label, key=begins(key, card.get(field, "")),
            placeholder=NEXT_HINTS.get(hint, hint) if number else hint,
            autocomplete="off", live=PAUSE, on_change=_keep, args=(file, number, field, key),
        )  # fmt: skip
    if job == "chopper" and number and is_filled(card):
        key = f"setup.card.{number}.known"
        st.toggle(
            "A known tool: the others are held against it",
            key=begins(key, bool(card.get("known"))),
            on_change=_keep_known, args=(file, number, key),
        )  # fmt: skip
    try:
        made = card_blades(card)
        card_treatment(card)
    except UnusableInput as fault:
        show_fault(by_label(fault, BLADE, place="This card"))
        return
    if made:
        st.caption(verbatim(blades_read(made)))
    if made and rules is not None and (words := angle_otherwise(Blade(**made[0]), rules)):
        st.caption(verbatim(words))


@uncut
def _more(count):
    st.session_state[ANOTHER] = count


@uncut
def _keep(file, number, field, key):
    setup.change_card(file, number, **{field: st.session_state[key]})


def keep_cards(file):
    """Keep what the fields say now: a change that came with the last tap is not lost."""
    prefix = "setup.card."
    for key, value in list(st.session_state.items()):
        number, _, field = str(key).removeprefix(prefix).partition(".")
        if str(key).startswith(prefix) and isinstance(value, str):
            setup.change_card(file, int(number), **{field: value})


@uncut
def _keep_known(file, number, key):
    setup.change_card(file, number, known="yes" if st.session_state[key] else "")


def _control(draft):
    copied = [blade["id"] for blade in draft.blades]
    return "" if draft.control in copied else draft.control or ""


@uncut
def _keep_control(file):
    setup.change_draft(file, control=" ".join(st.session_state["setup.control"].split()) or None)


def _copied(file, draft):
    """Blades that were copied of an earlier study; each can be removed."""
    titles = {each["id"]: each.get("title") or each["id"] for each in draft.heat_treatments}
    for blade in draft.blades:
        said = [blade.get("title", ""), titles.get(blade.get("heat_treatment"), ""),
                "control blade" if blade["id"] == draft.control else ""]  # fmt: skip
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(
                " · ".join([f"**{verbatim(blade['id'])}**", *map(verbatim, filter(None, said))])
            )
            st.button(
                verbatim(f"Remove {blade['id']}"), key=f"setup.remove.{blade['id']}",
                on_click=setup.remove_blade, args=(file, blade["id"]),
            )  # fmt: skip


def _copy(file):
    """Blades of an earlier study with their facts and heat treatments."""
    root = workspace()
    earlier = {
        entry.folder.name: entry
        for entry in list_studies(root)
        if entry.fault is None and entry.blades
    }
    if not earlier:
        return
    with st.expander("Copy blades of an earlier study"):
        from edgetest.store.records import load_study

        name = st.selectbox(
            "Study", list(earlier), key="setup.copy.study",
            format_func=lambda name: earlier[name].title,
        )  # fmt: skip
        blades = [blade.id for blade in load_study(root / name).blades]
        picked = st.multiselect("Its blades", blades, blades, key=f"setup.copy.blades.{name}")
        st.button("Copy them", key="setup.copy", on_click=_copy_now,
                  args=(file, root / name, picked), width="stretch")  # fmt: skip


@uncut
def _copy_now(file, folder, names):
    with faults_kept():
        setup.copy_blades(file, folder, names)
