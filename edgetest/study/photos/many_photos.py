"""How are many photographs measured: here, on several cores, or on a cluster?"""

import os
from collections.abc import Generator
from contextlib import closing

from edgetest.study.photos.measure_photos import bare

ALONE = 6  # so few pictures are measured before a second process has started


def measure_many(tasks, *, workers=2, progress=None):
    """Measure pictures on several cores; yields results in the order of `tasks`.

    Parameters
    ----------
    tasks : sequence of Task
    workers : int or Cluster
        Processes, few pictures being measured in this one; or a cluster.
    progress : callable(done, total), optional
    """
    early, due = {}, 0
    with closing(as_they_come(tasks, workers=workers, progress=progress)) as coming:
        for number, result in coming:
            early[number] = result
            while due in early:
                yield early.pop(due)
                due += 1


def as_they_come(tasks, *, workers=2, progress=None):
    """As `measure_many`, each result with its place in `tasks` as soon as it is there."""
    tasks = list(tasks)
    if not isinstance(workers, int):
        from edgetest.study.cluster.spread import measured_on

        results = measured_on(workers, tasks) if tasks else iter(())
    elif workers < 2 or len(tasks) <= ALONE:
        results = enumerate(map(bare, tasks))
    else:
        from joblib import Parallel, delayed

        run = Parallel(n_jobs=workers, return_as="generator_unordered", batch_size=4)
        here = os.getcwd()
        results = run(delayed(_from)(here, *each) for each in enumerate(tasks))
    try:
        for done, numbered in enumerate(results, 1):
            yield numbered
            if progress:
                progress(done, len(tasks))
    finally:
        # Ended here and now where a person stops it: left to itself it would end some time later,
        # and take the workers from the measuring that goes on.
        if isinstance(results, Generator):
            results.close()


def _from(folder, number, task):
    """One numbered result, in a process that may have begun in another folder."""
    os.chdir(folder)  # a process lives on between calls, and a task's path may be relative
    return number, bare(task)
