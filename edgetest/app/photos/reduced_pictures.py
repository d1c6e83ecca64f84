"""Reduced pictures for the pages: small ones for a grid, overlays to look at closely."""

from dataclasses import dataclass

import streamlit as st

from edgetest.report.documents.photo_pages import CLOSE
from edgetest.report.figures.overlay import View, draw_overlay, draw_result, draw_ruling
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.photos.measure_photos import measure_photo
from edgetest.study.photos.photo_scales import lines_of_ruling
from edgetest.study.photos.picture_key import checksum_of, picture_key

TILE_PX = 320
SHOWN_PX = 1200
ALL = View(width_px=SHOWN_PX)


@dataclass(frozen=True)
class Drawn:
    """A picture with what was measured on it, and the sentence of that very measurement."""

    jpeg: bytes
    words: str


@st.cache_data(max_entries=600, show_spinner=False)
def _tile(path, checksum):
    return reduced_jpeg(read_picture(path), TILE_PX)


def tile(path):
    """A small JPEG of a photograph; None where it cannot be read."""
    try:
        return _tile(str(path), checksum_of(path))
    except UnreadablePicture:
        return None


@st.cache_resource(max_entries=6, show_spinner=False)
def _picture(path, checksum):
    return read_picture(path)


@st.cache_resource(max_entries=24, show_spinner=False)
def _measured_again(path, key, _result):
    """The measurement with its arrays, which measured.csv does not keep."""
    return _result if _result.measurement is not None else measure_photo(_result.task)


def arrays_of(result):
    """The result with the arrays of its path."""
    return _measured_again(str(result.path), picture_key(result), result)


@st.cache_data(max_entries=96, show_spinner=False)
def _drawn(path, key, view, _result):
    found = arrays_of(_result)
    picture = _picture(path, checksum_of(found.path))
    if found.wants_scale:  # said beside the picture, once; nothing on it is in the way
        array = draw_overlay(picture, view=view, sentence="")
    else:
        array = draw_result(picture, found, found.measurement, view=view)
    return Drawn(reduced_jpeg(array, SHOWN_PX), found.summary())


def drawn(result, *, close=False):
    """The photograph with what was measured on it, or why not; None where it cannot be read.

    Parameters
    ----------
    result : PhotoResult
    close : bool
        Cut to the edge, with larger lines.

    Returns
    -------
    Drawn or None
        Kept under the key of the result's number, so that both are of one measurement.
    """
    view = CLOSE if close else ALL
    try:
        return _drawn(str(result.path), picture_key(result), view, result)
    except UnreadablePicture:
        return None


@st.cache_data(max_entries=8, show_spinner="Drawing the lines that were found")
def _ruled(path, checksum):
    lines = lines_of_ruling(path)
    array = draw_ruling(_picture(path, checksum), lines, view=ALL)
    return Drawn(reduced_jpeg(array, SHOWN_PX), f"{len(lines)} lines found")


def ruled(path):
    """A photograph of a stage micrometer with the lines that were found on it."""
    return _ruled(str(path), checksum_of(path))


def bare_photograph(path):
    """A photograph as it is: (JPEG to show, width and height of the photograph itself)."""
    picture = _picture(str(path), checksum_of(path))
    return reduced_jpeg(picture, 1600), picture.width_px, picture.height_px


def size_of(path):
    """Width and height of a photograph, pixels."""
    picture = _picture(str(path), checksum_of(path))
    return picture.width_px, picture.height_px
