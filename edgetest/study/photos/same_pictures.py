"""Which rows of a log show one and the same picture, also where it was saved twice?

A picture that stands at two places is one reading, not two.
"""

from edgetest.doubts import Where, doubt
from edgetest.study.photos.sort_tray import shown_sums


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
    shown: dict[str, list] = {}
    for row in rows:
        path = folder / row.photo if row.photo else None
        if path is None or row.exclude or not path.is_file():
            continue
        stat = path.stat()
        pixels, _ = shown_sums(path, stat.st_mtime_ns, stat.st_size)
        shown.setdefault(pixels, []).append(row)
    return tuple(_told(some) for some in shown.values() if len(some) > 1)


def _told(rows):
    """The doubt of one picture and the names of its files."""
    first, *others = (f"{row.photo} (row {row.line}, blade {row.blade})" for row in rows)
    where = Where(file=rows[0].photo, row=rows[0].line, blade=rows[0].blade)
    told = doubt("same_picture", where=where, first=first, others=", ".join(others))
    return told, tuple(row.photo for row in rows)
