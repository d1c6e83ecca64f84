"""Measure photographs: one, several on both cores, or those of a study that have changed."""

import time
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from edgetest.doubts import Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import NOT_NOTED, Lighting, in_light, wrong_light
from edgetest.photo.apex.apex_result import refused
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.scale.kept_scale import same_size
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.study.photos.corrections import NO_CORRECTION
from edgetest.study.photos.measured_table import read_rows, write_measured
from edgetest.study.photos.photo_result import PhotoResult, fault_of_one

PICTURES = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".bmp", ".webp"}
ALONE = 6  # so few pictures are measured before a second process has started
SAVE_EVERY = 20


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


def measure_photo(task):
    """Measure one apex-view photograph; what cannot be measured is a refusal with its reason.

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
    path, correction = task.path, task.correction
    um_per_px, relative_u = task.um_per_px, task.relative_u
    start = time.perf_counter()
    checksum, measurement = "", None
    if correction.um_per_px is not None:
        um_per_px, relative_u = correction.um_per_px, correction.relative_u
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=path.name, tone=task.tone)
        if um_per_px is None and picture.um_per_px_in_file is not None:
            um_per_px = picture.um_per_px_in_file
        unlit = wrong_light(task.lighting)
        if unlit is not None:
            numbers = refused_numbers(replace(unlit, where=Where(file=path.name)), task.lighting)
        elif um_per_px is None:
            numbers = refused_numbers(doubt("no_scale", where=Where(file=path.name)), task.lighting)
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
        numbers = refused_numbers(doubt(fault.code, where=Where(file=path.name)), task.lighting)
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        numbers = refused_numbers(fault_of_one(fault, path.name), task.lighting)
        measurement = None
    seconds = time.perf_counter() - start
    return PhotoResult(path.name, path, numbers, checksum, seconds, task, measurement)


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


def measure_many(tasks, *, workers=2, progress=None):
    """Measure pictures on several cores; yields results in the order of `tasks`.

    Parameters
    ----------
    tasks : sequence of Task
    workers : int
        Processes; few pictures are measured in this one.
    progress : callable(done, total), optional
    """
    tasks = list(tasks)
    if workers < 2 or len(tasks) <= ALONE:
        results = map(_bare, tasks)
    else:
        from joblib import Parallel, delayed

        run = Parallel(n_jobs=workers, return_as="generator", batch_size=4)
        results = run(delayed(_bare)(task) for task in tasks)
    for done, result in enumerate(results, 1):
        yield result
        if progress:
            progress(done, len(tasks))


def _bare(task):
    """One task's result without the arrays, which are not worth sending between processes."""
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
        return sorted(p for p in Path(folder).iterdir() if p.suffix.lower() in PICTURES)
    except OSError as fault:
        raise UnusableInput(
            f"the folder cannot be read ({fault.strerror or fault})",
            where=str(folder),
            mend="check its name and place",
        ) from None


def measure_tasks(tasks, folder, *, workers=2, progress=None, again=False):
    """Measure a study's pictures, leaving out those that have not changed since last time.

    Results go to measured.csv as they come, so a run that is stopped goes on where it was.

    Parameters
    ----------
    tasks : sequence of Task
    folder : Path
        The study's folder, where measured.csv lies.
    again : bool
        Measure also what has not changed.

    Returns
    -------
    tuple of PhotoResult
        In the order of `tasks`. Of a picture that a person has corrected both are measured
        and kept: the result is the corrected one and carries the other in `automatic`.
    """
    known = {} if again else read_rows(folder)
    wanted = {_which(each): each for task in tasks for each in _with_automatic(task)}
    results = {
        which: _as_kept(task, known[which])
        for which, task in wanted.items()
        if _is_known(task, known)
    }
    waiting = [task for which, task in wanted.items() if which not in results]
    unsaved, withdrawn = [], _withdrawn(known, wanted)
    try:
        measuring = measure_many(waiting, workers=workers, progress=progress)
        for task, result in zip(waiting, measuring, strict=True):
            results[_which(task)] = result
            unsaved.append((result, task_key(task, result.sha256), _which(task)[1]))
            if len(unsaved) >= SAVE_EVERY:
                write_measured(folder, unsaved)
                unsaved.clear()
    finally:
        if unsaved or withdrawn:
            write_measured(folder, unsaved, withdrawn=withdrawn)
    return tuple(_beside_automatic(task, results) for task in tasks)


def _withdrawn(known, wanted):
    """Photographs whose corrections were taken back since they were measured."""
    return [
        name
        for name, corrected in known
        if corrected and (name, False) in wanted and (name, True) not in wanted
    ]


def _is_known(task, known):
    """Whether the rows of measured.csv hold this very measurement."""
    before = known.get(_which(task))
    return before is not None and before["key"] == task_key(task, checksum_of(task.path))


def _as_kept(task, row):
    """The result that a row of measured.csv keeps."""
    path = task.path
    return PhotoResult(path.name, path, row["numbers"], row["sha256"], row["seconds"], task)


def _with_automatic(task):
    """The task, and before it the same one without what a person has corrected."""
    corrected = bool(task.correction.key())
    return [replace(task, correction=NO_CORRECTION), task] if corrected else [task]


def _which(task):
    """A measurement's place in measured.csv."""
    return task.path.name, bool(task.correction.key())


def _beside_automatic(task, results):
    """A task's result; a corrected one carries what was measured without the correction."""
    found = results[_which(task)]
    if not task.correction.key():
        return found
    return replace(found, automatic=results[task.path.name, False].numbers)


def checksum_of(path):
    """SHA-256 of a file's bytes, kept until the file changes; empty where it is not there."""
    try:
        found = path.stat()
    except OSError:
        return ""
    return _checksum(path, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=5000)
def _checksum(path, _changed_ns, _size):
    return sha256(path.read_bytes()).hexdigest()


def waiting_tasks(tasks, folder):
    """Those of a study's pictures that are new, or whose scale or correction has changed."""
    known = read_rows(folder)
    return [task for task in tasks if not _is_known(task, known)]


def task_key(task, checksum):
    """What a measurement depends on, besides the program's working."""
    parts = (
        version("edgetest"),
        checksum,
        task.um_per_px,
        task.relative_u,
        task.blur_px,
        task.correction.key(),
        task.tone,
        task.size_px,
        task.lighting,
    )
    return sha256(repr(parts).encode()).hexdigest()[:16]
