"""What decides a photograph's number, and so every picture that is drawn of it?

One key for both: a number kept under it and a picture kept under it are of one measurement.
"""

from functools import lru_cache
from hashlib import sha256

from edgetest.store.places import program_version


def checksum_of(path):
    """SHA-256 of a file's bytes, kept until the file changes; empty where it is not there."""
    try:
        found = path.stat()
    except OSError:
        return ""
    return _checksum(path, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=50_000)
def _checksum(path, _changed_ns, _size):
    return sha256(path.read_bytes()).hexdigest()


def task_key(task, checksum):
    """What decides a measurement: number, refusal, and every picture drawn of it.

    Parameters
    ----------
    task : Task
    checksum : str
        SHA-256 of the photograph's bytes.

    Returns
    -------
    str
        Differs where photograph, scale, correction, light, tone, needle or program differ.
    """
    parts = (
        program_version(),
        checksum,
        task.um_per_px,
        task.relative_u,
        task.blur_px,
        task.correction.key(),
        task.tone,
        task.size_px,
        task.lighting,
        _lamps_key(task.lamps),
    )
    return sha256(repr(parts).encode()).hexdigest()[:16]


def _lamps_key(lamps):
    """What a crest depends on besides its own picture: needle, lamps, the on-axis picture."""
    if lamps is None:
        return None
    through = lamps.on_axis
    return (
        lamps.needle_path and checksum_of(lamps.needle_path),
        lamps.needle,
        lamps.setup,
        through and (through.name, task_key(through, checksum_of(through.path))),
        lamps.needle_date,
        lamps.taken,
    )


def picture_key(result):
    """The key of what is drawn of a result: that of its number.

    Parameters
    ----------
    result : PhotoResult
        With the task it was measured by.
    """
    return task_key(result.task, result.sha256)
