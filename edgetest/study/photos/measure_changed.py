"""Measure those photographs of a study that have changed since measured.csv was written."""

from contextlib import closing
from dataclasses import replace
from pathlib import Path

from edgetest.study.photos.corrections import NO_CORRECTION
from edgetest.study.photos.held_results import HeldResults, ResultsInOrder
from edgetest.study.photos.many_photos import as_they_come
from edgetest.study.photos.measured_table import (
    append_measured,
    each_row,
    read_rows,
    tidy_measured,
)
from edgetest.study.photos.photo_result import PhotoResult
from edgetest.study.photos.picture_key import checksum_of, task_key


def measure_tasks(tasks, folder, *, workers=2, progress=None, again=False):
    """Measure a study's pictures, leaving out those that have not changed since last time.

    Each result is in measured.csv before it is told, so a run that is stopped or killed goes on
    where it was.

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
    (results,) = measure_studies([(tasks, folder)], workers=workers, progress=progress, again=again)
    return tuple(results)


def measure_studies(studies, *, workers=2, progress=None, again=False):
    """Measure the pictures of several studies in one go, each as `measure_tasks` does.

    Parameters
    ----------
    studies : sequence of (sequence of Task, Path)
        The pictures of each, and its folder.

    Returns
    -------
    list of sequence of PhotoResult
        Of each study, in the order of its tasks. Each is made when it is asked for, so that
        those of ten thousand photographs take little room.
    """
    all_kept = [_Kept(tasks, Path(folder), again) for tasks, folder in studies]
    waiting = [(kept, task) for kept in all_kept for task in kept.waiting]
    coming = as_they_come([task for _, task in waiting], workers=workers, progress=progress)
    try:
        with closing(coming):
            for number, result in coming:
                kept, task = waiting[number]
                kept.keep(task, result)
    finally:
        for kept in all_kept:
            kept.tidy()
    return [ResultsInOrder(kept.tasks, kept.result) for kept in all_kept]


class _Kept:
    """What of a study's pictures is measured already, and what waits."""

    def __init__(self, tasks, folder, again):
        self.tasks, self.folder = tasks, folder
        wanted = {_which(each): each for task in tasks for each in _with_automatic(task)}
        keys, corrected = {}, []
        self.results = HeldResults()
        for which, row in each_row(folder):
            if which in wanted and not again:
                keys[which] = row["key"]
                self.results.hold(which, _as_kept(wanted[which], row))
            elif which[1]:
                corrected.append(which)
        for which, key in keys.items():
            if not _is_of(wanted[which], key):
                self.results.drop(which)
        self.waiting = [task for which, task in wanted.items() if which not in self.results]
        self.withdrawn = _withdrawn(corrected, wanted)

    def result(self, task):
        """A task's result; a corrected one carries what was measured without the correction."""
        found = self.results.of(_which(task), task)
        if not task.correction.key():
            return found
        automatic = self.results.of((task.name, False), task)
        return replace(found, automatic=automatic.numbers)

    def keep(self, task, result):
        """Keep one result: it is in measured.csv when this returns."""
        row = (result, task_key(task, result.sha256), _which(task)[1])
        append_measured(self.folder, [row])
        self.results.hold(_which(task), result)

    def tidy(self):
        """Put measured.csv in order, however the measuring ended."""
        if self.waiting or self.withdrawn:
            tidy_measured(self.folder, withdrawn=self.withdrawn)


def _withdrawn(corrected, wanted):
    """Photographs whose corrections were taken back since they were measured."""
    return [
        name
        for name, _ in dict.fromkeys(corrected)
        if (name, False) in wanted and (name, True) not in wanted
    ]


def _is_known(task, known):
    """Whether the rows of measured.csv hold this very measurement."""
    before = known.get(_which(task))
    return before is not None and _is_of(task, before["key"])


def _is_of(task, key):
    """Whether a row of this key holds this very measurement."""
    return key == task_key(task, checksum_of(task.path))


def _as_kept(task, row):
    """The result that a row of measured.csv keeps."""
    path = task.path
    return PhotoResult(task.name, path, row["numbers"], row["sha256"], row["seconds"], task)


def _with_automatic(task):
    """The task, and before it the same one without what a person has corrected."""
    corrected = bool(task.correction.key())
    return [replace(task, correction=NO_CORRECTION), task] if corrected else [task]


def _which(task):
    """A measurement's place in measured.csv."""
    return task.name, bool(task.correction.key())


def waiting_tasks(tasks, folder):
    """Those of a study's pictures that are new, or whose scale or correction has changed."""
    known = read_rows(folder)
    return [task for task in tasks if not _is_known(task, known)]
