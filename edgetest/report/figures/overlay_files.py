"""Overlays, outlines laid together and fused pictures, as files."""

from pathlib import Path

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_encode
from edgetest.report.figures.following_figure import plot_following
from edgetest.report.figures.overlay import draw_overlay
from edgetest.report.figures.plot_style import png_bytes
from edgetest.store.files import write_atomic
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.study.photos.measure_photos import with_arrays


def write_overlays(results, folder):
    """Write the overlay of each photograph's measurement as PNG; returns the paths.

    A file that is no picture has nothing to draw on: its refusal stands among the results.

    Parameters
    ----------
    results : iterable of PhotoResult or SideViewResult
    folder : path-like
        Made if it is not there.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for result in results:
        try:
            picture = read_picture(result.path)
        except UnreadablePicture:
            continue
        measured = result.measurement or with_arrays(result).measurement
        drawn = draw_overlay(picture, measured)
        path = folder / f"{_flat_name(result.photo)}_overlay.png"
        _write_picture(path, drawn[..., ::-1])
        written.append(path)
    return written


def _write_picture(path, picture):
    """A picture in the form that its file's name says."""
    write_atomic(path, cv2.imencode(path.suffix.lower(), picture)[1].tobytes())


def _flat_name(photo):
    """One name of a photograph's path: those of one name in two folders do not meet."""
    return "_".join(part for part in Path(photo).with_suffix("").parts if part not in ("/", ".."))


def write_following(before, after, following, folder):
    """Write both outlines laid together as PNG; returns the path.

    Parameters
    ----------
    before, after : SideViewResult
        Measured ones.
    following : Following
    folder : path-like
        Made if it is not there.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{before.path.stem}_{after.path.stem}_followed.png"
    ax = plot_following(before.measurement, after.measurement, following)
    write_atomic(path, png_bytes(ax.figure))
    return path


def write_grey(grey, path):
    """Write linear light 0..1 as a 16-bit picture on the sRGB curve (PNG or TIFF).

    Raises
    ------
    UnusableInput
        If the name does not end in .png, .tif or .tiff.
    """
    path = Path(path)
    if path.suffix.lower() not in (".png", ".tif", ".tiff"):
        raise UnusableInput(
            f'"{path.suffix}" keeps too little', path.name, "name it .png or .tif (16 bits)"
        )
    stored = np.round(srgb_encode(grey) * 65535).astype(np.uint16)
    _write_picture(path, stored)
