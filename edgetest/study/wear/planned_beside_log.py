"""What does a study's own log say of a plan: a scatter that it could take, a reading it lacks?"""

from collections import defaultdict

from edgetest.doubts import doubt
from edgetest.store.logs import LIFE
from edgetest.study.wear.photo_values import PHOTOGRAPHED
from edgetest.study.wear.study_photos import missing_doubts, photographs_missing

LEAST_STAGES = 3  # of a run that may say how long its blade lasted; with fewer no curve is drawn


def scatter_doubt(source, scatter):
    """The doubt that nobody has said how blades scatter; of a test that is logged, how to say it.

    Parameters
    ----------
    source : Source
        A study.
    scatter : str
        What is assumed, in words.

    Returns
    -------
    Doubt
    """
    code = "scatter_of_log_not_named" if blades_alike_read(source) else "scatter_assumed"
    return doubt(code, scatter=scatter)


def blades_alike_read(source):
    """Whether two blades of one heat treatment were read on the way to their limit."""
    study, stages = source.study, defaultdict(set)
    for row in source.log.rows:
        if not (row.waiting or row.exclude) and row.blade != study.control:
            stages[row.blade].add(row.cuts)
    tested = [
        blade.heat_treatment
        for blade in study.blades
        if blade.heat_treatment
        and (len(stages[blade.id]) >= LEAST_STAGES or (stages[blade.id] and _lives(source)))
    ]
    return len(set(tested)) < len(tested)


def _lives(source):
    return LIFE in source.log.columns


def log_doubts(source, believed):
    """The doubts of a plan beside its log: blades it leaves out, a reading or pictures missing.

    Parameters
    ----------
    source : Source
        A study.
    believed : Believed

    Returns
    -------
    list of Doubt
    """
    columns, name = source.log.columns, believed.reading
    from_photos = name in PHOTOGRAPHED and "photo" in columns
    told = _left_out(source)
    if from_photos:
        return [*told, *missing_doubts(photographs_missing(source))]
    if not columns or name in columns:
        return told
    return [*told, doubt("planned_reading_not_in_log", reading=name)]


def _left_out(source):
    """The doubts of blades that only wait in the log, and that the study does not know."""
    known = {blade.id for blade in source.study.blades}
    strange = defaultdict(list)
    for row in source.log.rows:
        if row.blade not in known:
            strange[row.blade].append(row)
    return [
        doubt("planned_without_blade", blade=blade, row=rows[0].line)
        for blade, rows in strange.items()
        if all(row.waiting and not row.photo for row in rows)
    ]
