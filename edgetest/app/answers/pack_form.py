"""Form of the carburising pack: its heat, and the edge that went through it."""

import streamlit as st

from edgetest.app.answers.evidence_fields import PACK, sized
from edgetest.app.answers.evidence_forms import piece_names, save_and_redraw
from edgetest.app.kept_fields import kept_form
from edgetest.study.steel.evidence_edit import put_facts

ENERGISED = {"not known": None, "alone": False, "with a carbonate": True}


def pack_form(source):
    """The pack: its heat, and the edge that went through it."""
    was = (source.study.evidence or {}).get("pack")
    heats = list((was or {}).get("heats", [{}]))
    sections = list((was or {}).get("sections", [{}]))
    heat, edge = heats[0], sections[0]
    removed = edge.get("removed_mm")
    form = kept_form(source.path, "pack")
    st.markdown("**The pack, as it was or as it is planned**")
    piece = _piece(form, source, (was or {}).get("piece"))
    left, right = st.columns(2)
    compound = form.field(left.text_input, "Compound", (was or {}).get("compound", ""), "compound")
    core = form.field(
        right.number_input, "Carbon of the steel before, %", _number((was or {}).get("core_pct")),
        "core_pct", min_value=0.0, max_value=2.1, step=0.01,
        help="Leave it blank to take it from the coupon's hardness.",
    )  # fmt: skip
    degrees = sized(form, left, "Pack, °C", "temperature_c", heat.get("temperature_c"),
                    placeholder="900 or 1650 °F")  # fmt: skip
    hours = sized(form, right, "Hours with the steel at heat", "hours", heat.get("hours"))
    thick = sized(form, left, "Edge in the pack, mm thick", "thickness_mm",
                  edge.get("thickness_mm"))  # fmt: skip
    faces = isinstance(removed, list)  # each face its own: only a number typed replaces both
    off = sized(form, right, "Ground off each face afterwards, mm", "removed_mm",
                None if faces else removed)  # fmt: skip
    kind = form.field(
        left.selectbox, "Charcoal in the pack", _kind((was or {}).get("energised")), "energised",
        options=list(ENERGISED),
    )  # fmt: skip
    skin = sized(form, right, "Decarburised skin before, mm", "skin_mm", (was or {}).get("skin_mm"))
    temper = _temper(form, (was or {}).get("temper"))
    if not form.save("Save the pack"):
        return
    grind = removed if faces and off is None else off
    pack = {
        **(was or {}), "piece": piece, "compound": compound.strip(), "core_pct": core,
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
    save_and_redraw(form, put_facts, source.path, {"pack": was}, facts, fields=PACK)


def _piece(form, source, was):
    """The piece that was packed, asked where there are several."""
    names = piece_names(source)
    if len(names) < 2:
        return was
    return form.field(
        st.selectbox, "Piece that was packed", was, "piece", options=[*names], index=None,
        placeholder="",
    )  # fmt: skip


def _kind(energised):
    """What is known of the charcoal, in words."""
    return next(words for words, known in ENERGISED.items() if known is energised)


def _temper(form, was):
    """The temper as typed; None where its heat is blank: then the usual one counts."""
    known, columns = was if isinstance(was, dict) else {}, st.columns(3)
    celsius = sized(form, columns[0], "Temper, °C", "temper_c", known.get("temperature_c"),
                    placeholder="180")  # fmt: skip
    minutes = sized(form, columns[1], "Temper, minutes", "time_min", known.get("time_min"),
                    placeholder="60")  # fmt: skip
    times = form.field(columns[2].number_input, "Temper, times", int(known.get("repeats", 1)),
                       "repeats", min_value=1, max_value=6)  # fmt: skip
    if celsius is None:
        return was if isinstance(was, str) else None
    return _filled({"temperature_c": celsius, "time_min": minutes, "repeats": int(times)})


def _filled(entries):
    """The entries that hold something; zero does."""
    return {key: value for key, value in entries.items() if value is not None and value != ""}


def _number(written):
    return float(written) if isinstance(written, int | float) else None
