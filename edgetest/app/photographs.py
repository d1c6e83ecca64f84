"""Page: measure the photographs, look at each with what was measured on it."""

import pandas as pd
import streamlit as st

from edgetest.app.workspace import heading, opened, show_fault, stamp
from edgetest.errors import UnusableInput
from edgetest.images import UnreadablePicture, read_picture
from edgetest.report.overlay import draw_overlay
from edgetest.study.measured import read_measured
from edgetest.study.measuring import with_arrays
from edgetest.study.readings import measure_study, photo_tasks
from edgetest.workspace import save_photograph


def show():
    """The page."""
    heading(
        "Photographs",
        "Apex views: light along the axis, the worn land a bright band between dark bevels.",
    )
    source = opened()
    _upload(source)
    try:
        tasks, missing = photo_tasks(source)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if missing:
        st.warning(f"{len(missing)} photographs of the log are not there: {', '.join(missing[:6])}")
    if not tasks:
        st.info("The log names no photograph. Write file names into its column photo.")
        return
    known = read_measured(source.path)
    left = [task for task in tasks if task.path.name not in known]
    words = f"Measure {len(left)} photographs" if left else "Look for changes and measure them"
    if st.button(words, type="primary" if left else "secondary"):
        _measure(source)
        known = read_measured(source.path)
    if known:
        _table(source, known)


def _measure(source):
    """Measure with a progress bar; what is done stays done if the page is left."""
    bar = st.progress(0.0, "Measuring")
    measure_study(
        source,
        progress=lambda done, total: bar.progress(done / total, f"{done} of {total}"),
    )
    bar.empty()


@st.cache_resource(max_entries=4, show_spinner=False)
def _results(folder, version):
    from edgetest.study.sources import open_source

    return measure_study(open_source(folder))[0]


def _table(source, known):
    """All measurements; one of them beside its photograph."""
    names = {task.path.name for task in photo_tasks(source)[0]}
    if not names <= set(known):
        return
    results = _results(str(source.path), (stamp(source.path), len(known)))
    refused = [result for result in results if not result.measured]
    if refused:
        st.warning(f"{len(refused)} refused; choose “refused only” to see why.")
    only = st.toggle("Refused only", key="photographs.refused") if refused else False
    shown = refused if only else list(results)
    picked = st.selectbox(
        "Photograph", shown, format_func=lambda result: f"{result.photo} — {result.summary()[:70]}"
    )
    left, right = st.columns([3, 2])
    with left:
        st.image(_overlay(str(picked.path), picked.sha256, picked), width="stretch")
    with right:
        _numbers(picked)
    rows = [_row(result) for result in shown]
    st.dataframe(pd.DataFrame(rows), hide_index=True, height=360)


def _row(result):
    width = result.numbers["width_um"] or {}
    return {
        "photograph": result.photo,
        "blade": result.blade,
        "cuts": result.cuts,
        "station mm": result.station_mm,
        "edge width µm": width.get("mean"),
        "low": width.get("low"),
        "high": width.get("high"),
        "below µm": result.numbers["below_um"],
        "state": result.numbers["status"],
    }


@st.cache_data(max_entries=24, show_spinner=False)
def _overlay(path, _checksum, _result):
    try:
        picture = read_picture(path)
    except UnreadablePicture:
        return b""
    drawn = draw_overlay(picture, with_arrays(_result).measurement)
    import cv2

    return cv2.imencode(".jpg", drawn[..., ::-1])[1].tobytes()


def _numbers(result):
    """One measurement's numbers, doubts and reasons."""
    st.markdown(f"**{result.summary()}**")
    numbers = result.numbers
    for reason in [*numbers["reasons"], *numbers["warnings"]]:
        st.markdown(f"- {reason['text']}")
    facts = {
        "share of the edge measured": numbers["share_measured"],
        "blur, px": numbers["blur_px"],
        "signal to noise": numbers["snr"],
        "scale, µm per px": (numbers["scale"] or {}).get("um_per_px"),
    }
    for name, value in facts.items():
        if value is not None:
            st.caption(f"{name}: {value:.3g}")


def _upload(source):
    """Photographs from the camera go to the study's folder as they are."""
    with st.expander("Add photographs"):
        files = st.file_uploader(
            "JPEG, PNG or TIFF", accept_multiple_files=True, key="photographs.files"
        )
        for file in files or ():
            try:
                read_picture(file.getvalue(), name=file.name)
                save_photograph(source.path, file.name, file.getvalue())
            except UnusableInput as fault:
                show_fault(fault)
            else:
                st.success(f"{file.name} is in the study's folder.")
