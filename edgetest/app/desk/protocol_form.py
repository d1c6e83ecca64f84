"""A protocol of one's own as a form; it is saved only where nothing in it is wrong."""

import pandas as pd
import streamlit as st

from edgetest.app.kept_fields import kept_form
from edgetest.app.kept_tables import kept_table
from edgetest.app.open_study import show_fault, told_once
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.store.workspace import save_protocol
from edgetest.units import Unreadable, parse_number
from edgetest.wear.curve.laws import LAWS

STROKES = ("push", "draw", "chop")
RULE = ("name", "title", "kind", "unit", "check", "repeats", "at_stations", "all_stations_at",
        "dulling", "law", "source")  # fmt: skip
ALL_STATIONS = ("every stage", "first and last stage")
NO_SOURCE = "common practice, no source"


def show(folder, protocol):
    """The form of one protocol."""
    data = protocol.to_toml_dict()
    form = kept_form(folder, f"protocol {protocol.id}")
    changed = _head(form, data) | _cutting(form, data) | _stages(form, data, protocol)
    changed |= _edge(form, data) | _limit(form, data, protocol)
    changed["readings"] = _readings(form, protocol)
    said = f"protocols.saved.{protocol.id}"
    if form.save("Save the protocol"):
        try:
            save_protocol(_whole(data, changed), folder)
        except (UnusableInput, Unreadable) as fault:
            _told(fault)
            return
        form.forget()
        st.session_state[said] = True
        st.rerun()
    saved, place = told_once(said, False)
    if saved:
        place.success(verbatim(f"{protocol.id}.toml is saved in the study's folder."))


def _told(fault):
    if isinstance(fault, Unreadable):
        st.error(verbatim(f"{fault.what}; {fault.mend}."))
    else:
        show_fault(fault)
    st.markdown("Nothing is saved until this is mended.")


def _lines(form, words, name, items):
    """A field with one item a line."""
    text = form.field(st.text_area, words, "\n".join(items), name)
    return [line.strip() for line in text.splitlines() if line.strip()]


def _head(form, data):
    st.subheader("What it is for")
    return {
        "title": form.field(st.text_input, "Title", data["title"], "title"),
        "purpose": form.field(st.text_area, "Purpose", data["purpose"], "purpose"),
        "cautions": _lines(form, "Cautions, one a line", "cautions", data["cautions"]),
        "control_blade": form.field(
            st.text_area, "Control blade", data["control_blade"], "control_blade"
        ),
    }


def _source(form, table, of):
    """Where a part of the protocol comes from."""
    return form.field(st.text_input, "Where this comes from", of, f"{table} source")


def _cutting(form, data):
    st.subheader("Medium and cut")
    medium, cut = data["medium"], data["cut"]
    left, right = st.columns(2)
    medium = {
        "kind": form.field(left.text_input, "Medium", medium["kind"], "medium"),
        "size": form.field(right.text_input, "Its size", medium["size"], "size"),
        "batch": form.field(st.text_area, "What counts as one batch", medium["batch"], "batch"),
        "source": _source(form, "medium", medium["source"]),
    }
    left, right = st.columns(2)
    cut = {
        "stroke": form.field(left.selectbox, "Stroke", cut["stroke"], "stroke", options=STROKES),
        "length_used_mm": form.field(
            right.text_input, "Length of edge used, mm", _shown(cut.get("length_used_mm")),
            "length_used_mm", help="Blank: not fixed.",
        ),
        "backing": form.field(st.text_input, "Backing", cut["backing"], "backing"),
        "how": form.field(st.text_area, "How one cut is made", cut["how"], "how"),
        "source": _source(form, "cut", cut["source"]),
    }  # fmt: skip
    return {"medium": medium, "cut": {key: value for key, value in cut.items() if value != ""}}


def _stages(form, data, protocol):
    st.subheader("When and where it is read")
    stages = form.field(
        st.text_input, verbatim(f"Stages: cumulative {protocol.life_unit}, with commas between"),
        ", ".join(str(stage) for stage in data["stages"]), "stages",
    )  # fmt: skip
    stations = form.field(
        st.text_input, "Stations: mm from the heel, with commas between",
        ", ".join(f"{place:g}" for place in data.get("stations_mm", ())), "stations_mm",
    )  # fmt: skip
    ladder = _lines(
        form, "Grades from sharpest to dullest, one a line", "ladder", data.get("ladder", ())
    )
    return {"stages": stages, "stations_mm": stations, "ladder": ladder}


