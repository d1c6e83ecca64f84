"""Writes that are whole or not there, and a lock so that two writers lose nothing."""

import csv
import errno
import io
import json
import os
import shutil
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, BinaryIO

from edgetest.errors import UnusableInput

LOCK_SECONDS = 10.0
LITTER_SECONDS = 3600.0
_HALF = ".half_"
_FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))  # the disk, or one's share of it


@contextmanager
def whole_file(path: str | Path) -> Iterator[BinaryIO]:
    """A file to write into, that a reader sees whole at its end or not at all.

    A temporary file beside it is written, flushed, synced and renamed; the folder is synced
    too, so that the name survives a loss of power. What is raised meanwhile leaves the old file.
    """
    path = Path(path)
    try:
        handle, temporary = tempfile.mkstemp(
            dir=path.parent, prefix=f".{path.name}.", suffix=".tmp"
        )
    except OSError as fault:
        fault.filename = str(path)
        raise
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, path.stat().st_mode if path.exists() else 0o644)
        os.replace(temporary, path)
        _sync_folder(path.parent)
    except BaseException as fault:
        with suppress(FileNotFoundError):
            os.unlink(temporary)
        if isinstance(fault, OSError) and fault.filename in (None, temporary):
            fault.filename = str(path)  # a full disk does not say for which file
        raise


def write_atomic(path: str | Path, content: str | bytes) -> Path:
    """Write a file so that a reader sees the old one or the new one, never a part."""
    with whole_file(path) as file:
        file.write(content.encode("utf-8") if isinstance(content, str) else content)
    return Path(path)


@contextmanager
def whole_folder(target: str | Path) -> Iterator[Path]:
    """A hidden folder to fill, which becomes `target` at the end, whole or not at all.

    `target` must not be there, or be empty. What a killed program left is removed by the next.
    """
    target = Path(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    for litter in target.parent.glob(f"{_HALF}*"):
        if time.time() - litter.stat().st_mtime > LITTER_SECONDS:
            shutil.rmtree(litter, ignore_errors=True)
    half = Path(tempfile.mkdtemp(dir=target.parent, prefix=_HALF))
    inside = half / target.name
    try:
        inside.mkdir()
        yield inside
        if target.is_dir():
            target.rmdir()
        os.rename(inside, target)
        _sync_folder(target.parent)
    except OSError as fault:
        fault.filename = str(target)
        raise
    finally:
        shutil.rmtree(half, ignore_errors=True)


def disk_fault(fault: OSError) -> UnusableInput | None:
    """What the disk did not do, as a fault with its mend; None where no file is named."""
    full = fault.errno in _FULL
    if not (full or fault.filename):
        return None
    mend = "check the path, the rights to it, and the disk's space"
    if full:
        mend = "make room on the disk and do it again; what was there before is unchanged"
    reason = (fault.strerror or str(fault)).lower()
    if isinstance(fault, FileExistsError | NotADirectoryError):
        reason, mend = "is a file, where a folder is wanted", "name a folder"
    return UnusableInput(reason, str(fault.filename or "the disk"), mend)


def _sync_folder(folder: Path) -> None:
    """Sync a folder's names; where folders cannot be opened (Windows) the rename must do."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def append_line(path: Path, text: str) -> None:
    """Add one line at the end of a file, in one write, and sync it.

    A line that a crash cut short is closed first, so that it spoils only itself.
    """
    try:
        with open(path, "a+b") as file:
            if file.seek(0, os.SEEK_END):
                file.seek(-1, os.SEEK_END)
                text = text if file.read(1) == b"\n" else f"\n{text}"
            file.write(text.encode("utf-8") + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:
        fault.filename = str(path)
        raise


def append_json_line(path: Path, entry: Mapping[str, Any]) -> None:
    """Add one entry to a file of one JSON object a line."""
    append_json_lines(path, [entry])


def append_json_lines(path: Path, entries: Iterable[Mapping[str, Any]]) -> None:
    """Add entries to a file of one JSON object a line, all in one write."""
    lines = [json.dumps(entry, ensure_ascii=False) for entry in entries]
    if lines:
        append_line(path, "\n".join(lines))


def read_json_lines(path: Path) -> Iterator[tuple[int, dict[str, Any]]]:
    """Line number and entry of a file of one JSON object a line, oldest first.

    A line that a crash cut short, or that is no entry, is {}; a file that is not there is empty.
    """
    lines = path.read_bytes().decode(errors="replace").splitlines() if path.is_file() else []
    for number, line in enumerate(lines, 1):
        try:
            entry = json.loads(line)
        except (ValueError, RecursionError):
            entry = None
        if line.strip():
            yield number, entry if isinstance(entry, dict) else {}


def csv_text(
    records: Iterable[Sequence[str]], *, delimiter: str = ",", line_end: str = "\n"
) -> str:
    """Records as the text of a CSV file."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, lineterminator=line_end).writerows(records)
    return text.getvalue()


@contextmanager
def locked(folder: str | Path) -> Iterator[None]:
    """Hold a folder's writing lock; other processes and threads wait for it.

    The lock goes with the process, so a killed writer never leaves one behind.
    """
    path = Path(folder) / ".lock"
    with open(path, "a+b") as file:
        _wait_for(file.fileno(), path)
        try:
            _sweep(path.parent)
            yield
        finally:
            _unlock(file.fileno())


def _sweep(folder: Path) -> None:
    """Remove unfinished writes that a killed program left; one still under way is younger."""
    for litter in folder.glob(".*.tmp"):
        with suppress(FileNotFoundError):
            if time.time() - litter.stat().st_mtime > LITTER_SECONDS:
                litter.unlink()


def _wait_for(handle: int, path: Path) -> None:
    deadline = time.monotonic() + LOCK_SECONDS
    while not _try_lock(handle):
        if time.monotonic() > deadline:
            raise UnusableInput(
                f"another program has been writing here for {LOCK_SECONDS:.0f} s",
                where=str(path.parent),
                mend="close the other program, or wait and try again",
            )
        time.sleep(0.01)


if os.name == "nt":  # pragma: no cover - the other half runs in the tests
    import msvcrt

    def _try_lock(handle: int) -> bool:
        try:
            os.lseek(handle, 0, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True

    def _unlock(handle: int) -> None:
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined]

else:
    import fcntl

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _unlock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
