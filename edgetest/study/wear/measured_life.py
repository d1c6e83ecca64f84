"""How long did the blades last that a study has cut already?"""

from dataclasses import dataclass, replace
from math import exp
from statistics import fmean

from edgetest.errors import UnusableInput
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.photo_values import PHOTOGRAPHED

LEAST_BLADES = 2  # of one blade the next one is too little known. Our choice


@dataclass(frozen=True)
class MeasuredLife:
    """The geometric mean of the lives of so many blades, in cuts."""

    cuts: float
    blades: int
    beside_photos: bool = False  # the log names photographs, which are not measured for it


def measured_life(source, reading, limit):
    """How long the blades of a log lasted, for a plan of the same test; None where few tell.

    No heat treatment is told from another, so a look at the plan is no look at the answer.

    Parameters
    ----------
    source : Source
        Photographs are not measured for it: their rows' typed numbers count.
    reading : str
    limit : float or None
        None: the study's.

    Returns
    -------
    MeasuredLife or None
        None where lives of fewer than two blades are known, or fewer than are bounds alone.
    """
    rows = source.log.rows
    if not any(row.cuts for row in rows):
        return None
    asked = AnalysisOptions(reading=reading, limit=limit)
    try:
        found = analyse(_typed_alone(source), asked, compare=False)
    except UnusableInput:  # the plan stands without it
        return None
    lives = _lives(source, found)
    known = [life.log_life for life in lives if not (life.beyond_reach or life.censored)]
    if len(known) < max(LEAST_BLADES, len(lives) / 2):
        return None
    beside = reading in PHOTOGRAPHED and any(row.photo for row in rows)
    return MeasuredLife(exp(fmean(known)), len(known), beside)


def _typed_alone(source):
    """The source as if its log named no photograph."""
    rows = tuple(replace(row, photo="") for row in source.log.rows)
    return replace(source, log=replace(source.log, rows=rows))


def _lives(source, found):
    """Lives of the blades that were read, without those of the control blade."""
    control = source.study.control if source.study else None
    blade_of = {each.run: each.blade for each in found.readings}
    return [one.life for one in found.fit.blades
            if one.life is not None and blade_of[one.blade] != control]  # fmt: skip
