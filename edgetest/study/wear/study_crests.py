"""Crests of a study: photographs whose set-up declares two lamps across the edge, by its needle."""

from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.photo.glints.needle_light import Needle, SideSetup
from edgetest.study.photos.crests import measure_crest, side_light
from edgetest.study.wear.study_readings import photo_tasks

LIT_FROM_THE_SIDE = ("two sectors", "ring")


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
    study = source.study
    tasks = [
        task for task in photo_tasks(source)[0] if task.lighting.direction in LIT_FROM_THE_SIDE
    ]
    if study is None or not tasks:
        raise UnusableInput(
            "no photograph of the log is taken between two lamps",
            f"{source.path.name}, study.toml",
            'write light = "two sectors", needle and needle_diameter_mm below its [scale]',
        )
    rules = {**study.scales, **({"": study.scale} if study.scale is not None else {})}
    lit = {}
    for task in tasks:
        name = task.scale_name
        if name not in lit:
            lit[name] = _side_light(rules[name], task, study.folder)
    return [measure_crest(task.path, lit[task.scale_name]) for task in tasks]


def _side_light(rule, task, folder):
    """The lamps and the needle of a set-up."""
    setup = SideSetup(
        task.lighting.direction, task.um_per_px, task.relative_u, rule.lamp_angle_deg
    )  # fmt: skip
    if rule.needle is None:
        return side_light(None, None, setup)
    path = Path(folder) / rule.needle
    if not path.is_file():
        raise UnusableInput(
            f"the needle's picture {rule.needle} is not there",
            "study.toml, scale",
            "put it into the study's folder, or mend its name",
        )
    return side_light(path, Needle(1000 * rule.needle_diameter_mm), setup)
