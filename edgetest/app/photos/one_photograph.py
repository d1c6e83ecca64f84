"""One photograph large: what was measured on it, and what a person sets right."""

import streamlit as st

from edgetest.app.photos.reduced_pictures import arrays_of, drawn, size_of
from edgetest.app.photos.set_right import Subject, corrections_made, set_right
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim
from edgetest.photo.apex.apex_light import FacingWidth, Lighting
from edgetest.store.images import UnreadablePicture

WAYS = ("Look", "Region", "Stretch of edge", "Damage", "Scale")
WAYS_OF_LAMPS = ("Look", "Scale")


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
        st.error(verbatim(f"{fault.what}. {fault.mend}."))
        return
    _numbers(result)
    if way == "Look" and st.toggle("Only the edge", key="one.close"):
        shown = drawn(result, close=True)
        st.image(shown.jpeg, width="stretch", alt=f"{result.photo}: {shown.words}")
        corrections_made(source, result.photo)
        return
    set_right(source, _subject(result, size), way)


def _subject(result, size):
    """The photograph as it is set right."""
    shown = drawn(result)
    return Subject(
        photo=result.photo,
        path=result.path,
        size=size,
        correction=result.task.correction,
        found=tuple(result.numbers["chips"]),
        measurement=arrays_of(result).measurement if result.measured else None,
        drawn=shown and shown.jpeg,
        um_per_px=(result.numbers["scale"] or {}).get("um_per_px"),
        alt=f"{result.photo}: {shown.words if shown else result.summary()}",
    )


def _picked(results):
    """The photograph that is looked at, with buttons to the one before and the one after."""
    names = [result.photo for result in results]
    by_name = dict(zip(names, results, strict=True))
    if st.session_state.get("photographs.picked") not in by_name:
        asked = st.query_params.get("photo")
        st.session_state["photographs.picked"] = asked if asked in by_name else names[0]
    picked = st.session_state["photographs.picked"]
    with st.container(horizontal=True, vertical_alignment="bottom"):
        chosen = st.selectbox(
            "Photograph", names, index=names.index(picked), width=360,
            format_func=lambda name: f"{name}{_state(by_name[name])}",
        )  # fmt: skip
        if chosen != picked:
            st.session_state["photographs.picked"] = picked = chosen
        place = names.index(picked)
        for words, step in (("Before", -1), ("Next", 1)):
            st.button(
                words, key=f"one.{words}", on_click=_go, args=(names[(place + step) % len(names)],)
            )
    if st.query_params.get("photo") != picked:
        st.query_params["photo"] = picked  # the same one after a reload
    return by_name[picked]


def _state(result):
    """What the list says behind a photograph's name."""
    if result.measured:
        return ""
    return " (waits for the scale)" if result.wants_scale else " (refused)"


@uncut
def _go(name):
    st.session_state["photographs.picked"] = name


def _numbers(result):
    """One measurement's numbers, doubts and reasons; the automatic one beside a corrected one."""
    if not result.wants_scale:  # that is said above, with the way to it
        summary = result.summary()
        st.markdown(f"**{verbatim(capital(summary))}**")
    numbers = result.numbers
    if result.automatic is not None:
        told = _automatic_words(result.automatic)
        st.markdown(verbatim(f"Corrected by a person. Without the correction: {told}."))
    if result.measured:  # the reasons of a refusal stand in its summary
        for warning in numbers["warnings"]:
            st.markdown(f"- {verbatim(warning['text'])}")
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
    st.caption(verbatim(" · ".join(fact for fact in facts if fact)))
    for number, chip in enumerate(numbers["chips"], 1):
        st.caption(
            verbatim(
                f"{chip['kind']} {number}: at {chip['position_um']:.0f} µm, "
                f"{chip['length_um']:.3g} µm long, "
                f"{chip['depth_um']:.2g} ± {1.96 * chip['depth_u_um']:.1g} µm deep"
            )
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
