"""For tests of what is done with widths: a photograph that stood in a test before keeps its number.

What measuring itself does is tested without it.
"""

from dataclasses import replace

from edgetest.study.photos import many_photos
from edgetest.study.photos.measure_photos import bare
from edgetest.study.photos.picture_key import checksum_of, task_key

_RESULTS: dict[tuple, object] = {}


def _bare_again(task):
    """The result of the same picture with the same scale, light and corrections, or a new one."""
    checksum = checksum_of(task.path)
    if not checksum:
        return bare(task)
    key = task.name, task_key(task, checksum)
    if key not in _RESULTS:
        _RESULTS[key] = bare(task)
    return replace(_RESULTS[key], path=task.path, task=task)


def measured_before(patch):
    """Let photographs of one process be measured once, by pytest's own monkeypatch."""
    patch.setattr(many_photos, "bare", _bare_again)
