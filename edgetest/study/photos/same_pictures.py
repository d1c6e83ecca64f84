"""Which rows of a log show one and the same picture, also where it was saved twice?

A picture that stands at two places is one reading, not two.
"""

from edgetest.doubts import Where, doubt
from edgetest.study.photos.sort_tray import pixels_of, shown_sums


def same_pictures(rows, folder):
    """Rows whose photographs show one and the same picture, told as doubts.

    Parameters
    ----------
    rows : sequence of LogRow or ChopRow
        Those that are left out, or whose photograph is not there, do not count.
    folder : Path
        Where the photographs lie.

    Returns
    -------
    tuple of (Doubt, tuple of str)
        A doubt for each such picture, and the names of its files. Files that differ in what is
        written about the picture, or that were saved again without loss, are one picture.
    """
    some = _by_picture(rows, folder).values()
    return tuple(_told(alike) for alike in some if len(alike) > 1)


def twins_of(data, name, rows, folder):
    """Rows of a log that show a new picture already, in words.

    Parameters
    ----------
    data : bytes
        The new picture's file.
    name : str
        What it is called.
    rows, folder
        As for `same_pictures`.

    Returns
    -------
    tuple of str

    Raises
    ------
    UnreadablePicture
        If it is no picture.
    """
    return tuple(map(_words, _by_picture(rows, folder).get(pixels_of(data, name), ())))


def _by_picture(rows, folder):
    """The rows that have a photograph, by what it shows."""
    shown: dict[str, list] = {}
    for row in rows:
        path = folder / row.photo if row.photo else None
        if path is None or row.exclude or not path.is_file():
            continue
        stat = path.stat()
        pixels, _ = shown_sums(path, stat.st_mtime_ns, stat.st_size)
        shown.setdefault(pixels, []).append(row)
    return shown


def _words(row):
    return f"{row.photo} (row {row.line}, blade {row.blade})"


def _told(rows):
    """The doubt of one picture and the names of its files."""
    first, *others = map(_words, rows)
    where = Where(file=rows[0].photo, row=rows[0].line, blade=rows[0].blade)
    told = doubt("same_picture", where=where, first=first, others=", ".join(others))
    return told, tuple(row.photo for row in rows)
