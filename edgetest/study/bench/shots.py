"""What is a picture of a station worth before it is kept, and does it show the last one's place?

Asked of a picture that was taken, and of the frames of a camera that runs.
"""

from dataclasses import dataclass, replace

import cv2

from edgetest.photo.apex.apex_light import NOT_NOTED
from edgetest.photo.apex.shot_check import ShotCheck, check_shot
from edgetest.photo.linear_light import Light
from edgetest.photo.same_place import PlaceAgain, place_again
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.photos.photo_scales import lights_of_study, scales_of_study, tones_of_study
from edgetest.study.wear.photo_values import reading_of_photo

SHOWN_PX = 1000


@dataclass(frozen=True)
class LastPicture:
    """The picture of the same station at an earlier stage."""

    name: str
    cuts: float
    jpeg: bytes


@dataclass(frozen=True)
class StationSoFar:
    """What is known of a station before a new picture of it comes.

    Attributes
    ----------
    tone
        Tone curve of the camera, as the study knows it.
    worded : bool
        False in light for which there are no words: two sectors show two lines.
    um_per_px : float or None
    last : LastPicture or None
    before : Light or None
        That picture whole.
    blur_px : float or None
        Its blur, as `ShotCheck.blur_px`.
    """

    tone: object
    worded: bool
    um_per_px: float | None
    last: LastPicture | None = None
    before: Light | None = None
    blur_px: float | None = None


@dataclass(frozen=True)
class FrameSeen:
    """What a picture, or a frame of the running camera, shows.

    Attributes
    ----------
    check : ShotCheck or None
        None in light for which there are no words.
    place : PlaceAgain or None
        None where there is no picture before.
    """

    check: ShotCheck | None
    place: PlaceAgain | None


@dataclass(frozen=True)
class Shot(FrameSeen):
    """A picture that is not kept yet, as the page shows it.

    Attributes
    ----------
    last : LastPicture or None
    jpeg : bytes
        Reduced, for showing.
    width_px, height_px : int
    """

    last: LastPicture | None
    jpeg: bytes
    width_px: int
    height_px: int


def station_so_far(source, action, due):
    """What is known of a station before a new picture of it comes.

    Parameters
    ----------
    source : Source
        The study as the page shows it.
    action : Action
    due : Due
        What a photograph of one station gives.

    Returns
    -------
    StationSoFar

    Raises
    ------
    UnusableInput
        If the study's scale cannot be had.
    """
    study = source.study
    name = due.set_up
    tone = tones_of_study(study).get(name) if study else None
    lighting = lights_of_study(study).get(name, NOT_NOTED) if study else NOT_NOTED
    scale = scales_of_study(study).get(name) if study else None
    known = StationSoFar(
        tone, lighting.direction != "two sectors", scale.um_per_px if scale else None
    )
    row, before = _picture_before(source, action, due, tone)
    if before is None:
        return known
    last = LastPicture(row.photo, row.cuts, reduced_jpeg(before, SHOWN_PX))
    return replace(known, last=last, before=before, blur_px=check_shot(before).blur_px)


def look_at_shot(so_far, data, filename):
    """What a picture shows, before anything of it is on disk.

    Parameters
    ----------
    so_far : StationSoFar
    data : bytes
        The picture as the camera made it.
    filename : str
        What to call it in messages.

    Returns
    -------
    Shot

    Raises
    ------
    UnusableInput
        If it is no picture.
    """
    picture = read_picture(data, name=filename, tone=so_far.tone)
    look = _looked(so_far, picture, picture.grey.shape)
    jpeg = reduced_jpeg(picture, SHOWN_PX)
    return Shot(look.check, look.place, so_far.last, jpeg, picture.width_px, picture.height_px)


def look_at_frame(so_far, data, whole_px):
    """What a frame of the running camera shows.

    Parameters
    ----------
    so_far : StationSoFar
    data : bytes
        The frame as JPEG, whole or reduced evenly.
    whole_px : (int, int)
        Width and height of the camera's picture; what is told is told in its pixels.

    Returns
    -------
    FrameSeen

    Raises
    ------
    UnusableInput
        If it is no picture.
    """
    width, height = whole_px
    return _looked(so_far, read_picture(data, name="frame", tone=so_far.tone), (height, width))


def _looked(so_far, picture, whole):
    """Words and shift, in pixels of the whole picture."""
    times = whole[1] / picture.grey.shape[1]
    before, alike = so_far.before, so_far.before is not None and so_far.before.grey.shape == whole
    check = place = None
    if so_far.worded:
        # A picture that was reduced looks softer by a quarter: it is held against no other.
        blur_before = so_far.blur_px if alike and times == 1 else None
        check = check_shot(picture, blur_before_px=blur_before, times=times)
    if before is not None:
        if alike and times != 1:
            before = _reduced(before, picture.grey.shape)
        place = place_again(before, picture, so_far.um_per_px)
        if place.found and times != 1:
            right, down, step = place.right_px, place.down_px, place.step_px
            place = replace(
                place, right_px=times * right, down_px=times * down, step_px=times * step
            )
    return FrameSeen(check, place)


def _reduced(light, shape):
    """The last picture at the size of a reduced frame."""
    grey = cv2.resize(light.grey, (shape[1], shape[0]), interpolation=cv2.INTER_AREA)
    return Light(grey, None, light.tone, light.tone_known)


def _picture_before(source, action, due, tone):
    """The row and the picture of this blade's station at the last stage that has one, or None."""
    rows = [
        row
        for row in source.log.rows
        if row.photo
        and (row.block, row.blade) == action.run
        and row.station_mm == due.station_mm
        and reading_of_photo(source.study, row) == due.name
        and row.cuts < action.stage
    ]
    for row in sorted(rows, key=lambda each: (each.cuts, each.line), reverse=True):
        try:
            return row, read_picture(source.photos_folder / row.photo, tone=tone)
        except UnreadablePicture:  # taken away or damaged since: the one before it will do
            continue
    return None, None
