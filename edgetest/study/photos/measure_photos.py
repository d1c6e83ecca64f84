"""How is one photograph measured: a bright line or a crest, by its light?"""

import time
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from edgetest.doubts import Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import NOT_NOTED, Lighting, in_light, wrong_light
from edgetest.photo.apex.apex_result import refused
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.scale.kept_scale import same_size
from edgetest.store.images import PICTURE_ENDINGS, UnreadablePicture, read_picture
from edgetest.study.photos.corrections import NO_CORRECTION
from edgetest.study.photos.crests import LampTask, lit_by, measure_crest
from edgetest.study.photos.lamp_numbers import lamp_numbers
from edgetest.study.photos.photo_result import PhotoResult, fault_of_one

MOST_DEATHS = 3  # of programs measuring a photograph, before it is taken to be what ends them


@dataclass(frozen=True)
class Task:
    """One picture to measure, with its scale and what a person has corrected."""

    path: Path
    um_per_px: float | None
    relative_u: float = 0.0
    blur_px: float | None = None
    correction: object = NO_CORRECTION
    scale_name: str = ""
    tone: str | float | tuple[float, ...] | None = None
    size_px: tuple[int, int] | None = None  # of the pictures that the scale was taken on
    lighting: Lighting = NOT_NOTED
    lamps: LampTask | None = None  # where it is a crest between two lamps
    photo: str = ""  # its path below the study's photos, by which the log names it

    @property
    def name(self):
        """What the photograph is called in results and in measured.csv."""
        return self.photo or self.path.name


def measure_photo(task):
    """Measure one photograph of an apex; what cannot be measured is a refusal with its reason.

    Parameters
    ----------
    task : Task
        A scale stored in the picture's file is used where the task has none. In light that
        shows no one bright line nothing is measured.

    Returns
    -------
    PhotoResult
        With `measurement`, so that an overlay can be drawn.
    """
    if task.lamps is not None:
        return _between_lamps(task)
    path, correction = task.path, task.correction
    um_per_px, relative_u = task.um_per_px, task.relative_u
    start = time.perf_counter()
    checksum, measurement = "", None
    if correction.um_per_px is not None:
        um_per_px, relative_u = correction.um_per_px, correction.relative_u
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=task.name, tone=task.tone)
        if um_per_px is None and picture.um_per_px_in_file is not None:
            um_per_px = picture.um_per_px_in_file
        unlit = wrong_light(task.lighting)
        if unlit is not None:
            numbers = refused_numbers(replace(unlit, where=Where(file=task.name)), task.lighting)
        elif um_per_px is None:
            numbers = refused_numbers(doubt("no_scale", where=Where(file=task.name)), task.lighting)
        else:
            measurement = measure_apex(
                picture,
                um_per_px,
                scale_relative_u=relative_u,
                region=correction.region,
                blur_px=task.blur_px,
                excluded=correction.struck_out,
            )
            measurement = _without_struck(measurement, correction.struck_out)
            measurement = in_light(measurement, task.lighting)
            measurement = _told_by(picture, measurement, task.size_px)
            numbers = measurement.to_dict()
    except UnreadablePicture as fault:
        numbers = refused_numbers(doubt(fault.code, where=Where(file=task.name)), task.lighting)
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        numbers = refused_numbers(fault_of_one(fault, task.name), task.lighting)
        measurement = None
    seconds = time.perf_counter() - start
    return PhotoResult(task.name, path, numbers, checksum, seconds, task, measurement)


def crest_of(task):
    """The crest of a task, by its needle, and by the on-axis picture of the same place.

    Parameters
    ----------
    task : Task

    Returns
    -------
    CrestResult
    """
    lamps, correction = task.lamps, task.correction
    if correction.um_per_px is not None:
        setup = replace(
            lamps.setup,
            um_per_px=correction.um_per_px,
            scale_relative_u=correction.relative_u,
        )
        lamps = replace(lamps, setup=setup)
    on_axis = None if lamps.on_axis is None else measure_photo(lamps.on_axis)
    found = measure_crest(task.path, lit_by(lamps, task.tone), on_axis, task.tone, name=task.name)
    size = found.measurement
    size = replace(size, doubts=(*size.doubts, *lamps.doubts(found.photo)))
    return replace(found, numbers=size.to_dict(), measurement=size)


def _between_lamps(task):
    """A crest as a photograph of a study is kept."""
    found = crest_of(task)
    relative_u = task.correction.relative_u or task.lamps.setup.scale_relative_u
    through = task.lamps.on_axis
    numbers = lamp_numbers(found.measurement, relative_u, through.name if through else "")
    return PhotoResult(
        found.photo, task.path, numbers, found.sha256, found.seconds, task, found.measurement
    )


def _without_struck(measurement, stretches):
    """The measurement without the chips that a person has struck out."""
    chips = tuple(
        chip
        for chip in measurement.chips
        if not any(first <= chip.position_um <= last for first, last in stretches)
    )
    return replace(measurement, chips=chips)


def with_arrays(result):
    """The same result with the arrays that an overlay needs."""
    return (
        result
        if result.measurement is not None
        else replace(result, measurement=measure_photo(result.task).measurement)
    )


def _told_by(picture, measurement, size_px):
    """The measurement with its doubts placed in the picture's file, and what speaks of its size."""
    size = picture.width_px, picture.height_px
    doubts = measurement.doubts
    if size_px is not None and not same_size(size_px, size):
        doubts += (doubt("size_mismatch", where=Where(value=f"{size[0]} x {size[1]}")),)
    return replace(measurement, doubts=placed(doubts, file=picture.name))


def refused_numbers(reason, lighting=NOT_NOTED):
    """The numbers of a picture that gave nothing to measure, and why."""
    return {**in_light(refused(reason), lighting).to_dict(), "scale": None}


def ended_its_programs(task, deaths):
    """The refusal of a photograph that ended the programs measuring it, so many times."""
    try:
        checksum = sha256(task.path.read_bytes()).hexdigest()
    except OSError:
        checksum = ""
    reason = doubt("ends_the_program", times=str(deaths), where=Where(file=task.name))
    return PhotoResult(
        task.name, task.path, refused_numbers(reason, task.lighting), checksum, 0.0, task
    )


def bare(task):
    """One task's result without the arrays, which are not worth sending between programs."""
    import cv2

    cv2.setNumThreads(1)
    return replace(measure_photo(task), measurement=None)


def pictures_in(folder):
    """The picture files of a folder, by name.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    try:
        return sorted(p for p in Path(folder).iterdir() if p.suffix[1:].lower() in PICTURE_ENDINGS)
    except OSError as fault:
        raise UnusableInput(
            f"the folder cannot be read ({fault.strerror or fault})",
            where=str(folder),
            mend="check its name and place",
        ) from None
