"""Which side views of a chop test cannot be measured, why, and how is that mended?"""

from edgetest.errors import UnusableInput
from edgetest.store.images import scale_in_file
from edgetest.store.table_faults import cell_fault
from edgetest.store.toml_faults import heading_of
from edgetest.study.photos.corrections import corrections


def asked_of_side_views(name, rows, study, folder):
    """Photographs of a chop log that have no scale, each with its row and mend.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
    study : Study or None
    folder : Path
        Where the photographs lie; those that are not there are told elsewhere.

    Yields
    ------
    UnusableInput
        Told, not raised: the photographs beside them are measured.
    """
    views = [row for row in rows if row.photo and row.look_counts]
    wanting = [row for row in views if not _has_rule(row, study)]
    own = corrections(study.folder) if study is not None and wanting else {}
    for row in wanting:
        path, mended = folder / row.photo, own.get(row.photo)
        if not path.is_file() or (mended and mended.um_per_px is not None):
            continue
        if _told_by_its_file(path):
            continue
        what, mend = _wanted(row, study)
        yield cell_fault(name, row.line, "scale", what, mend)


def refused_side_views(found, log, study):
    """Each photograph that gave no edge: its row, the reason and the mend, a line each.

    Parameters
    ----------
    found : sequence of Look
    log : ChopLog
    study : Study or None

    Yields
    ------
    str
    """
    rows = {row.photo: row for row in reversed(log.rows) if row.photo}
    for photo in (photo for look in found for photo in look.photos if not photo.measured):
        row, reasons = rows[photo.photo], photo.numbers["reasons"]
        place = f"not measured: {photo.photo} ({log.name}, row {row.line}): "
        if [reason["code"] for reason in reasons] == ["no_scale"]:
            what, mend = _wanted(row, study)
            yield f"{place}{what}; {mend}"
        else:
            yield place + " ".join(reason["text"] for reason in reasons)


def _has_rule(row, study):
    if study is None:
        return False
    return row.scale in study.scales if row.scale else study.scale is not None


def _told_by_its_file(path):
    """Whether the file states a microscope's scale; an unreadable one is refused as that."""
    try:
        return scale_in_file(path) is not None
    except UnusableInput:
        return True


def _wanted(row, study):
    """What is wrong with the scale of a side view that has none, and the mend."""
    known = sorted(study.scales) if study is not None else []
    if row.scale and study is not None:
        what = f'the scale "{row.scale}" of the photograph "{row.photo}" is not in study.toml'
        mend = f"write a scale that is known ({', '.join(known)}), or add" if known else "add"
        return (
            f"{what}, so it is not measured",
            f"{mend} {heading_of('scales', row.scale)} with um_per_px there",
        )
    what = f'the photograph "{row.photo}" has no scale, so its chips and rolls are not measured'
    if study is None:
        return what, "make a study of the log with `edgetest new`, and say its scale there"
    new = "add [scale] with um_per_px to study.toml, or set the scale in the app, page Photographs"
    return what, f"write {' or '.join(known)} if it was taken so, or {new}" if known else new