def _edge(form, data):
    st.subheader("The edge that goes in")
    edge = data["edge_preparation"]
    left, right = st.columns(2)
    typed = {
        "angle_per_side_deg": form.field(
            left.text_input, "Angle per side, °", _shown(edge.get("angle_per_side_deg")),
            "angle_per_side_deg",
        ),
        "included_angle_deg": form.field(
            right.text_input, "or included angle, °", _shown(edge.get("included_angle_deg")),
            "included_angle_deg", help="Only one of the two.",
        ),
        "finish": form.field(st.text_input, "Finish", edge["finish"], "finish"),
        "wire_edge": form.field(st.text_input, "Wire edge", edge["wire_edge"], "wire_edge"),
        "source": _source(form, "edge", edge["source"]),
    }  # fmt: skip
    return {"edge_preparation": {key: value for key, value in typed.items() if value != ""}}


def _limit(form, data, protocol):
    st.subheader("When a blade's life ends")
    limit = data.get("limit", {})
    left, right = st.columns(2)
    titles = {rule.name: rule.title for rule in protocol.readings}
    reading = form.field(
        left.selectbox, "Reading", limit.get("reading", "no limit"), "limit reading",
        options=["no limit", *titles], format_func=lambda name: titles.get(name, name),
    )  # fmt: skip
    value = form.field(
        right.text_input, "Its limit: a number, or a grade", _shown(limit.get("value")), "limit"
    )
    why = form.field(st.text_input, "Why there", limit.get("why", ""), "why")
    source = _source(form, "limit", limit.get("source", NO_SOURCE))
    if reading == "no limit":
        return {"limit": None}
    return {"limit": {"reading": reading, "value": value, "why": why, "source": source}}


def _readings(form, protocol):
    """The readings as a table; their names end in their unit."""
    st.header("Readings")
    st.caption(
        "The name is the log's column and ends in its unit, as sever_force_gf does; the unit "
        "repeats it. “Rises” or “falls”: what the number does as the edge dulls."
    )
    table = pd.DataFrame([rule.model_dump() for rule in protocol.readings])[list(RULE)]
    choices = st.column_config.SelectboxColumn
    edited = kept_table(
        form, table, "readings", num_rows="dynamic", hide_index=True,
        column_config={
            "kind": choices(options=["number", "grade", "pass_fail"], default="number"),
            "dulling": choices(options=["rises", "falls"], default="rises"),
            "law": choices(options=list(LAWS)),
            "repeats": st.column_config.NumberColumn(min_value=1, step=1, default=1),
            "at_stations": st.column_config.CheckboxColumn("at stations", default=False),
            "all_stations_at": choices(
                "all stations at", options=list(ALL_STATIONS), default=ALL_STATIONS[0]
            ),
            "source": st.column_config.TextColumn(default=NO_SOURCE),
        },
    )  # fmt: skip
    rows = edited.astype(object).where(edited.notna(), None).to_dict("records")
    return [_rule(row) for row in rows if row["name"]]


def _rule(row):
    """One reading as its table in the file: what is blank is left out."""
    rule = {key: value for key, value in row.items() if value not in (None, "")}
    rule["repeats"] = int(rule.get("repeats", 1))
    rule["at_stations"] = bool(rule.get("at_stations", False))
    return rule


def _shown(value):
    """A number or a word as it stands in a field."""
    return "" if value is None else value if isinstance(value, str) else f"{value:g}"


def _whole(data, changed):
    """The protocol's tables with what was changed; texts of numbers become numbers."""
    whole = {**data, **changed}
    whole["stages"] = [_count(word) for word in _words(changed["stages"])]
    whole["stations_mm"] = [parse_number(word) for word in _words(changed["stations_mm"])]
    limit = whole["limit"]
    if limit is not None:
        kinds = {rule["name"]: rule.get("kind", "number") for rule in changed["readings"]}
        if kinds.get(limit["reading"], "number") == "number":
            limit["value"] = parse_number(limit["value"])
    return {key: value for key, value in whole.items() if value not in (None, [], ())}


def _words(text):
    return [word.strip() for word in text.replace(";", ",").split(",") if word.strip()]


def _count(word):
    number = parse_number(word)
    return int(number) if number == int(number) else number
