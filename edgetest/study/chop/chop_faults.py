"""What is wrong with a chop test beyond its cells: woods, sizes, handling, shapes."""

from types import SimpleNamespace

from edgetest.errors import UnusableInput
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.chop.piece_woods import wood_faults
from edgetest.study.chop.swings_told import lengths_of, swing_faults


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
        drawn, of_shapes = _drawn(study)
        found += _faults_of(lambda: handling_of(study)) or _swing_faults(study, drawn)
        found += of_shapes
    return tuple(found)


def faults_of_tables(tables):
    """Faults of `[handling]` and `[outline]` of a study.toml that cannot be read as a whole.

    Parameters
    ----------
    tables : dict
        Of the file. Where the id of a blade cannot be read, any name may be a blade's.

    Returns
    -------
    tuple of UnusableInput
    """
    held = {name: _table(tables.get(name)) for name in ("handling", "outline")}
    names = _names(tables.get("blades")) or [name for table in held.values() for name in table]
    stand_in = SimpleNamespace(
        blades=[SimpleNamespace(id=name) for name in names], control=tables.get("control"), **held
    )
    return (
        *_faults_of(lambda: handling_of(stand_in)),
        *_faults_of(lambda: shapes_of(stand_in)),
    )


def _table(value):
    return value if isinstance(value, dict) else {}


def _names(blades):
    """Ids of blades as written; none where one of them cannot be read."""
    found = [_table(blade).get("id") for blade in (blades if isinstance(blades, list) else ())]
    return found if all(isinstance(name, str) for name in found) else []


def _swing_faults(study, drawn):
    """What no pendulum does."""
    handling = handling_of(study)
    return swing_faults(handling, lengths_of(study, handling, drawn))


def _drawn(study):
    """The tools' outlines; faults of them as written, then of their numbers and photographs."""
    drawn, faults = {}, _faults_of(lambda: shapes_of(study))
    for name, shape in ({} if faults else shapes_of(study)).items():
        try:
            drawn[name] = outline_of(shape, study, f"study.toml, outline.{name}")
        except UnusableInput as fault:
            faults += getattr(fault, "faults", (fault,))
    return drawn, faults


def _faults_of(work):
    """The faults that a piece of work raises, none where it goes through."""
    try:
        work()
    except UnusableInput as fault:
        return list(getattr(fault, "faults", (fault,)))
    return []
