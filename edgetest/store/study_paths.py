"""Does a file that a study names lie within the study, and how is its name to be written?"""

import errno
import os
import re
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Annotated

from pydantic import AfterValidator

from edgetest.errors import UnusableInput
from edgetest.no_numbers import shortened
from edgetest.store.checking import refuse
from edgetest.store.unseen import MEND, first_unseen, shown_whole
from edgetest.units import Unreadable

LONGEST_NAME = 255  # bytes of one name, on the usual disks


def path_within(text: str, folder: str = "") -> str:
    """The path of a file within a study, checked by its letters alone.

    Parameters
    ----------
    text : str
        As it was written: "H1.jpg", "roll 1/H1.jpg".
    folder : str
        The folder of the study that it begins in; "" for the study's own. A name that says it
        too, "photos/H1.jpg", is told without it.

    Raises
    ------
    Unreadable
        If it leads outside the study, is written in a way that only one system reads, or too long.
    """
    path = PurePosixPath(text.replace("\\", "/"))
    inside = f"the study's folder {folder}" if folder else "the study's folder"
    if path.is_absolute() or ".." in path.parts or re.match(r"[A-Za-z]:", text):
        name = path.name if path.name not in ("", "..") else "a.jpg"
        where = f"{folder}/" if folder else ""
        raise Unreadable(
            f'"{text}" leads outside the study',
            f"put the file into {inside} ({where}{name}) and write {name}",
        )
    if "\\" in text:
        raise Unreadable(f'"{text}" holds a backslash', f"write {path}")
    if number := first_unseen(text):
        raise Unreadable(f"{shown_whole(text)!r} holds a letter that is not seen ({number})", MEND)
    if not nameable(path):
        raise Unreadable(f'"{shortened(text)}" is longer than a file\'s name may be', "shorten it")
    if folder and len(path.parts) > 1 and path.parts[0] == folder:
        path = path.relative_to(folder)
    return str(path) if text else ""


def nameable(path: str | PurePosixPath) -> bool:
    """Whether no part of a path is longer than a disk takes, which raises where it is asked for."""
    return all(len(part.encode(errors="replace")) <= LONGEST_NAME
               for part in PurePosixPath(path).parts)  # fmt: skip


def _in_study(text: str) -> str:
    try:
        return path_within(text)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None


InStudy = Annotated[str, AfterValidator(_in_study)]


def refuse_links(folder: str | Path) -> None:
    """Refuse a study in which a file or folder is a link to somewhere outside it.

    Looked at are the files of the study and all below its photographs.

    Raises
    ------
    UnusableInput
        Naming the first link that leads outside.
    """
    root = Path(folder)
    for path in _links(root, deep=False):
        at = path.relative_to(root).as_posix()
        if _ends_nowhere(path):
            mend = "delete the link, and put the file itself into the study"
            raise UnusableInput(f"{at} is a link that leads in a circle", str(root), mend)
        there = path.resolve()
        if not there.is_relative_to(root.resolve()):
            raise UnusableInput(
                f"{at} is a link that leads outside the study",
                str(root),
                f"put the {'folder' if there.is_dir() else 'file'} itself into the study",
            )


def _ends_nowhere(link: Path) -> bool:
    """Whether a link leads back to itself."""
    try:
        link.stat()
    except OSError as fault:
        return fault.errno == errno.ELOOP
    return False


def _links(folder: Path, *, deep: bool) -> Iterator[Path]:
    """The links in a folder; below it only in photographs, and in hidden folders never."""
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError:
        return  # not there, or not to be read: told where it is wanted
    for entry in entries:
        if entry.is_symlink():
            yield Path(entry.path)
        elif (deep or entry.name == "photos") and entry.is_dir():
            yield from _links(Path(entry.path), deep=True)


def file_named(folder: str | Path, name: str, where: str) -> Path:
    """The path of a file that a study names.

    Raises
    ------
    UnusableInput
        If it leads outside the study; `where` says which key names it.
    """
    try:
        return Path(folder) / path_within(name)
    except Unreadable as fault:
        raise UnusableInput(fault.what, where, fault.mend) from None
