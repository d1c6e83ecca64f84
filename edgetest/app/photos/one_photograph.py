"""One photograph large: what was measured on it, and what a person sets right."""

from datetime import UTC, datetime

import streamlit as st

from edgetest.app.open_study import faults_kept
from edgetest.app.photos.marking import mark
from edgetest.app.photos.reduced_pictures import arrays_of, bare_photograph, overlay, size_of
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import FacingWidth, Lighting
from edgetest.store.images import UnreadablePicture
from edgetest.study.photos.corrections import correct, read_entries, stretch_between

WAYS = ("Look", "Region", "Stretch of edge", "Chips", "Scale")
WAYS_OF_LAMPS = ("Look", "Scale")
NAMES = {"region": "region", "struck_out": "stretches struck out", "um_per_px": "scale"}


def show(source, results):
    """The photograph that is picked, its numbers, and what may be set right."""
    result = _picked(results)
    lamps = result.between_lamps
    way = st.segmented_control(
        "Set right", WAYS_OF_LAMPS if lamps else WAYS, default=WAYS[0], required=True,
        key="one.way_of_lamps" if lamps else "one.way",
        wrap=True,
        help="What the program measured stays; a correction is kept beside it, with your name.",
    )  # fmt: skip
    try:
        size = size_of(result.path)
    except UnreadablePicture as fault:
        st.error(f"{fault.what}. {fault.mend}.")
        return
    _numbers(result)
    if way == "Region":
        _region(source, result, size)
    elif way == "Stretch of edge":
        _stretch(source, result, size)
    elif way == "Chips":
        _chips(source, result)
    elif way == "Scale":
        _scale(source, result)
    else:
        close = st.toggle("Only the edge", key="one.close")
        _picture(result, close=close)
    _record(source, result)


def _picture(result, *, close=False):
    """The photograph with what was measured on it."""
    st.image(
        overlay(result, close=close), width="stretch", alt=f"{result.photo}: {result.summary()}"
    )


def _picked(results):
    """The photograph that is looked at, with buttons to the one before and the one after."""
    names = [result.photo for result in results]
    by_name = dict(zip(names, results, strict=True))
    if st.session_state.get("photographs.picked") not in by_name:
        st.session_state["photographs.picked"] = names[0]
    picked = st.session_state["photographs.picked"]
    with st.container(horizontal=True, vertical_alignment="bottom"):
        chosen = st.selectbox(
            "Photograph", names, index=names.index(picked), width=360,
            format_func=lambda name: f"{name}{'' if by_name[name].measured else ' (refused)'}",
        )  # fmt: skip
        if chosen != picked:
            st.session_state["photographs.picked"] = picked = chosen
        place = names.index(picked)
        for words, step in (("Before", -1), ("Next", 1)):
            st.button(
                words, key=f"one.{words}", on_click=_go, args=(names[(place + step) % len(names)],)
            )
    return by_name[picked]


def _go(name):
    st.session_state["photographs.picked"] = name


def _numbers(result):
    """One measurement's numbers, doubts and reasons; the automatic one beside a corrected one."""
    summary = result.summary()
    st.markdown(f"**{summary[:1].upper()}{summary[1:]}**")
    numbers = result.numbers
    if result.automatic is not None:
        told = _automatic_words(result.automatic)
        st.markdown(f"Corrected by a person. Without the correction: {told}.")
    if result.measured:  # the reasons of a refusal stand in its summary
        for warning in numbers["warnings"]:
            st.markdown(f"- {warning['text']}")
    place = f"blade {result.blade}, {result.cuts:g} cuts"
    place += f", station {result.station_mm:g} mm" if result.station_mm is not None else ""
    share, scale = numbers["share_measured"], numbers["scale"] or {}
    facing = numbers["w30_um"]
    facts = [
        place,
        Lighting(**numbers["light"]).words(),
        f"W30 {FacingWidth(**facing).words()}" if facing else "",
        *_lamp_facts(numbers["crest"]),
        f"{100 * share:.0f} % of the edge in the picture measured" if share is not None else "",
        f"blur {numbers['blur_px']:.2g} px" if numbers["blur_px"] is not None else "",
        f"signal to noise {numbers['snr']:.0f}" if numbers["snr"] is not None else "",
        f"{scale['um_per_px']:.5g} µm per px" if scale.get("um_per_px") else "",
    ]
    st.caption(" · ".join(fact for fact in facts if fact))
    for number, chip in enumerate(numbers["chips"], 1):
        st.caption(
            f"{chip['kind']} {number}: at {chip['position_um']:.0f} µm, "
            f"{chip['length_um']:.3g} µm long, "
            f"{chip['depth_um']:.2g} ± {1.96 * chip['depth_u_um']:.1g} µm deep"
        )


def _automatic_words(numbers):
    """What was measured without a correction."""
    width, facing = numbers["width_um"], numbers["w30_um"]
    if width:
        return f"{width['mean']:.4g} µm"
    return FacingWidth(**facing).words() if numbers["crest"] else numbers["status"]


def _lamp_facts(crest):
    """What is known of the lamps, and of the on-axis picture that was used."""
    if crest is None:
        return []
    angle = crest["lamp_angle_deg"]
    return [
        f"lamps {angle:.0f}° from the axis" if angle is not None else "",
        f"joined with {crest['on_axis']}" if crest["on_axis"] else "",
    ]


