"""Does a blade's log stand above the limit although its curve never gets there?

One slip of a unit can bend a curve so far that the law puts the life out of reach. To cut on
then mends nothing: the row has to be looked at first.
"""

from collections import defaultdict
from dataclasses import replace
from math import isfinite
from statistics import median

from edgetest.doubts import doubt

# Doubts that say a blade was stopped short of the limit, or counts as if it had been.
STOPPED = ("beyond_reach", "life_is_a_bound")
PASSED = "read_past_limit"


def blades_past_limit(fit, readings):
    """Blades and runs that a whole stage tells past the limit, though their life is beyond reach.

    Parameters
    ----------
    fit : StudyFit
    readings : sequence of UsedReading

    Returns
    -------
    frozenset of str
    """
    names = set()
    for each in fit.blades:
        if each.life is None or not each.life.beyond_reach:
            continue
        own = [one for one in readings if each.blade in (one.run, one.blade) and not one.excluded]
        first = min((one.cuts for one in own), default=0.0)
        fresh = median([_middle(one) for one in own if one.cuts == first] or [0.0])
        up = each.life.limit > fresh
        if _stage_past(own, each.life.limit, up):
            names |= {each.blade, *(one.blade for one in own)}
    return frozenset(names)


def _middle(reading):
    """The reading; of bounds the middle, or the one end that is known."""
    if isfinite(reading.value):
        return reading.value
    ends = [end for end in (reading.lower, reading.upper) if isfinite(end)]
    return sum(ends) / len(ends) if ends else 0.0


def _stage_past(readings, limit, up):
    """Whether most readings of a stage lie past the limit: one of many may do so by chance."""
    stages = defaultdict(list)
    for one in readings:
        stages[one.cuts].append(_surely_past(one, limit, up))
    return any(2 * sum(past) > len(past) for past in stages.values())


def _surely_past(reading, limit, up):
    """Whether a reading, or all between its bounds, lies past the limit."""
    if isfinite(reading.value):
        return reading.value > limit if up else reading.value < limit
    return reading.lower >= limit if up else reading.upper <= limit


def told_past_limit(doubts, blades):
    """The doubts; of a blade that was read past the limit none says that it was stopped before.

    Parameters
    ----------
    doubts : sequence of Doubt
    blades : frozenset of str
        Of `blades_past_limit`.

    Returns
    -------
    tuple of Doubt
    """
    return tuple(
        dict.fromkeys(
            doubt(PASSED, where=replace(one.where, stage=None, value=None))
            if one.code in STOPPED and one.where.blade in blades
            else one
            for one in doubts
        )
    )


def fit_past_limit(fit, blades):
    """The wear curves, their blades' doubts told so."""
    each = (replace(one, doubts=told_past_limit(one.doubts, blades)) for one in fit.blades)
    return replace(fit, blades=tuple(each))


def compared_past_limit(compared, blades):
    """What is compared, its doubts and those of its comparison told so."""
    found = compared.comparison
    if found is not None:
        found = replace(found, doubts=told_past_limit(found.doubts, blades))
    return replace(compared, comparison=found, doubts=told_past_limit(compared.doubts, blades))
