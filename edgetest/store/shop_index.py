"""Which studies does a workspace hold, and what was read of each when it last changed?

An index in SQLite, in the program's own cache: the studies' files are the truth, and the index
is made again from them where it is gone, damaged, or of another version of the program. Where the
disk is full, fails or may not be written, it stands in memory until the program ends.
"""

import json
import os
import sqlite3
from collections.abc import Callable, Iterable
from contextlib import closing, suppress
from hashlib import sha256
from pathlib import Path
from time import monotonic
from typing import Any, TypeVar

from edgetest.errors import UnusableInput
from edgetest.store.kept_answers import cache_folder, program_print
from edgetest.store.records import STUDY_FILE

DECIDE = (".toml", ".csv", ".xlsx", ".jsonl")
MADE = ("measured.csv", "bench.jsonl", "history.jsonl")  # by the program, or of no answer
Answer = TypeVar("Answer")
KEPT_EVERY_S = 0.5  # to disk while studies are read; each time costs some milliseconds
TABLES = """
create table if not exists studies (
    name text primary key, stamp text not null, words text not null, read text not null
);
create table if not exists listed (
    name text primary key, stamp text not null, told text not null
);
"""


def studies_of(root: str | Path) -> tuple[Path, ...]:
    """Folders of a workspace that hold a study, by name.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    root = Path(root)
    try:
        with os.scandir(root) as entries:
            names = sorted(entry.name for entry in entries if entry.is_dir())
    except OSError as fault:
        why = fault.strerror or str(fault)
        raise UnusableInput(f"cannot be read ({why})", str(root), "check its name") from None
    folders = [root, *(root / name for name in names if not name.startswith("."))]
    return tuple(folder for folder in folders if os.path.isfile(f"{folder}/{STUDY_FILE}"))


def indexed_studies(
    root: str | Path,
    read: Callable[[Path], dict[str, Any]],
    words: Iterable[str] = (),
    *,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[dict[str, Any], ...]:
    """What was read of each study of a workspace; only those that changed are read again.

    Parameters
    ----------
    root : str or Path
    read : callable
        Takes a study's folder and gives JSON-plain values, among them "words".
    words : iterable of str
        Only the studies whose facts hold all of these are given.
    progress : callable(done, total), optional
        Of the studies that have to be read.

    Returns
    -------
    tuple of dict
        By the folders' names.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    folders = studies_of(root)
    stamps = {folder.name: _stamp(folder) for folder in folders}
    new: dict[str, tuple[str, str, str, str]] = {}  # by name: none is read twice
    wanted = [_plain(word) for word in words]

    def look(index):
        known = dict(index.execute("select name, stamp from studies"))
        gone = [(name,) for name in known if name not in stamps]
        index.executemany("delete from studies where name = ?", gone)
        changed = [folder for folder in folders if known.get(folder.name) != stamps[folder.name]]
        index.commit()
        kept = monotonic()
        try:
            for done, folder in enumerate(changed, 1):
                if folder.name not in new:
                    values = read(folder)
                    facts, told = _plain(values["words"]), json.dumps(values)
                    new[folder.name] = (folder.name, stamps[folder.name], facts, told)
                if monotonic() - kept > KEPT_EVERY_S:
                    _keep(index, new)
                    kept = monotonic()
                if progress:
                    progress(done, len(changed))
        except BaseException:  # what was read stays where the next one stops the program
            with suppress(sqlite3.Error):
                _keep(index, new)
            raise
        _keep(index, new)
        return _holding(index, wanted)

    return with_index(root, look)


def _keep(index: sqlite3.Connection, new: dict[str, tuple[str, str, str, str]]) -> None:
    """Put rows into the index and let them go: no lock is held while a study is read."""
    index.executemany("insert or replace into studies values (?, ?, ?, ?)", new.values())
    index.commit()
    new.clear()