def _who():
    """Who corrects; kept from one photograph to the next."""
    who = st.text_input("Your name", st.session_state.get("one.who", ""), key="one._who")
    st.session_state["one.who"] = who.strip()
    if not who.strip():
        st.caption("A correction is kept with the name of who made it.")
    return who.strip()


def _save(folder, photo, kind, after):
    """Record a correction; the photograph is measured with it when the page comes back."""
    when = datetime.now(UTC).isoformat(timespec="seconds")
    with faults_kept():
        correct(folder, photo, kind, after, who=st.session_state["one.who"], when=when)


def _button(words, source, result, kind, after, *, who, key=None, disabled=False):
    st.button(
        words, key=key or f"one.save.{kind}", type="secondary" if key else "primary",
        disabled=disabled or not who, on_click=_save, args=(source.path, result.photo, kind, after),
    )  # fmt: skip


def _region(source, result, size):
    """The part of the picture that is measured, dragged on it."""
    now = result.task.correction.region
    before = [((now[0], now[1]), (now[2], now[3]))] if now else []
    points, _ = mark(
        bare_photograph(result.path)[0], *size, name=result.photo, kind="region", before=before,
        key=f"one.region.{result.photo}",
    )  # fmt: skip
    who = _who()
    after = None
    if points:
        (row0, column0), (row1, column1) = points
        after = [*map(min, (row0, column0), (row1, column1)),
                 *map(max, (row0, column0), (row1, column1))]  # fmt: skip
        after = [round(value) for value in after]
    with st.container(horizontal=True):
        _button("Measure only this region", source, result, "region", after, who=who,
                disabled=not points)  # fmt: skip
        if now:
            _button("Measure the whole picture again", source, result, "region", None, who=who,
                    key="one.back.region")  # fmt: skip


def _stretch(source, result, size):
    """A stretch of the edge that is left out, dragged along it."""
    measurement = arrays_of(result).measurement
    if not result.measured or measurement is None:
        st.info("Nothing was measured on this photograph that could be struck out.")
        return
    points, _ = mark(
        overlay(result), *size, name=f"{result.photo}.{result.task.correction.key()}",
        kind="stretch",
        key=f"one.stretch.{result.photo}.{len(result.task.correction.struck_out)}",
    )  # fmt: skip
    who = _who()
    now, after = [list(pair) for pair in result.task.correction.struck_out], None
    if points:
        try:
            first, last = stretch_between(measurement, *points)
        except UnusableInput as fault:
            st.error(f"{fault.what}; {fault.mend}.")
        else:
            after = [*now, [round(first, 2), round(last, 2)]]
            st.caption(f"From {first:.0f} to {last:.0f} µm along the edge.")
    with st.container(horizontal=True):
        _button("Leave this stretch out", source, result, "struck_out", after, who=who,
                disabled=after is None)  # fmt: skip
        if now:
            _button("Take all stretches back in", source, result, "struck_out", None, who=who,
                    key="one.back.struck_out")  # fmt: skip


def _chips(source, result):
    """Damage that is none: dust, a scratch, a speck of light."""
    _picture(result)
    chips = result.numbers["chips"]
    if not chips:
        st.info("No damage was found on this photograph.")
        return
    who = _who()
    now = [list(pair) for pair in result.task.correction.struck_out]
    for number, chip in enumerate(chips, 1):
        half = max(chip["length_um"], 1.0) / 2
        ends = [round(chip["position_um"] - half, 2), round(chip["position_um"] + half, 2)]
        words = f"Strike out {chip['kind']} {number}"
        _button(words, source, result, "struck_out", [*now, ends], who=who,
                key=f"one.chip.{number}")  # fmt: skip


def _scale(source, result):
    """A scale for this photograph alone."""
    _picture(result)
    st.markdown(
        "A scale for **this photograph alone**, as when the zoom was touched. For all photographs "
        "set it under **Scale** above."
    )
    scale = (result.numbers["scale"] or {}).get("um_per_px") or 1.0
    value = st.number_input(
        "µm per pixel", min_value=0.0001, value=float(scale), format="%.5f", key="one.um_per_px"
    )
    share = st.number_input(
        "How sure, ± %", 0.0, 20.0, 1.0, 0.1, key="one.scale_u",
        help="Standard uncertainty of the scale, as a share of it.",
    )  # fmt: skip
    who = _who()
    with st.container(horizontal=True):
        _button("Use this scale here", source, result, "um_per_px", [value, share / 100], who=who)
        if result.task.correction.um_per_px is not None:
            _button("Use the study's scale again", source, result, "um_per_px", None, who=who,
                    key="one.back.um_per_px")  # fmt: skip


def _record(source, result):
    """Every correction of this photograph, oldest first."""
    entries = [entry for entry in read_entries(source.path) if entry.photo == result.photo]
    if not entries:
        return
    st.subheader("What was set right")
    for entry in entries:
        when = entry.when.replace("T", " ")[:16]
        st.markdown(
            f"- {when}, **{entry.who}**: {NAMES[entry.kind]} from {_said(entry.before)} "
            f"to {_said(entry.after)}"
        )


def _said(value):
    """A setting in words."""
    if not value:
        return "none"
    if isinstance(value, list) and value and isinstance(value[0], list):
        return ", ".join(f"{a:g} to {b:g} µm" for a, b in value)
    if isinstance(value, list) and len(value) == 4:
        return "rows {0:g} to {2:g}, columns {1:g} to {3:g}".format(*value)
    if isinstance(value, list):
        return f"{value[0]:g} µm per px ± {100 * value[1]:g} %"
    return f"{value:g} µm per px"
