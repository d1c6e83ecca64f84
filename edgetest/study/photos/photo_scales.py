"""The scales of a study's photographs, taken from numbers, rulings or marks."""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from edgetest.doubts import placed
from edgetest.errors import UnusableInput
from edgetest.photo.scale.line_ends import line_ends
from edgetest.photo.scale.ruling_scale import (
    Scale,
    line_families,
    scale_from_bar,
    scale_from_marks,
    scale_from_number,
    scale_from_ruling,
)
from edgetest.photo.scale.wire import scale_from_wire
from edgetest.store.images import read_picture
from edgetest.study.photos.picture_key import checksum_of

LIGHT_OF_A_STUDY = UnusableInput(
    "a study's light is declared in its study.toml",
    "light (--light)",
    'write light = "on-axis" and lens_na = 0.10 below its [scale], or set it in the app',
)


def scale_of_ruling(path, pitch_um):
    """Scale from a photograph of a stage micrometer.

    Parameters
    ----------
    path : str or Path
        The photograph.
    pitch_um : float
        Distance of its lines, µm.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        If the picture cannot be read or shows no ruling.
    """
    picture = read_picture(existing(path))
    return _told_of(
        path,
        lambda: scale_from_ruling(picture, pitch_um, um_per_px_in_file=picture.um_per_px_in_file),
    )


def lines_of_ruling(path):
    """The lines that a photograph of a stage micrometer shows, to be drawn on it.

    Returns
    -------
    ndarray, shape (n, 2, 2)
        Row and column of both ends of each, pixels.
    """
    grey = read_picture(existing(path)).grey
    return np.concatenate([line_ends(lines, grey.shape) for lines in line_families(grey)])


def scale_of_wire(path, diameter_um, diameter_u_um=0.0):
    """Scale from a wire, feeler gauge or drill shank of known diameter lying in the picture."""
    picture = read_picture(existing(path))
    return _told_of(path, lambda: scale_from_wire(picture, diameter_um, diameter_u_um))


def scale_of_marks(path, ends, distance_um, *, bar=False, mark_sd_px=0.5):
    """Scale from two marks, or the ends of a scale bar: row, column, row, column in pixels.

    `mark_sd_px` is how well a mark was placed, standard deviation, pixels.

    Raises
    ------
    UnusableInput
        If a mark does not lie in the picture.
    """
    picture = read_picture(existing(path))
    for row, column in (ends[:2], ends[2:]):
        if not (0 <= row < picture.height_px and 0 <= column < picture.width_px):
            raise UnusableInput(
                f"row {row:g}, column {column:g} is outside the picture",
                where=Path(path).name,
                mend=f"it has {picture.height_px} rows and {picture.width_px} columns",
            )
    take = scale_from_bar if bar else scale_from_marks
    return _told_of(path, lambda: take(ends[:2], ends[2:], distance_um, mark_sd_px=mark_sd_px))


def _told_of(path, take):
    """The scale that `take` returns; its doubts, or a fault of it, name the picture."""
    name = Path(path).name
    try:
        scale = take()
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{name}, {fault.where}", fault.mend) from None
    return replace(scale, doubts=placed(scale.doubts, file=name))


def existing(path):
    """The path, or an error that says it is not there."""
    path = Path(path)
    if not path.is_file():
        what = "is a folder, not a file" if path.is_dir() else "there is no such file"
        raise UnusableInput(what, str(path), "check the name")
    return path


def scale_of_rule(rule, folder) -> Scale:
    """The scale that a rule of study.toml describes; pictures are looked for in `folder`."""
    if rule.um_per_px is not None:
        return scale_from_number(rule.um_per_px, rule.relative_u)
    if rule.ruling is not None:
        path = Path(folder) / rule.ruling
        return _kept_ruling(path, checksum_of(path), rule.pitch_um)
    sure = {} if rule.mark_sd_px is None else {"mark_sd_px": rule.mark_sd_px}
    return scale_from_marks(rule.a_rc, rule.b_rc, rule.distance_um, **sure)


@lru_cache(maxsize=64)
def _kept_ruling(path, _checksum, pitch_um):
    """The scale of a ruling, taken once as long as its picture stays as it is."""
    return scale_of_ruling(path, pitch_um)


def scales_of_study(study):
    """Every scale of a study by name; the unnamed one is ""."""
    return {name: scale_of_rule(rule, study.folder) for name, rule in _rules(study).items()}


def sizes_of_study(study):
    """The size of the pictures that each scale was taken on, where it is known, by scale."""
    return {name: rule.size_px for name, rule in _rules(study).items()}


def rule_of_scale(scale, note):
    """What study.toml says of a scale that was taken elsewhere: a number, and from what."""
    return {"um_per_px": scale.um_per_px, "relative_u": scale.relative_u, "note": note}


def tones_of_study(study):
    """The tone curve that each set-up's camera is known to store grey values on, by scale."""
    return {name: rule.tone for name, rule in _rules(study).items()}


def lights_of_study(study):
    """The light that each set-up is declared to have, by scale."""
    return {name: rule.lighting() for name, rule in _rules(study).items()}


def _rules(study):
    unnamed = {"": study.scale} if study.scale is not None else {}
    return {**study.scales, **unnamed}
