"""What is a picture of a station worth before it is kept, and does it show the last one's place?"""

from dataclasses import dataclass

from edgetest.photo.apex.apex_light import NOT_NOTED
from edgetest.photo.apex.shot_check import ShotCheck, check_shot
from edgetest.photo.same_place import PlaceAgain, place_again
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.photos.photo_scales import lights_of_study, scales_of_study, tones_of_study

SHOWN_PX = 1000


@dataclass(frozen=True)
class LastPicture:
    """The picture of the same station at an earlier stage."""

    name: str
    cuts: float
    jpeg: bytes


@dataclass(frozen=True)
class Shot:
    """A picture that is not kept yet, as the page shows it.

    Attributes
    ----------
    check : ShotCheck or None
        None in light for which there are no words: two sectors show two lines.
    last : LastPicture or None
    place : PlaceAgain or None
        None where there is no picture before.
    jpeg : bytes
        Reduced, for showing.
    width_px, height_px : int
    """

    check: ShotCheck | None
    last: LastPicture | None
    place: PlaceAgain | None
    jpeg: bytes
    width_px: int
    height_px: int


def look_at_shot(source, action, due, data, filename):
    """What a picture shows, before anything of it is on disk.

    Parameters
    ----------
    source : Source
        The study as the page shows it.
    action : Action
    due : Due
        The edge width of one station.
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
        If it is no picture, or the study's scale cannot be had.
    """
    study = source.study
    tone = tones_of_study(study).get("") if study else None
    lighting = lights_of_study(study).get("", NOT_NOTED) if study else NOT_NOTED
    scale = scales_of_study(study).get("") if study else None
    picture = read_picture(data, name=filename, tone=tone)
    row, before = _picture_before(source, action, due, tone)
    blur_before = None
    if before is not None and before.grey.shape == picture.grey.shape:
        blur_before = check_shot(before).blur_px
    check = None
    if lighting.direction != "two sectors":
        check = check_shot(picture, blur_before_px=blur_before)
    last = place = None
    if before is not None:
        last = LastPicture(row.photo, row.cuts, reduced_jpeg(before, SHOWN_PX))
        place = place_again(before, picture, scale.um_per_px if scale else None)
    jpeg = reduced_jpeg(picture, SHOWN_PX)
    return Shot(check, last, place, jpeg, picture.width_px, picture.height_px)


def _picture_before(source, action, due, tone):
    """The row and the picture of this blade's station at the last stage that has one, or None."""
    rows = [
        row
        for row in source.log.rows
        if row.photo
        and (row.block, row.blade) == action.run
        and row.station_mm == due.station_mm
        and row.cuts < action.stage
    ]
    for row in sorted(rows, key=lambda each: (each.cuts, each.line), reverse=True):
        try:
            return row, read_picture(source.photos_folder / row.photo, tone=tone)
        except UnreadablePicture:  # taken away or damaged since: the one before it will do
            continue
    return None, None
