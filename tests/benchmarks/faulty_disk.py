"""A disk that fails at one of its steps, or under which the program dies."""

import errno
import os
import resource
import sys
from dataclasses import dataclass, field
from pathlib import Path

BYTES_MORE = 7
STEPS = {
    "os.mkdir": "make",
    "os.rename": "rename",
    "os.remove": "remove",
    "os.rmdir": "remove",
    "os.chmod": "rights",
}


class Died(BaseException):
    """The program is gone: nothing after this reaches the disk."""


@dataclass
class Disk:
    """Counts the steps of the program below a folder, and makes one of them fail."""

    root: Path
    way: str = ""
    at: int = -1
    steps: list = field(default_factory=list)
    gone: bool = False
    full: bool = False

    def __enter__(self):
        global _watched
        self.limit, self.sync = resource.getrlimit(resource.RLIMIT_FSIZE), os.fsync
        os.fsync = self._fsync
        _watched = self
        return self

    def __exit__(self, *_):
        global _watched
        _watched = None
        os.fsync = self.sync
        resource.setrlimit(resource.RLIMIT_FSIZE, self.limit)

    def seen(self, event, words):
        """One event of the interpreter; it is a step where it changes what lies in the folder."""
        if event == "open":
            path, _, flags = words
            if isinstance(path, int) or not flags & (os.O_WRONLY | os.O_RDWR):
                return
            self._step("write", path, flags)
        elif event in STEPS:
            self._step(STEPS[event], words[0])

    def _fsync(self, handle):
        self._step("sync", os.readlink(f"/proc/self/fd/{handle}"))

    def _step(self, what, path, flags=0):
        path = Path(os.fsdecode(path))
        if self.root not in path.absolute().parents:
            return
        if self.gone:
            raise Died
        if self.full and (what == "make" or (what == "write" and not path.exists())):
            raise OSError(errno.ENOSPC, "No space left on device", str(path))
        self.steps.append((what, path.name))
        if len(self.steps) - 1 != self.at:
            return
        if self.way == "dead":
            self.gone = True
            raise Died
        if self.way == "error":
            raise OSError(errno.EIO, "Input/output error", *([str(path)] if what != "sync" else []))
        if what == "write":
            there = path.exists() and not flags & os.O_TRUNC
            most = (path.stat().st_size if there else 0) + BYTES_MORE
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, self.limit[1]))
            self.full, self.gone = self.way == "full", self.way == "torn"
        elif what == "make" and self.way == "full":
            self.full = True
            raise OSError(errno.ENOSPC, "No space left on device", str(path))


_watched: Disk | None = None


def _hook(event, words):
    if _watched is not None:
        _watched.seen(event, words)


sys.addaudithook(_hook)
