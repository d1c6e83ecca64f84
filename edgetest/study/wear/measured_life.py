"""How long did the blades last that a study has cut already?"""

from dataclasses import dataclass
from math import exp
from statistics import fmean

from edgetest.errors import UnusableInput
from edgetest.study.wear.analysis import AnalysisOptions, analyse

LEAST_BLADES = 2  # of one blade the next one is too little known. Our choice


@dataclass(frozen=True)
class MeasuredLife:
    """The geometric mean of the lives of so many blades, in cuts."""

    cuts: float
    blades: int


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
    if any(row.photo for row in source.log.rows) or not any(row.cuts for row in source.log.rows):
        return None
    try:
        found = analyse(source, AnalysisOptions(reading=reading, limit=limit), compare=False)
    except UnusableInput:  # the plan stands without it
        return None
    control = source.study.control if source.study else None
    blade_of = {each.run: each.blade for each in found.readings}
    lives = [one.life for one in found.fit.blades
             if one.life is not None and blade_of[one.blade] != control]  # fmt: skip
    known = [life.log_life for life in lives if not (life.beyond_reach or life.censored)]
    if len(known) < max(LEAST_BLADES, len(lives) / 2):
        return None
    return MeasuredLife(exp(fmean(known)), len(known))
