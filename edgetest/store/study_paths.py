"""Does a file that a study names lie within the study, and how is its name to be written?"""

import re
from pathlib import PurePosixPath
from typing import Annotated

from pydantic import AfterValidator

from edgetest.store.checking import refuse
from edgetest.store.unseen import MEND, first_unseen, shown_whole
from edgetest.units import Unreadable


def path_within(text: str, folder: str = "") -> str:
    """The path of a file within a study, checked by its letters alone.

    Parameters
    ----------
    text : str
        As it was written: "H1.jpg", "roll 1/H1.jpg".
    folder : str
        The folder of the study that it begins in; "" for the study's own.

    Raises
    ------
    Unreadable
        If it leads outside the study, or is written in a way that only one system reads.
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
    return str(path) if text else ""


def _in_study(text: str) -> str:
    try:
        return path_within(text)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None


InStudy = Annotated[str, AfterValidator(_in_study)]