def changed_studies(root: str | Path) -> tuple[str, ...]:
    """Names of the studies that changed since they were last read, or never were.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    folders = studies_of(root)
    asked = "select name, stamp from studies"
    known = with_index(root, lambda index: dict(index.execute(asked)))
    return tuple(each.name for each in folders if known.get(each.name) != _stamp(each))


def found_by_words(root: str | Path, words: Iterable[str]) -> tuple[dict[str, Any], ...]:
    """What was read of the studies whose facts hold all of some words, by name.

    The index as it stands; `indexed_studies` brings it up to date.
    """
    wanted = [_plain(word) for word in words]
    return with_index(root, lambda index: _holding(index, wanted))


def _holding(index: sqlite3.Connection, wanted: list[str]) -> tuple[dict[str, Any], ...]:
    where = " and ".join(["instr(words, ?) > 0"] * len(wanted)) or "1"
    rows = index.execute(f"select read from studies where {where} order by name", wanted)
    return tuple(json.loads(text) for (text,) in rows)


FACTS = ("name", "title", "date", "maker", "protocol", "fault")  # of a study that was found


def facts_found(
    root: str | Path, words: Iterable[str], most: int | None = None
) -> tuple[int, tuple[dict[str, str], ...]]:
    """How many studies hold all of some words, and who they are, without what was read of them.

    The index as it stands; `indexed_studies` brings it up to date.

    Parameters
    ----------
    root : str or Path
    words : iterable of str
        Of title, maker, steel, heat treatment, blade and its shape, protocol, notes or date.
    most : int, optional
        Of those told, by name; default: all.
    """
    wanted = [_plain(word) for word in words]
    where = " and ".join(["instr(words, ?) > 0"] * len(wanted)) or "1"
    facts = ", ".join(f"json_extract(read, '$.{name}')" for name in FACTS)

    def look(index):
        (count,) = index.execute(f"select count(*) from studies where {where}", wanted).fetchone()
        asked = f"select {facts} from studies where {where} order by name limit ?"
        rows = index.execute(asked, [*wanted, -1 if most is None else most])
        return count, tuple(dict(zip(FACTS, row, strict=True)) for row in rows)

    return with_index(root, look)


def names_alike(root: str | Path, **facts: Any) -> tuple[str, ...]:
    """Names of the studies that were read, of which some facts hold these values, by name.

    The index as it stands; `indexed_studies` brings it up to date.
    """
    where = " and ".join(f"json_extract(read, '$.{name}') = ?" for name in facts) or "1"
    asked, values = f"select name from studies where {where} order by name", list(facts.values())
    return with_index(root, lambda index: tuple(name for (name,) in index.execute(asked, values)))


def index_file(root: str | Path) -> Path:
    """Where the index of a workspace lies; it may be deleted at any time."""
    place = str(Path(root).resolve()).encode()
    return cache_folder() / "shop" / f"{sha256(place).hexdigest()[:32]}.sqlite"


def index_version(root: str | Path) -> tuple[int, ...]:
    """What changes when a study is read anew; nothing where no study was read yet."""
    in_memory = _in_memory.get(index_file(root))
    if in_memory:
        return tuple(in_memory.execute("select count(*), max(rowid) from studies").fetchone())
    try:
        state = os.stat(index_file(root))
    except OSError:
        return ()
    return state.st_mtime_ns, state.st_size


def forget_index(root: str | Path) -> None:
    """Let the index of a workspace go, file or memory; it is made anew when it is asked for."""
    index_file(root).unlink(missing_ok=True)
    _in_memory.pop(index_file(root), None)


_in_memory: dict[Path, sqlite3.Connection] = {}  # of the workspaces whose index no disk takes


def with_index(root: str | Path, work: Callable[[sqlite3.Connection], Answer]) -> Answer:
    """What is made of a workspace's index.

    A damaged one is begun anew; one that the disk does not take stands in memory, for this
    workspace until the program ends.

    Parameters
    ----------
    root : str or Path
    work : callable
        Takes the open index; it may be asked a second time, of another index.
    """
    file = index_file(root)
    if file not in _in_memory:
        for _ in range(2):
            try:
                with closing(_opened(file)) as index:
                    done = work(index)
                    index.commit()
                    return done
            except sqlite3.DatabaseError as fault:
                if _of_the_disk(fault):
                    break
                with suppress(OSError):
                    file.unlink()
        made = _with_tables(":memory:")
        if _in_memory.setdefault(file, made) is not made:
            made.close()  # another thread was first
    done = work(_in_memory[file])
    _in_memory[file].commit()
    return done


def _of_the_disk(fault: sqlite3.DatabaseError) -> bool:
    """Whether the disk is at fault; else the file is: damaged, or with tables of another kind."""
    code = getattr(fault, "sqlite_errorcode", None)
    return isinstance(fault, sqlite3.OperationalError) and code != sqlite3.SQLITE_ERROR


def _opened(file: Path) -> sqlite3.Connection:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise sqlite3.OperationalError(str(fault)) from None
    return _with_tables(file)


def _with_tables(place: str | Path) -> sqlite3.Connection:
    # One in memory serves every thread of the app; SQLite lets them in one by one.
    index = sqlite3.connect(place, timeout=30, check_same_thread=place != ":memory:")
    try:
        index.executescript(TABLES)
        index.execute("select count(*), max(name), max(stamp) from studies").fetchone()
    except sqlite3.DatabaseError:
        index.close()
        raise
    return index


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())


def _stamp(folder: Path) -> str:
    """What changes when a file of a study that decides its answer changes, or the program does."""
    files = []
    with os.scandir(folder) as entries:
        for entry in entries:
            decides = entry.name.endswith(DECIDE) and entry.name not in MADE
            if entry.name == "photos" or (decides and not entry.name.startswith(".")):
                state = entry.stat()
                files.append((entry.name, state.st_mtime_ns, state.st_size))
    return sha256(repr((program_print(), sorted(files))).encode()).hexdigest()
