"""Which studies lie in a folder, by what is told of each in a list?

A study's own file is read once for as long as it stays the same: this program remembers what it
read, and of a folder with many studies so does the index, which is made again where it is gone.
"""

import json
import os
from dataclasses import dataclass
from pathlib import Path
from stat import S_ISREG

from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.store.shop_index import with_index

MANY = 40  # studies; fewer are read faster than an index is opened


@dataclass(frozen=True)
class StudyEntry:
    """One study of a workspace; `fault` says why it cannot be opened, if so."""

    folder: Path
    title: str
    protocol: str
    invented: bool
    blades: int
    fault: UnusableInput | None = None


_read: dict[str, tuple[str, StudyEntry]] = {}  # by folder: what the file looked like, and the entry


def list_studies(root: str | Path) -> tuple[StudyEntry, ...]:
    """The studies in a folder (and the folder itself, if it is one), by name.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    if not Path(root).is_dir():
        raise UnusableInput("there is no such folder", str(root), "check the name")
    stamps = _stamps(str(Path(root)))
    unknown = sum(_read.get(folder, ("",))[0] != stamp for folder, stamp in stamps)
    if unknown > MANY:
        _from_index(Path(root), stamps)
    return tuple(_entry(folder, stamp) for folder, stamp in stamps)


def _stamps(root: str) -> list[tuple[str, str]]:
    """Folders of studies by name, each with what changes when the study's own file does.

    One look at the disk for each: this is the first page of thousands of studies.
    """
    try:
        with os.scandir(root) as entries:
            names = sorted(e.name for e in entries if e.name[0] != "." and e.is_dir())
    except OSError as fault:
        why = fault.strerror or str(fault)
        raise UnusableInput(f"cannot be read ({why})", root, "check its name") from None
    found = []
    for folder in (root, *(os.path.join(root, name) for name in names)):
        try:
            state = os.stat(f"{folder}/{STUDY_FILE}")
        except OSError:
            continue
        if S_ISREG(state.st_mode):
            found.append((folder, f"{state.st_mtime_ns} {state.st_size}"))
    return found


def _entry(folder: str, stamp: str) -> StudyEntry:
    """As it was read before, else read now."""
    kept = _read.get(folder)
    if kept is None or kept[0] != stamp:
        kept = _read[folder] = stamp, _read_now(Path(folder))
    return kept[1]


def _read_now(folder: Path) -> StudyEntry:
    try:
        study = load_study(folder)
    except UnusableInput as fault:
        return StudyEntry(folder, folder.name, "", False, 0, fault)
    return StudyEntry(folder, study.title, study.protocol_name, study.invented, len(study.blades))


def _from_index(root: Path, stamps: list[tuple[str, str]]) -> None:
    """What the index knows of these studies; what it does not is read and put there."""

    def look(index):
        known = {name: (stamp, told) for name, stamp, told in
                 index.execute("select name, stamp, told from listed")}  # fmt: skip
        new = []
        for folder, stamp in stamps:
            name = os.path.basename(folder)
            before = known.get(name)
            if before is not None and before[0] == stamp:
                _read[folder] = stamp, StudyEntry(Path(folder), *json.loads(before[1]))
                continue
            entry = _entry(folder, stamp)
            if entry.fault is None:  # one that cannot be opened is tried again at the next start
                told = [entry.title, entry.protocol, entry.invented, entry.blades]
                new.append((name, stamp, json.dumps(told)))
        index.executemany("insert or replace into listed values (?, ?, ?)", new)

    with_index(root, look)
