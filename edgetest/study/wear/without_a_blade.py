"""Is the answer one blade's? Each blade that could carry it is left out (a jackknife)."""

from dataclasses import dataclass, replace
from math import inf, log, sqrt

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.study.wear.alternative_answers import Alternative, Finding, finding_of
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.comparison_result import Comparison, exp_or_open
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.compare.verdict_on_ratio import verdict_between

LEAST_BLADES = 4  # of a heat treatment: three remain, fewer would say little without the fourth


@dataclass(frozen=True)
class Answered:
    """An answer and what it was made from: the lives, and the options of their comparison."""

    comparison: Comparison
    lives: BladeLives
    options: object

    def again(self, lives):
        """The comparison of other lives by the same options."""
        return compare_lives(lives, self.options)


def without_blades(answered):
    """Blades without which the verdict is another one.

    The scatter and the degrees of freedom stay those of all blades: a blade is left out of
    the means alone. Judged by the rest's own scatter, more than a quarter of true answers of
    four blades a side would seem to hang on one blade (the guide on comparing has the table).
    An answer that cannot tell is not made into a claim in this way.

    Parameters
    ----------
    answered : Answered

    Returns
    -------
    list of Alternative
    """
    comparison = answered.comparison
    given = finding_of(comparison)
    if comparison.scope == "blades" or given.verdict == "cannot_tell":
        return []
    found = []
    for blade, own, other in _candidates(answered, given):
        finding = _without(answered, given, blade, own, other)
        if finding.verdict != given.verdict:
            about = doubt("blade_decides", where=Where(blade=blade))
            found.append(Alternative("one blade", given, finding, about))
    return found


def _candidates(answered, given):
    """The outermost blades of the two heat treatments on the sides that carry the verdict."""
    groups = {group.treatment: group for group in answered.comparison.groups}
    first, second = groups[given.first], groups[given.second]
    sides = {"longer": ((first, min), (second, max)), "shorter": ((first, max), (second, min))}
    both = [(group, end) for group in (first, second) for end in (min, max)]
    for group, end in sides.get(given.verdict, both):
        if group.replicates >= LEAST_BLADES:
            other = second if group is first else first
            yield end(group.blades, key=_life_of(answered.lives)), group, other


def _life_of(lives):
    """Mean log life of a blade, a bound at its finite end."""
    low, high = (np.asarray(ends, dtype=float) for ends in (lives.log_low, lives.log_high))
    middle = np.where(np.isinf(low), high, np.where(np.isinf(high), low, (low + high) / 2))
    blades = np.asarray(lives.blade)
    return lambda blade: float(np.nanmean(middle[blades == blade]))


def _without(answered, given, blade, own, other):
    """The finding without a blade, by the scatter of all of them."""
    there = answered.again(taken(answered.lives, np.asarray(answered.lives.blade) != blade))
    without = finding_of(there, given.first, given.second) or finding_of(there)
    practical = answered.comparison.practical
    less, full = (1 / n + 1 / other.replicates for n in (own.replicates - 1, own.replicates))
    middle, was, wider = log(without.ratio.estimate), log(given.ratio.estimate), sqrt(less / full)

    def ends(low, high):
        return middle - wider * (was - _log(low)), middle + wider * (_log(high) - was)

    wide = ends(given.ratio.low, given.ratio.high)
    narrow = ends(practical.low, practical.high)
    low, high = exp_or_open(*wide)
    ratio = replace(given.ratio, estimate=without.ratio.estimate, low=low, high=high)
    edge = 1 + practical.margin
    verdict = verdict_between(wide, narrow, practical.margin)
    return Finding(given.first, given.second, ratio, verdict, low > edge or high < 1 / edge)


def _log(number):
    """Natural log, of an open end too."""
    return log(number) if 0 < number < inf else (inf if number > 0 else -inf)


def taken(lives, rows):
    """The lives of the rows marked."""

    def part(column):
        if column is None or np.ndim(column) == 0:
            return column
        return np.asarray(column)[rows]

    return replace(lives, **{name: part(column) for name, column in vars(lives).items()})
