"""Form of the verdict's page: what the steel must keep, and what a wrong decision costs."""

import streamlit as st

from edgetest.app.answers.evidence_forms import save_and_redraw
from edgetest.steel.decision import Losses
from edgetest.steel.steel_verdict import Criteria
from edgetest.steel.usual_pack import WANTED_HRC
from edgetest.study.steel.evidence_edit import put_criteria
from edgetest.study.steel.evidence_records import wishes_of

USUAL, LOSSES = Criteria(), Losses()


def criteria_form(source):
    """Criteria and losses; what is left as it was shown is not written down."""
    was, wishes = dict(source.study.verdict or {}), wishes_of(source.study)
    ends = wishes.hardness_hrc or USUAL.hardness_hrc or ()
    shown = {
        "life_ratio": wishes.life_ratio or USUAL.life_ratio,
        "hardness_hrc": str(was.get("hardness_hrc", "-".join(f"{end:g}" for end in ends))),
        "edge_hrc": wishes.edge_hrc or WANTED_HRC,
        "damage_per_100": wishes.damage_per_100,
        "piece": wishes.piece or "",
        "wrong_reuse_h": float(wishes.wrong_reuse_h or LOSSES.wrong_reuse_h),
        "wrong_discard_h": float(wishes.wrong_discard_h or LOSSES.wrong_discard_h),
    }
    with st.expander("Criteria and losses"), st.form("verdict.criteria", border=False):
        typed = _typed(source, shown)
        if not st.form_submit_button("Save criteria and losses"):
            return
    changed = {key: value for key, value in typed.items() if value != shown[key]}
    save_and_redraw(put_criteria, source.path, was, {**was, **changed})


def _typed(source, shown):
    """What the form's fields hold."""
    left, right = st.columns(2)
    pieces = ["", *(piece["id"] for piece in (source.study.evidence or {}).get("pieces", ()))]
    asked = shown["piece"]
    life = left.number_input(
        "Life, at least this share of the reference's", 0.05, 5.0, shown["life_ratio"], 0.05
    )
    hardness = right.text_input("Hardness wanted, HRC", shown["hardness_hrc"])
    edge = left.number_input(
        "Carburised edge: hard from, HRC after the temper", 40.0, 65.0, shown["edge_hrc"], 0.5
    )
    damage = right.number_input(
        "Chips and rolls per 100 chops, at most", 0.0, 100.0, shown["damage_per_100"], 0.5,
        help="Blank leaves it out.",
    )  # fmt: skip
    piece = left.selectbox(
        "The piece asked about", pieces, pieces.index(asked) if asked in pieces else 0,
        format_func=lambda name: name or "the lot, where it can be spoken for",
    )  # fmt: skip
    hours = [
        column.number_input(f"A wrong {what} costs, hours", 1.0, 10000.0, shown[key], step)
        for column, what, key, step in (
            (left, "reuse", "wrong_reuse_h", 10.0),
            (right, "discard", "wrong_discard_h", 5.0),
        )
    ]
    return {
        "life_ratio": life,
        "hardness_hrc": hardness.strip(),
        "edge_hrc": edge,
        "damage_per_100": damage or None,
        "piece": piece,
        "wrong_reuse_h": hours[0],
        "wrong_discard_h": hours[1],
    }
