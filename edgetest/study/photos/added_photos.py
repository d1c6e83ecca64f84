"""Photographs brought into a study's folder: which are kept, and what is to be said of each?"""

from dataclasses import dataclass

from edgetest.errors import UnusableInput
from edgetest.store.images import read_picture
from edgetest.store.workspace import save_photograph
from edgetest.study.photos.same_pictures import twins_of


@dataclass(frozen=True)
class Added:
    """One photograph that was brought in; `twins` are rows that show the same picture."""

    name: str
    twins: tuple[str, ...] = ()
    fault: UnusableInput | None = None


def add_photo(source, name, data):
    """Keep a photograph as taken, under its own name.

    Parameters
    ----------
    source : Source
    name : str
        Of the file.
    data : bytes

    Returns
    -------
    Added
        With its fault where it is no picture, or another picture has its name.
    """
    try:
        read_picture(data, name=name)
        others = [row for row in source.log.rows if row.photo != name]
        twins = twins_of(data, name, others, source.photos_folder)
        save_photograph(source.path, name, data)
    except UnusableInput as fault:
        return Added(name, fault=fault)
    return Added(name, twins)
