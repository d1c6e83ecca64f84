"""The results of thousands of photographs, held small until each is asked for."""

import pickle
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any, overload

from edgetest.study.photos.measure_photos import Task
from edgetest.study.photos.photo_result import PhotoResult


class HeldResults:
    """Results by what they are called, each as a few hundred bytes.

    A result's plain values take about 4 kB as Python holds them, for each photograph names the
    same fields and words anew; pressed beside the first of them, 0.2 kB.
    """

    def __init__(self) -> None:
        self._held: dict[Any, bytes] = {}
        self._like = b""  # what the first result says, and most say after it

    def hold(self, name: Any, result: PhotoResult) -> None:
        """Hold one result; of the same name the last one counts. Arrays and task are left out."""
        data = pickle.dumps(replace(result, task=None, measurement=None), pickle.HIGHEST_PROTOCOL)
        self._like = self._like or data
        press = zlib.compressobj(zdict=self._like)
        self._held[name] = press.compress(data) + press.flush()

    def drop(self, name: Any) -> None:
        """Hold one result no more."""
        del self._held[name]

    def __contains__(self, name: Any) -> bool:
        return name in self._held

    def of(self, name: Any, task: Task) -> PhotoResult:
        """The result of a name, with the task that it answers.

        Raises
        ------
        KeyError
            If none of this name is held.
        """
        data = zlib.decompressobj(zdict=self._like).decompress(self._held[name])
        return replace(pickle.loads(data), task=task, path=task.path)


class ResultsInOrder(Sequence[PhotoResult]):
    """Results in the order of their names, each made when it is asked for."""

    def __init__(self, names: Sequence[Any], result_of: Callable[[Any], PhotoResult]) -> None:
        self._names, self._result_of = names, result_of

    def __len__(self) -> int:
        return len(self._names)

    def __iter__(self) -> Iterator[PhotoResult]:
        return map(self._result_of, self._names)

    @overload
    def __getitem__(self, place: int) -> PhotoResult: ...
    @overload
    def __getitem__(self, place: slice) -> "ResultsInOrder": ...
    def __getitem__(self, place: int | slice) -> "PhotoResult | ResultsInOrder":
        if isinstance(place, slice):
            return ResultsInOrder(self._names[place], self._result_of)
        return self._result_of(self._names[place])
