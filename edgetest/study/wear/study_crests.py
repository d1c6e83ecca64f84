"""Crests of a study: photographs whose set-up declares two lamps across the edge, by its needle."""

from edgetest.errors import UnusableInput
from edgetest.study.photos.measure_photos import crest_of
from edgetest.study.wear.study_photos import photo_tasks


def study_crests(source):
    """Every photograph of a study in such light, measured by the needle of its set-up.

    Parameters
    ----------
    source : Source
        Of a study's folder.

    Returns
    -------
    list of CrestResult
        In the order of the log.

    Raises
    ------
    UnusableInput
        If no photograph of the log is in such light, or a needle's picture cannot be read.
    """
    tasks = [task for task in photo_tasks(source)[0] if task.lamps is not None]
    if not tasks:
        raise UnusableInput(
            "no photograph of the log is taken between two lamps",
            f"{source.path.name}, study.toml",
            'write light = "two sectors", needle and needle_diameter_mm below its [scale]',
        )
    return [crest_of(task) for task in tasks]
