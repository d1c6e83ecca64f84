"""How are photographs handed to a cluster's workers, so that none is lost and none lost twice?

Results are taken in the order they come. At most `AHEAD` photographs a worker are on their way,
so that memory stays the same however many there are. Dask's own accounting of workers that died
names every photograph that lay with the worker; which of them ended it is found by handing it out
once more with nothing beside it.
"""

from collections import Counter, deque
from collections.abc import Iterator, Sequence
from dataclasses import replace
from queue import Empty, SimpleQueue
from time import monotonic
from typing import Any, NoReturn

from edgetest.errors import UnusableInput
from edgetest.store.places import program_checksum
from edgetest.study.cluster.parcels import (
    NoResult,
    NotShared,
    OtherProgram,
    measure_parcels,
    packed,
)
from edgetest.study.cluster.reach import Cluster, needed_packages, nobody, other_program, reached
from edgetest.study.photos.measure_photos import MOST_DEATHS, Task, bare, ended_its_programs
from edgetest.study.photos.photo_result import PhotoResult

AHEAD = 2  # errands that a worker holds: one under its hands and the next
# An errand costs the cluster about 10 ms, whatever it is: small photographs go several at once,
# about as many as a worker measures in so long.
ERRAND_S, ERRAND_BYTES, MOST_AT_ONCE = 0.5, 8_000_000, 8
LOOK_S = 1.0  # between two looks at who is there
TOLD_S = 10.0  # without any worker, until that is told
WAITED_S = 120.0  # without any worker, until nothing is waited for any more


def measured_on(cluster: Cluster, tasks: Sequence[Task]) -> Iterator[tuple[int, PhotoResult]]:
    """Measure photographs on a cluster; their places in `tasks` with results, as they come.

    Parameters
    ----------
    cluster : Cluster
    tasks : sequence of Task

    Yields
    ------
    (int, PhotoResult)
        As measured here, without the arrays. A photograph that ended the worker measuring it
        `MOST_DEATHS` times, the last time with nothing beside it, is refused.

    Raises
    ------
    UnusableInput
        If the cluster cannot be reached or has none but workers of another program, has had no
        worker for `WAITED_S`, or does not see a photograph that it should.
    """
    with reached(cluster) as client:
        yield from _Spread(client, cluster, tasks).results()


