"""A protocol of one's own as a form; it is saved only where nothing in it is wrong."""

import pandas as pd
import streamlit as st

from edgetest.app.open_study import show_fault
from edgetest.errors import UnusableInput
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import save_protocol
from edgetest.units import Unreadable, parse_number
from edgetest.wear.curve.laws import LAWS

STROKES = ("push", "draw", "chop")
RULE = ("name", "title", "kind", "unit", "check", "repeats", "at_stations", "dulling", "law",
        "source")  # fmt: skip
NO_SOURCE = "common practice, no source"


def show(folder, protocol):
    """The form of one protocol."""
    seen = st.session_state.get(_key(protocol), protocol)
    st.session_state[_key(protocol)] = protocol
    if seen != protocol:
        _stale(seen, protocol)
        return
    data = protocol.to_toml_dict()
    with st.form("protocols.form", border=False):
        changed = _head(data) | _cutting(data, protocol) | _stages(data, protocol)
        changed |= _edge(data) | _limit(data, protocol)
        changed["readings"] = _readings(protocol)
        if not st.form_submit_button("Save the protocol", type="primary"):
            return
    try:
        path = save_protocol(_whole(data, changed), folder)
    except (UnusableInput, Unreadable) as fault:
        _told(fault)
        return
    st.session_state[_key(protocol)] = load_protocol(path.name, folder)
    st.success(f"{protocol.id}.toml is saved in the study's folder.")


def _key(protocol):
    return f"protocols.seen.{protocol.id}"


def _stale(seen, now):
    """Someone else has changed the file while the form was open: both versions."""
    before, after = seen.to_toml_dict(), now.to_toml_dict()
    st.error("This protocol was changed elsewhere while the form was open; yours was not saved.")
    for name in dict.fromkeys([*before, *after]):
        if before.get(name) != after.get(name):
            st.markdown(f"**{name}** said {before.get(name)}; it says {after.get(name)} now.")
    st.button("Go on with what it says now", key="protocols.go_on")


def _told(fault):
    if isinstance(fault, Unreadable):
        st.error(f"{fault.what}; {fault.mend}.")
    else:
        show_fault(fault)
    st.markdown("Nothing is saved until this is mended.")


def _lines(words, items, **options):
    """A field with one item a line."""
    text = st.text_area(words, "\n".join(items), **options)
    return [line.strip() for line in text.splitlines() if line.strip()]


def _head(data):
    st.header("What it is for")
    return {
        "title": st.text_input("Title", data["title"]),
        "purpose": st.text_area("Purpose", data["purpose"]),
        "cautions": _lines("Cautions, one a line", data["cautions"]),
        "control_blade": st.text_area("Control blade", data["control_blade"]),
    }


def _cutting(data, protocol):
    st.header("Medium and cut")
    medium, cut = data["medium"], data["cut"]
    left, right = st.columns(2)
    medium = {
        "kind": left.text_input("Medium", medium["kind"]),
        "size": right.text_input("Its size", medium["size"]),
        "batch": st.text_area("What counts as one batch", medium["batch"]),
        "source": st.text_input("Where this comes from", medium["source"], key="protocols.medium"),
    }
    left, right = st.columns(2)
    stroke = left.selectbox("Stroke", STROKES, STROKES.index(cut["stroke"]))
    length = right.text_input(
        "Length of edge used, mm", _shown(cut.get("length_used_mm")), help="Blank: not fixed."
    )
    cut = {
        "stroke": stroke,
        "length_used_mm": length,
        "backing": st.text_input("Backing", cut["backing"]),
        "how": st.text_area("How one cut is made", cut["how"]),
        "source": st.text_input("Where this comes from", cut["source"], key="protocols.cut"),
    }
    return {"medium": medium, "cut": {key: value for key, value in cut.items() if value != ""}}


def _stages(data, protocol):
    st.header("When and where it is read")
    stages = st.text_input(
        f"Stages: cumulative {protocol.life_unit}, with commas between",
        ", ".join(str(stage) for stage in data["stages"]),
    )
    stations = st.text_input(
        "Stations: mm from the heel, with commas between",
        ", ".join(f"{place:g}" for place in data.get("stations_mm", ())),
    )
    ladder = _lines("Grades from sharpest to dullest, one a line", data.get("ladder", ()))
    return {"stages": stages, "stations_mm": stations, "ladder": ladder}


def _edge(data):
    st.header("The edge that goes in")
    edge = data["edge_preparation"]
    left, right = st.columns(2)
    side = left.text_input("Angle per side, °", _shown(edge.get("angle_per_side_deg")))
    whole = right.text_input(
        "or included angle, °", _shown(edge.get("included_angle_deg")), help="Only one of the two."
    )
    return {
        "edge_preparation": {
            key: value
            for key, value in {
                "angle_per_side_deg": side,
                "included_angle_deg": whole,
                "finish": st.text_input("Finish", edge["finish"]),
                "wire_edge": st.text_input("Wire edge", edge["wire_edge"]),
                "source": st.text_input("Where this comes from", edge["source"],
                                        key="protocols.edge"),
            }.items()
            if value != ""
        }
    }  # fmt: skip


def _limit(data, protocol):
    st.header("When a blade's life ends")
    limit = data.get("limit", {})
    names = ["no limit", *(rule.name for rule in protocol.readings)]
    left, right = st.columns(2)
    titles = {rule.name: rule.title for rule in protocol.readings}
    reading = left.selectbox("Reading", names, names.index(limit.get("reading", "no limit")),
                             format_func=lambda name: titles.get(name, name))  # fmt: skip
    value = right.text_input("Its limit: a number, or a grade", _shown(limit.get("value")))
    why = st.text_input("Why there", limit.get("why", ""))
    source = st.text_input("Where this comes from", limit.get("source", NO_SOURCE),
                           key="protocols.limit")  # fmt: skip
    if reading == "no limit":
        return {"limit": None}
    return {"limit": {"reading": reading, "value": value, "why": why, "source": source}}


def _readings(protocol):
    """The readings as a table; their names end in their unit."""
    st.header("Readings")
    st.caption(
        "The name is the log's column and ends in its unit, as sever_force_gf does; the unit "
        "repeats it. “Rises” or “falls”: what the number does as the edge dulls."
    )
    table = pd.DataFrame([rule.model_dump() for rule in protocol.readings])[list(RULE)]
    choices = st.column_config.SelectboxColumn
    edited = st.data_editor(
        table, key=f"protocols.readings.{protocol.id}", num_rows="dynamic", hide_index=True,
        column_config={
            "kind": choices(options=["number", "grade", "pass_fail"], default="number"),
            "dulling": choices(options=["rises", "falls"], default="rises"),
            "law": choices(options=list(LAWS)),
            "repeats": st.column_config.NumberColumn(min_value=1, step=1, default=1),
            "at_stations": st.column_config.CheckboxColumn("at stations", default=False),
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
