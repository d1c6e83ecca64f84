"""Does the focus repeat? Places photographed a second time, both measured by the program."""

from dataclasses import replace

from edgetest.study.photos.corrections import NO_CORRECTION
from edgetest.study.photos.many_photos import measure_many
from edgetest.study.photos.measure_changed import measure_tasks
from edgetest.study.photos.sort_eye import SecondLook, check_of
from edgetest.study.photos.sort_tray import read_tray
from edgetest.study.wear.study_photos import photo_tasks


def second_pictures(source):
    """Pictures kept as second ones of a place whose photograph the log still names.

    Parameters
    ----------
    source : Source

    Returns
    -------
    tuple of Unsorted
    """
    named = {row.photo for row in source.log.rows if row.photo and not row.exclude}
    return tuple(each for each in read_tray(source).pictures if each.second_of in named)


def focus_check(source, *, workers=2, progress=None):
    """Agreement of the widths of two photographs of one place, in the set-up of the first.

    Parameters
    ----------
    source : Source
    workers, progress
        As for `edgetest.study.photos.many_photos.measure_many`.

    Returns
    -------
    EyeCheck
        Of the places whose photographs were both measured; its drift runs on the running number
        of the picture.

    Raises
    ------
    UnusableInput
        If the scale cannot be had.
    """
    tasks = {task.name: task for task in photo_tasks(source)[0] if task.lamps is None}
    pictures = [each for each in second_pictures(source) if each.second_of in tasks]
    firsts = measure_tasks([tasks[each.second_of] for each in pictures], source.path)
    again = [
        replace(tasks[each.second_of], path=each.path, correction=_scale_alone(tasks, each))
        for each in pictures
    ]
    seconds = measure_many(again, workers=workers, progress=progress)
    order = {each.sha256: at for at, each in enumerate(read_tray(source).pictures)}
    pairs = [
        SecondLook(each.second_of, _width(first), _width(second), order[each.sha256])
        for each, first, second in zip(pictures, firsts, seconds, strict=True)
        if _width(first) is not None and _width(second) is not None
    ]
    return check_of(pairs, len(order), seen="photograph", mover="focus")


def _scale_alone(tasks, picture):
    """Of the first photograph's corrections its scale: region and stretches are its own."""
    kept = tasks[picture.second_of].correction
    return replace(NO_CORRECTION, um_per_px=kept.um_per_px, relative_u=kept.relative_u)


def _width(result):
    width = result.numbers["width_um"]
    return width["mean"] if width else None