class _Spread:
    """What is waiting, on its way and come back."""

    def __init__(self, client: Any, cluster: Cluster, tasks: Sequence[Task]) -> None:
        self.client, self.cluster, self.tasks = client, cluster, tasks
        self.waiting = deque(range(len(tasks)))
        self.suspects: deque[int] = deque()  # to be measured with nothing beside them
        self.deaths: Counter[int] = Counter()
        self.flying: dict[str, tuple[list[int], Any, bool]] = {}  # by key: numbers, future, alone
        self.at_once = 1  # photographs of one errand
        self.landed: SimpleQueue[Any] = SimpleQueue()
        self.here: deque[tuple[int, PhotoResult]] = deque()  # results that no worker was asked for
        self.threads = 0
        self.looked, self.seen = -LOOK_S, monotonic()
        self.told = False

    def results(self) -> Iterator[tuple[int, PhotoResult]]:
        """All results; see `measured_on`."""
        while self.waiting or self.suspects or self.flying or self.here:
            self._look()
            self._send()
            while self.here:
                yield self.here.popleft()
            try:
                key = self.landed.get(timeout=LOOK_S if self.flying else 0.05)
            except Empty:
                continue
            yield from self._take(*self.flying.pop(key))

    def _look(self) -> None:
        """Count the workers that may measure; tell where there is none, in the end give up."""
        now = monotonic()
        if now - self.looked < LOOK_S:
            return
        self.looked = now
        try:
            self.threads = sum(self.client.nthreads().values())
        except Exception:  # whatever Dask says of a scheduler that is gone
            raise self._lost() from None
        if self.threads:
            self.seen, self.told = now, False
        elif now - self.seen > WAITED_S:
            raise nobody(self.cluster.address, WAITED_S)
        elif now - self.seen > TOLD_S and not self.told:
            self.told = True
            self.cluster.tell(
                f"{self.cluster.address}: no worker is there; waiting for one up to "
                f"{WAITED_S:.0f} s (`edgetest workers --join {self.cluster.address}`)"
            )

    def _send(self) -> None:
        """Hand out as much as the workers that are there should hold."""
        room = AHEAD * self.threads
        while self.waiting and len(self.flying) < room:
            share = -(-len(self.waiting) // room)  # at the end every worker has something to do
            self._fly(self.waiting, min(self.at_once, share))
        if self.suspects and self.threads and not self.waiting and not self.flying:
            self._fly(self.suspects, 1, alone=True)

    def _fly(self, waiting: deque[int], at_most: int, *, alone: bool = False) -> None:
        """Hand out the first photographs that wait."""
        numbers: list[int] = []
        parcels: list[bytes] = []
        while waiting and len(numbers) < at_most and sum(map(len, parcels)) < ERRAND_BYTES:
            number = waiting.popleft()
            try:
                parcels.append(packed(self.tasks[number], shared=self.cluster.shared))
            except OSError:  # told as it is told of photographs measured here
                self.here.append((number, bare(self.tasks[number])))
            else:
                numbers.append(number)
        if not numbers:
            return
        future = self.client.submit(measure_parcels, parcels, program_checksum(), pure=False)
        self.flying[future.key] = numbers, future, alone
        future.add_done_callback(lambda done: self.landed.put(done.key))

    def _take(
        self, numbers: list[int], future: Any, alone: bool
    ) -> Iterator[tuple[int, PhotoResult]]:
        """The results that a future brought; where it brought none they are handed out again."""
        distributed = needed_packages()[1]
        try:
            found = future.result()
        except distributed.KilledWorker as fault:
            for number in numbers:
                yield from self._after_death(number, fault.allowed_failures + 1, alone)
            return
        except UnusableInput:
            raise
        except (ModuleNotFoundError, AttributeError) as fault:  # another program's modules
            raise other_program("a worker of the cluster", fault) from fault
        except Exception as fault:
            if future.cancelled() or self.client.status != "running":
                raise self._lost() from None
            raise UnusableInput(
                f"the cluster could not measure {self.tasks[numbers[0]].name} "
                f"({type(fault).__name__}: {fault})",
                self.cluster.address,
                "install the same packages there as here, or measure without --on",
            ) from fault
        if isinstance(found, NoResult):
            self._not_measured(found.fault)
        each_s = sum(result.seconds for result in found) / len(found)
        fit = int(ERRAND_S / max(each_s, 1e-3))
        self.at_once = 1 if self.deaths else max(1, min(fit, MOST_AT_ONCE))
        for number, result in zip(numbers, found, strict=True):
            task = self.tasks[number]
            yield number, replace(result, task=task, path=task.path)

    def _after_death(
        self, number: int, times: int, alone: bool
    ) -> Iterator[tuple[int, PhotoResult]]:
        """What becomes of a photograph whose worker died."""
        self.deaths[number] += times
        self.at_once = 1
        self.looked = -LOOK_S  # who is there has just changed
        if self.deaths[number] >= MOST_DEATHS and alone:
            yield number, ended_its_programs(self.tasks[number], self.deaths[number])
            return
        again = self.suspects if self.deaths[number] >= MOST_DEATHS - 1 else self.waiting
        again.append(number)

    def _not_measured(self, fault: NotShared | OtherProgram) -> NoReturn:
        if isinstance(fault, NotShared):
            path, why = fault.args
            raise UnusableInput(
                f"a machine of the cluster does not see it ({why})",
                path,
                "leave out --shared, so that photographs are sent",
            )
        raise other_program("a worker that came later", fault.args[0])

    def _lost(self) -> UnusableInput:
        return UnusableInput(
            "the cluster does not answer any more",
            self.cluster.address,
            "start it again, then run this again: what was measured is kept",
        )
