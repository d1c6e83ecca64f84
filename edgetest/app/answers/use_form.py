"""Forms of the verdict's page: what the steel is wanted for, and what a mistake costs."""

import streamlit as st

from edgetest.app.answers.evidence_fields import (
    BLADE_HOURS_HELP,
    KNOWN_STEEL_HELP,
    WISHES,
    sized,
)
from edgetest.app.answers.evidence_forms import piece_names, save_and_redraw
from edgetest.app.kept_fields import kept_form
from edgetest.app.open_study import faults_kept
from edgetest.app.uncut import uncut
from edgetest.steel.fit_for_use import USUAL_WANTED_HRC, WANTED_HRC
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import USES
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.study.steel.evidence_edit import put_wishes
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import verdict_wishes_of

USUAL = SteelLosses()


def use_asked(source):
    """What the steel is wanted for: asked before anything else, kept as soon as it is chosen."""
    was = verdict_wishes_of(source.study).use
    st.segmented_control(
        "What is it for?", USES, default=was, format_func=spaced, key="verdict.use",
        on_change=_keep_use, args=(source.path, dict(source.study.verdict or {})),
    )  # fmt: skip


@uncut
def _keep_use(folder, was):
    with faults_kept():
        use = st.session_state["verdict.use"]
        put_wishes(folder, was, {**was, "use": spaced(use) if use else None})


def wishes_form(source):
    """Hardness wanted, the piece asked about, and hours; what is left alone is not written."""
    was, wishes = dict(source.study.verdict or {}), verdict_wishes_of(source.study)
    form = kept_form(source.path, "what is wanted")
    usual = WANTED_HRC.get(wishes.use or "", USUAL_WANTED_HRC)
    left, right = st.columns(2)
    hardness = form.field(
        left.text_input, "Hardness wanted, HRC", str(was.get("hardness_hrc", "")), "hardness_hrc",
        placeholder="-".join(f"{end:g}" for end in usual),
        help="Blank: what the use wants, as shown.",
    )  # fmt: skip
    piece = form.field(
        right.selectbox, "The piece asked about", wishes.piece or "", "piece",
        options=["", *piece_names(source)], format_func=lambda name: name or "the one tested most",
    )  # fmt: skip
    hours = sized(
        form, left, "Hours in one trial blade", "blade_hours", was.get("blade_hours"),
        placeholder=f"{USUAL.blade_hours:g}", help=BLADE_HOURS_HELP,
    )  # fmt: skip
    known = sized(
        form, right, "Known steel for one blade, in hours of work", "known_steel_hours",
        was.get("known_steel_hours"), placeholder=f"{USUAL.known_steel_hours:g}",
        help=KNOWN_STEEL_HELP,
    )  # fmt: skip
    many = sized(
        form, left, "Blades wanted of it", "blades_wanted", was.get("blades_wanted"),
        placeholder="12",
    )  # fmt: skip
    if isinstance(many, float) and many.is_integer():
        many = int(many)
    without = form.field(
        st.multiselect, "Tests that this shop cannot do", list(wishes.no_test), "no_test",
        options=list(TESTS_BY_CODE), format_func=lambda code: TESTS_BY_CODE[code].title,
    )  # fmt: skip
    if not form.save("Save what is wanted", primary=False):
        return
    typed = {
        "hardness_hrc": hardness.strip() or None,
        "piece": piece or None,
        "blade_hours": hours,
        "known_steel_hours": known,
        "blades_wanted": many,
        "no_test": without if set(without) != set(wishes.no_test) else was.get("no_test"),
    }
    save_and_redraw(form, put_wishes, source.path, was, {**was, **typed}, fields=WISHES)
