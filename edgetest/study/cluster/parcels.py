"""What travels to a worker and back: a photograph with all that decides its number."""

import pickle
import sys
from dataclasses import dataclass, replace
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from edgetest.store.places import program_checksum, program_version
from edgetest.study.photos.crests import lit_by
from edgetest.study.photos.measure_photos import Task, bare
from edgetest.study.photos.photo_result import PhotoResult

LIBRARIES = ("numpy", "scipy", "opencv-python-headless", "pillow", "pillow-heif")


@dataclass(frozen=True)
class Program:
    """Which program it is that measures."""

    version: str
    checksum: str
    libraries: tuple[tuple[str, str], ...]

    def other_libraries(self, own: "Program") -> list[tuple[str, str, str]]:
        """Name, version there and version here of each library that is not the same."""
        here = dict(own.libraries)
        return [(name, at, here[name]) for name, at in self.libraries if at != here.get(name)]


def this_program() -> Program:
    """The program that runs here."""
    python = ".".join(map(str, sys.version_info[:3]))
    return Program(
        program_version(),
        program_checksum(),
        (("Python", python), *((name, _version(name)) for name in LIBRARIES)),
    )


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return "none"


@dataclass(frozen=True)
class SentPicture:
    """A photograph on its way: its file's name and bytes, read as a path is read."""

    name: str
    data: bytes

    def read_bytes(self) -> bytes:
        """What stands in the file."""
        return self.data


@dataclass(frozen=True)
class SharedPicture:
    """A photograph that a worker reads itself, at the same path as here."""

    path: Path
    size: int

    @property
    def name(self) -> str:
        """Its file's name."""
        return self.path.name

    def read_bytes(self) -> bytes:
        """What stands in the file.

        Raises
        ------
        NotShared
            If it is not there, or is another.
        """
        try:
            data = self.path.read_bytes()
        except OSError as fault:
            raise NotShared(str(self.path), fault.strerror or str(fault)) from None
        if len(data) != self.size:
            raise NotShared(str(self.path), "another file lies there")
        return data


class NotShared(BaseException):  # no fault of the photograph, so not to be taken for one
    """A worker that was to read a photograph itself does not see it."""

    def __init__(self, path: str, why: str) -> None:
        super().__init__(path, why)


class OtherProgram(Exception):  # noqa: N818 - says what it is
    """A worker of another edgetest was handed a photograph."""

    def __init__(self, worker: Program) -> None:
        super().__init__(worker)


@dataclass(frozen=True)
class NoResult:
    """Why a worker gave no result for a photograph, where that is not the photograph's fault."""

    fault: NotShared | OtherProgram


def packed(task: Task, *, shared: bool) -> bytes:
    """The task with its photographs as bytes, or as paths that a worker reads.

    A needle's picture is looked at here, once, and what it shows travels. What hands parcels out
    need not open them.

    Raises
    ------
    OSError
        If a photograph cannot be read.
    UnusableInput
        If the needle's picture cannot be read.
    """
    return pickle.dumps(_with_pictures(task, shared), protocol=pickle.HIGHEST_PROTOCOL)


def _with_pictures(task: Task, shared: bool) -> Task:
    """The task, its photographs in place of their paths."""
    lamps = task.lamps
    if lamps is not None:
        on_axis = lamps.on_axis and _with_pictures(lamps.on_axis, shared)
        lines = lit_by(lamps, task.tone).lines
        lamps = replace(lamps, needle_path=None, lines=lines, on_axis=on_axis)
    path = task.path
    picture: Any = SentPicture(path.name, path.read_bytes()) if not shared else SharedPicture(
        path.resolve(), path.stat().st_size
    )  # fmt: skip
    return replace(task, path=picture, lamps=lamps)


def measure_parcels(parcels: list[bytes], checksum: str) -> list[PhotoResult] | NoResult:
    """Measure photographs for the program of a checksum; runs in a worker."""
    if checksum != program_checksum():
        return NoResult(OtherProgram(this_program()))
    try:
        return [replace(bare(pickle.loads(each)), task=None, path=None) for each in parcels]
    except NotShared as fault:
        return NoResult(fault)
