"""What is wrong with a chop test beyond its cells: woods, sizes, handling, shapes."""

from edgetest.errors import UnusableInput
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.chop.piece_woods import wood_faults


def chop_faults(log, study):
    """Faults of a chop log's woods and sizes, and of `[handling]` and `[outline]`.

    Parameters
    ----------
    log : ChopLog or None
        Woods and sizes are judged of the cells that could be read.
    study : Study or None

    Returns
    -------
    tuple of UnusableInput
    """
    found: list[UnusableInput] = []
    if log is not None:
        found += wood_faults(log, study)
    if study is not None:
        found += _faults_of(lambda: handling_of(study))
        found += _shape_faults(study)
    return tuple(found)


def _shape_faults(study):
    """Faults of the geometry as written, then those of its numbers and photographs."""
    faults = _faults_of(lambda: shapes_of(study))
    if faults:
        return faults
    for name, shape in shapes_of(study).items():
        where = f"study.toml, outline.{name}"
        faults += _faults_of(lambda shape=shape, where=where: outline_of(shape, study, where))
    return faults


def _faults_of(work):
    """The faults that a piece of work raises, none where it goes through."""
    try:
        work()
    except UnusableInput as fault:
        return list(getattr(fault, "faults", (fault,)))
    return []
