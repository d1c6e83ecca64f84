"""Form of the carburising pack: its heat, and the edge that went through it."""

import streamlit as st

from edgetest.app.answers.evidence_fields import PACK, sized
from edgetest.app.answers.evidence_forms import save_and_redraw
from edgetest.study.steel.evidence_edit import put_facts

ENERGISED = {"not known": None, "alone": False, "with a carbonate": True}


def pack_form(source):
    """The pack: its heat, and the edge that went through it."""
    was = (source.study.evidence or {}).get("pack")
    heats = list((was or {}).get("heats", [{}]))
    sections = list((was or {}).get("sections", [{}]))
    heat, edge = heats[0], sections[0]
    removed = edge.get("removed_mm")
    with st.form("verdict.pack", border=False):
        st.markdown("**The pack, as it was or as it is planned**")
        left, right = st.columns(2)
        compound = left.text_input("Compound", (was or {}).get("compound", ""))
        core = right.number_input(
            "Carbon of the steel before, %", 0.0, 2.1, _number((was or {}).get("core_pct")), 0.01,
            help="Leave it blank to take it from the coupon's hardness.",
        )  # fmt: skip
        degrees = sized(left, "Pack, °C", heat.get("temperature_c"), placeholder="900 or 1650 °F")
        hours = sized(right, "Hours with the steel at heat", heat.get("hours"))
        thick = sized(left, "Edge in the pack, mm thick", edge.get("thickness_mm"))
        faces = isinstance(removed, list)  # each face its own: only a number typed replaces both
        off = sized(right, "Ground off each face afterwards, mm", None if faces else removed)
        kind = left.selectbox(
            "Charcoal in the pack", list(ENERGISED), _kind((was or {}).get("energised"))
        )
        skin = sized(right, "Decarburised skin before, mm", (was or {}).get("skin_mm"))
        temper = _temper((was or {}).get("temper"))
        if not st.form_submit_button("Save the pack", type="primary"):
            return
    grind = removed if faces and off is None else off
    pack = {
        **(was or {}), "compound": compound.strip(), "core_pct": core,
        "energised": ENERGISED[kind], "skin_mm": skin, "temper": temper,
        "heats": [
            _filled({"name": "pack", "surface": "carburising", **heat, "temperature_c": degrees,
                     "hours": hours}),
            *heats[1:],
        ],
        "sections": [
            _filled({"name": "edge", **edge, "thickness_mm": thick, "removed_mm": grind}),
            *sections[1:],
        ],
    }  # fmt: skip
    facts = {"pack": _filled(pack)}
    save_and_redraw(put_facts, source.path, {"pack": was}, facts, fields=PACK)


def _kind(energised):
    """Place of what is known of the charcoal among the words for it."""
    return list(ENERGISED.values()).index(energised)


def _temper(was):
    """The temper as typed; None where its heat is blank: then the usual one counts."""
    known, columns = was if isinstance(was, dict) else {}, st.columns(3)
    celsius = sized(columns[0], "Temper, °C", known.get("temperature_c"), placeholder="180")
    minutes = sized(columns[1], "Temper, minutes", known.get("time_min"), placeholder="60")
    times = columns[2].number_input("Temper, times", 1, 6, int(known.get("repeats", 1)))
    if celsius is None:
        return was if isinstance(was, str) else None
    return _filled({"temperature_c": celsius, "time_min": minutes, "repeats": int(times)})


def _filled(entries):
    """The entries that hold something; zero does."""
    return {key: value for key, value in entries.items() if value is not None and value != ""}


def _number(written):
    return float(written) if isinstance(written, int | float) else None
