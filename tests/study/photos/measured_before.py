"""A photograph that stood in a test before keeps its number, whichever process measured it.

What measuring itself does is tested without it; a test of several processes asks for the fixture
`on_cores`.
"""

import pickle
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

import pytest

from edgetest.study.photos import many_photos
from edgetest.study.photos.measure_photos import bare
from edgetest.study.photos.picture_key import checksum_of, task_key

IN_PROCESSES = many_photos._on_cores
MANY = 60  # photographs; so many are not left to one process


@contextmanager
def measured_once(folder: Path) -> Iterator[None]:
    """Let each photograph be measured once in a run of all tests, its number kept in a folder."""
    folder.mkdir(exist_ok=True)
    found: dict[str, object] = {}

    def again(task):
        """The result of the same picture with the same scale, light and corrections, or a new."""
        checksum = checksum_of(task.path)
        if not checksum:
            return bare(task)
        key = sha256(repr((task.name, task_key(task, checksum))).encode()).hexdigest()
        if key not in found:
            found[key] = _of_another_worker(folder / key) or _kept(folder / key, bare(task))
        return replace(found[key], path=task.path, task=task)

    def one_by_one(tasks, workers):
        if len(tasks) > MANY:
            return IN_PROCESSES(tasks, workers)
        return ((number, many_photos.bare(task)) for number, task in enumerate(tasks))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(many_photos, "bare", again)
        patch.setattr(many_photos, "_on_cores", one_by_one)
        yield


def _of_another_worker(file):
    with suppress(FileNotFoundError):
        return pickle.loads(file.read_bytes())
    return None


def _kept(file, result):
    """The result, written whole for the other workers."""
    bare_one = replace(result, task=None)
    new = file.with_name(f"{file.name} {uuid4().hex}")
    new.write_bytes(pickle.dumps(bare_one))
    new.replace(file)
    return bare_one
