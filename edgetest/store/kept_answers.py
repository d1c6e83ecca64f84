"""How is an answer that took long kept for the next start, without ever being believed blindly?

Answers lie in a folder of the program's own, the user's cache, never inside a study: they are
pickles, and reading a pickle can run whatever its writer wished, so none is ever read that
came with a study. An answer is filed under all that decides it: the contents of the study's
files, what was asked, and the program itself, byte by byte. A file that is damaged, that stands
under another name than its own, or that belongs to another user is as if it were not there.
The whole folder may be deleted at any time.
"""

import os
import pickle
import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache, lru_cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from edgetest.store.files import write_atomic

FOLDER_VARIABLE = "EDGETEST_CACHE"
MOST_BYTES = 300_000_000  # an answer of the sample runs takes 3 kB to 3 MB
MARK = b"edgetest kept answer 1\n"
PACKAGE = Path(__file__).parent.parent
# Libraries whose versions decide digits, or how an answer is read back.
LIBRARIES = ("edgetest", "numpy", "scipy", "pandas", "opencv-python-headless", "pydantic")
# Files of a study that decide no answer: measurements are made from the photographs and carry
# keys of their own; the bench's place, the truth behind invented data and the history do not count.
DECIDE_NOTHING = frozenset({"measured.csv", "bench.jsonl", "truth.json", "history.jsonl"})


def cache_folder() -> Path:
    """The program's own folder for what can be made again; it need not be there."""
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named)
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "edgetest"
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home()) / "edgetest" / "cache"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "edgetest"


@cache
def program_print() -> str:
    """Checksum of the program, of Python and of the libraries that decide digits."""
    told = sha256(repr((sys.version, *map(_version, LIBRARIES))).encode())
    for path in sorted(PACKAGE.rglob("*")):
        if path.suffix in (".py", ".toml") and path.is_file():
            told.update(path.relative_to(PACKAGE).as_posix().encode() + b"\0" + path.read_bytes())
    return told.hexdigest()


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return ""


def study_print(folder: str | Path) -> str | None:
    """Checksum of all files of a study that decide an answer, with the place where it lies.

    Returns
    -------
    str or None
        None where the study names a file outside its own folder: what lies there is not
        looked at, so no answer may be filed under it.
    """
    folder = Path(folder).resolve()
    told = sha256(str(folder).encode())
    for path in _deciding(folder):
        try:
            found = path.stat()
            checksum = file_print(path, found.st_mtime_ns, found.st_ctime_ns, found.st_size)
        except OSError:
            return None
        if path.suffix == ".toml" and path.parent == folder and b"../" in path.read_bytes():
            return None
        told.update(path.relative_to(folder).as_posix().encode() + b"\0" + checksum.encode())
    return told.hexdigest()


def _deciding(folder: Path) -> Iterable[Path]:
    """The files that decide an answer; hidden ones hold what is not saved yet."""
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if not name.startswith(".") and name not in DECIDE_NOTHING:
                yield Path(place) / name


@lru_cache(maxsize=20_000)
def file_print(path: Path, changed_ns: int, status_ns: int, size: int) -> str:
    """SHA-256 of a file's bytes, kept until its stamps change.

    Parameters
    ----------
    path : Path
    changed_ns, status_ns : int
        When its content and its entry in the folder last changed.
    size : int
        Bytes.
    """
    return sha256(path.read_bytes()).hexdigest()


def keep_answer(name: str, key: Any, answer: Any) -> bool:
    """Keep an answer on disk; whether that was possible.

    Parameters
    ----------
    name : str
        What kind of answer it is; a word.
    key : object
        All that decides it besides the program; its `repr` is taken.
    answer : object
        Anything that can be pickled. What cannot be, and a disk that is full or may not be
        written, only mean that it will be worked out again.
    """
    try:
        body = pickle.dumps(answer, protocol=pickle.HIGHEST_PROTOCOL)
        path = _file(name, key)
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not _own(path.parent):
            return False
        write_atomic(path, MARK + _seal(path.name, body) + body)
        path.chmod(0o600)
        _make_room(path.parent)
    except (OSError, pickle.PicklingError, TypeError, AttributeError, RecursionError):
        return False
    return True


def worked_out_once(name: str, parts: Any, make: Callable[[], Any]) -> Any:
    """The answer kept for parts that decide it, else made now and kept.

    Parameters
    ----------
    name : str
        What kind of answer it is; a word.
    parts : object
        All that decides the answer besides the program; anything that can be pickled, for
        `repr` leaves out the middle of a long array.
    make : callable()
        Works it out. An answer is never None.
    """
    key = sha256(pickle.dumps(parts, protocol=pickle.HIGHEST_PROTOCOL)).hexdigest()
    found = kept_answer(name, key)
    if found is None:
        found = make()
        keep_answer(name, key, found)
    return found


def has_kept(name: str, key: Any) -> bool:
    """Whether something is kept under a name and a key; it may still turn out damaged."""
    return _file(name, key).is_file()


def kept_answer(name: str, key: Any) -> Any:
    """The answer kept under a name and a key; None where there is none that may be believed."""
    path = _file(name, key)
    try:
        if not _own(path.parent) or not _own(path):
            return None
        data = path.read_bytes()
        body = data[len(MARK) + 32 :]
        if data[: len(MARK) + 32] != MARK + _seal(path.name, body):
            raise ValueError("damaged")
        answer = pickle.loads(body)
    except FileNotFoundError:
        return None
    except Exception:  # whatever is wrong with it: it is worked out again
        with suppress(OSError):
            path.unlink()
        return None
    with suppress(OSError):
        os.utime(path)  # what was asked for last goes last
    return answer


def _seal(name: str, body: bytes) -> bytes:
    """Checksum of an answer with the file's own name: a file put in another's place is damaged."""
    return sha256(name.encode() + b"\0" + body).digest()


def _file(name: str, key: Any) -> Path:
    filed = sha256(repr((program_print(), key)).encode()).hexdigest()[:40]
    return cache_folder() / "answers" / f"{name}_{filed}"


def _own(path: Path) -> bool:
    """Whether a file or folder belongs to this user and no one else may write to it."""
    if os.name == "nt":
        return True  # the user's own local folder
    found = path.stat()
    return found.st_uid == os.getuid() and not found.st_mode & 0o022


def _make_room(folder: Path) -> None:
    """Let the answers that nobody asked for longest go, where all take too much room."""
    found = sorted(
        ((path.stat().st_mtime_ns, path.stat().st_size, path) for path in folder.iterdir()),
        reverse=True,
    )
    taken = 0
    for _, size, path in found:
        taken += size
        if taken > MOST_BYTES:
            path.unlink(missing_ok=True)


def forget_answers(name: str) -> None:
    """Let every answer of a kind go, whichever study it belongs to."""
    with suppress(OSError):
        for path in (cache_folder() / "answers").glob(f"{name}_*"):
            path.unlink(missing_ok=True)
