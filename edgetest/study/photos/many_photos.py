"""How are many photographs measured: here, on several cores, or on a cluster?"""

import os
import sys
from collections.abc import Generator
from contextlib import closing
from dataclasses import replace

from edgetest.study.photos.measure_photos import MOST_DEATHS, bare, ended_its_programs

AT_ONCE = 4  # photographs handed to a process; it takes as many again beforehand
ALONE = 6  # so few pictures are measured before a second process has started


def measure_many(tasks, *, workers=2, progress=None):
    """Measure pictures on several cores; yields results in the order of `tasks`.

    Parameters
    ----------
    tasks : sequence of Task
    workers : int, str or Cluster
        Processes, few pictures being measured in this one; or a cluster, or its address.
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
        from edgetest.study.cluster.reach import Cluster
        from edgetest.study.cluster.spread import measured_on

        cluster = Cluster(workers) if isinstance(workers, str) else workers
        results = measured_on(cluster, tasks) if tasks else iter(())
    elif workers < 2 or len(tasks) <= ALONE:
        results = enumerate(map(bare, tasks))
    else:
        results = _on_cores(tasks, workers)
    try:
        for done, (number, result) in enumerate(results, 1):
            yield number, _shared(result, tasks[number])
            if progress:
                progress(done, len(tasks))
    finally:
        # Ended here and now where a person stops it: left to itself it would end some time later,
        # and take the workers from the measuring that goes on.
        if isinstance(results, Generator):
            results.close()


def _shared(result, task):
    """The result with its words and its task held once, for thousands that say the same."""
    return replace(result, numbers=_shared_words(result.numbers), task=task)


def _shared_words(part):
    if isinstance(part, str):
        return sys.intern(part)
    if isinstance(part, dict):
        return {sys.intern(name): _shared_words(each) for name, each in part.items()}
    return [_shared_words(each) for each in part] if isinstance(part, list) else part


def _from(folder, number, task):
    """One numbered result, in a process that may have begun in another folder."""
    os.chdir(folder)  # a process lives on between calls, and a task's path may be relative
    return number, bare(task)


def _on_cores(tasks, workers):
    """Numbered results from several processes; one that dies loses nothing."""
    from joblib.externals.loky.process_executor import TerminatedWorkerError

    waiting = dict(enumerate(tasks))
    while waiting:
        try:
            with closing(_in_processes(waiting.items(), workers, AT_ONCE)) as results:
                for number, result in results:
                    del waiting[number]
                    yield number, result
        except TerminatedWorkerError:
            # One of those that were handed out, the first that wait: each of them by itself.
            for number in list(waiting)[: 2 * AT_ONCE * workers]:
                yield number, _by_itself(number, waiting.pop(number))


def _by_itself(number, task):
    """The result of a photograph measured with nothing beside it, after a process died."""
    from joblib.externals.loky.process_executor import TerminatedWorkerError

    for _ in range(MOST_DEATHS - 1):
        try:
            ((_, result),) = _in_processes([(number, task)], 2, 1)
        except TerminatedWorkerError:
            continue
        return result
    return ended_its_programs(task, MOST_DEATHS)


def _in_processes(numbered, workers, at_once):
    """Numbered results as they come, photographs being handed out several at once."""
    from joblib import Parallel, delayed

    run = Parallel(n_jobs=workers, return_as="generator_unordered", batch_size=at_once)
    here = os.getcwd()
    return run(delayed(_from)(here, *each) for each in list(numbered))
