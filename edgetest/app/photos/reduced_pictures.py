"""Reduced pictures for the pages: small ones for a grid, overlays to look at closely."""

import streamlit as st

from edgetest.report.figures.overlay import View, draw_result
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.photos.measure_photos import with_arrays

TILE_PX = 320
SHOWN_PX = 1200


@st.cache_data(max_entries=600, show_spinner=False)
def tile(path, changed_ns):
    """A small JPEG of a photograph; None where it cannot be read."""
    try:
        return reduced_jpeg(read_picture(path), TILE_PX)
    except UnreadablePicture:
        return None


@st.cache_resource(max_entries=6, show_spinner=False)
def _picture(path, changed_ns):
    return read_picture(path)


@st.cache_resource(max_entries=24, show_spinner=False)
def measured_again(path, changed_ns, task):
    """The measurement of a task with its arrays, which measured.csv does not keep."""
    from edgetest.study.photos.measure_photos import measure_photo

    return measure_photo(task)


def arrays_of(result):
    """The result with the arrays of its path."""
    if result.measurement is not None or result.task is None:
        return with_arrays(result)
    return measured_again(str(result.path), result.path.stat().st_mtime_ns, result.task)


@st.cache_data(max_entries=48, show_spinner=False)
def _overlay(path, changed_ns, key, close, _result):
    view = View(crop=close, width_px=SHOWN_PX)
    measured = arrays_of(_result).measurement
    drawn = draw_result(_picture(path, changed_ns), _result, measured, view=view)
    return reduced_jpeg(drawn, SHOWN_PX)


def overlay(result, *, close=False):
    """The photograph with what was measured on it, as JPEG; None where it cannot be read."""
    path = result.path
    try:
        return _overlay(str(path), path.stat().st_mtime_ns, repr(result.task), close, result)
    except UnreadablePicture:
        return None


def bare_photograph(path):
    """A photograph as it is: (JPEG to show, width and height of the photograph itself)."""
    picture = _picture(str(path), path.stat().st_mtime_ns)
    return reduced_jpeg(picture, 1600), picture.width_px, picture.height_px


def size_of(path):
    """Width and height of a photograph, pixels."""
    picture = _picture(str(path), path.stat().st_mtime_ns)
    return picture.width_px, picture.height_px
