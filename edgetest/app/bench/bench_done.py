"""What is done at this stage: its readings as they stand, its photographs with their numbers."""

import streamlit as st

from edgetest.app.bench.bench_readings import photo_beside_number
from edgetest.app.open_study import show_fault
from edgetest.app.page_words import on_page
from edgetest.app.photos.scale_wanted import scale_wanted
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.store.journal import last_change
from edgetest.study.bench.bench_entry import entries, stage_photos, waiting_photos
from edgetest.study.bench.blinding import shown_names


def show(source, action):
    """Readings and photographs of the stage that is under way or was read last."""
    names = shown_names(source)
    stage = action.stage if action.kind == "read" else action.read_to
    try:
        photos = stage_photos(source, action.run, stage)
        shown = {photo.photo for photo in photos}
        found = [
            each for each in entries(source, action.run)
            if each.keys["cuts"] == f"{stage:g}" and each.text not in shown
        ]  # fmt: skip
    except UnusableInput as fault:
        show_fault(fault)
        return
    if not photos and not found:
        st.caption("This stage has no reading yet.")
    for each in found:
        st.markdown(f"- {verbatim(each.label(names, source.protocol))}")
    for photo in photos:
        photo_beside_number(photo, action.name)


def last_picture(source):
    """What the last picture gave, where it was the last thing done; the picture is folded away."""
    change = last_change(source.path)
    if change is None:
        return
    name = (change.after or {}).get("photo")
    row = next((row for row in source.log.rows if name and row.photo == name), None)
    if row is None or (change.before or {}).get("photo") == name:
        return
    try:
        photos = stage_photos(source, (row.block, row.blade), row.cuts)
    except UnusableInput:  # told where the next picture is asked for
        return
    for photo in photos:
        if photo.photo == name:
            _told(photo)


def _told(photo):
    """What a picture gave; a refusal stands where the next one is asked for."""
    if photo.wants_scale:
        scale_wanted(1)
    elif photo.measured:
        at = f"Station {photo.station_mm:g} mm: " if photo.station_mm is not None else ""
        st.success(verbatim(f"{at}{photo.summary()}"))
        for warning in photo.numbers["warnings"]:
            st.caption(verbatim(on_page(warning["text"])))


def waiting_for_measuring(source, action):
    """Photographs of this blade that are not measured: none is unasked."""
    try:
        return waiting_photos(source, action.run)
    except UnusableInput:  # told where the next picture is asked for
        return []
