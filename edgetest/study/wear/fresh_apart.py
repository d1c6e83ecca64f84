"""Which run began with an edge that no edge sharpened like the others' has?"""

from collections import defaultdict
from dataclasses import dataclass
from math import exp, hypot, isfinite, log

import numpy as np
from scipy.special import stdtr, stdtrit

from edgetest.doubts import Where, doubt
from edgetest.study.wear.choice import FRESH_APART, OTHER_SCALE
from edgetest.wear.curve.reading_step import reading_step

CHANCE = 0.01  # that edges sharpened alike are told apart, over all runs of a log. Our choice
LEAST_RUNS = 5  # with a fresh reading: among fewer no edge is plainly the odd one. Our choice
LEAST_OFF = 1.25  # times: a smaller difference moves no life that a maker acts on. Our choice
ALIKE = 0.05  # spread of edges sharpened alike, as a logarithm, at the least. Our choice


@dataclass(frozen=True)
class OddEdge:
    """A run whose fresh edge reads so many times the others', with its 95 % interval."""

    run: str
    ratio: float
    low: float
    high: float


def odd_edges(fresh, step=0.0):
    """The run whose fresh edge lies apart from all others by Grubbs' test, at 1 %; then the next.

    Parameters
    ----------
    fresh : mapping of run to sequence of float
        Readings of the fresh edge, above 0.
    step : float
        Of the scale that they were read on, in their unit; 0.0 where it is finer.

    Returns
    -------
    list of OddEdge
        The oddest first; none among fewer than five runs, and at most a quarter of all runs.

    References
    ----------
    .. [1] F. E. Grubbs, "Procedures for detecting outlying observations in samples",
       Technometrics 11 (1969), 1-21; from memory. Here of the logarithms, each run against the
       mean and spread of the others.
    """
    middle = {run: float(np.mean(np.log(values))) for run, values in fresh.items() if len(values)}
    found: list[OddEdge] = []
    most = len(middle) // 4
    while len(found) < most and len(middle) >= LEAST_RUNS:
        odd = _oddest(middle, step)
        if odd is None:
            break
        found.append(odd)
        del middle[odd.run]
    return found


def _oddest(middle, step):
    """The run that lies furthest off the others, where chance seldom puts one there."""
    n, seen = len(middle), []
    for run, own in middle.items():
        others = np.array([value for name, value in middle.items() if name != run])
        usual = float(others.mean())
        # Half a step of the scale moves a mark by so much; a rectangular error.
        of_step = step / np.sqrt(12) / exp(min(usual, own)) if step else 0.0
        spread = max(float(others.std(ddof=1)), hypot(ALIKE, of_step))
        u = spread * np.sqrt(1 + 1 / (n - 1))
        seen.append((abs(own - usual) / u, run, own - usual, u))
    far, run, off, u = max(seen)
    if n * 2 * stdtr(n - 2, -far) >= CHANCE or abs(off) < log(LEAST_OFF):
        return None
    reach = float(stdtrit(n - 2, 0.975)) * u
    return OddEdge(run, exp(off), exp(off - reach), exp(off + reach))


def fresh_apart_doubts(readings, told=()):
    """A doubt about each run whose fresh edge lies apart from the others'.

    Parameters
    ----------
    readings : sequence of UsedReading
    told : sequence of Doubt
        Of the same readings: a run of another scale is not named once more.

    Returns
    -------
    list of Doubt
    """
    other = {one.where.blade for one in told if one.code == OTHER_SCALE}
    fresh: dict[str, list[float]] = defaultdict(list)
    for one in readings:
        counts = isfinite(one.value) and one.value > 0 and not one.excluded
        if one.cuts == 0 and counts and one.run not in other:
            fresh[one.run].append(one.value)
    step = reading_step([one.value for one in readings if not one.excluded])
    return [
        doubt(
            FRESH_APART, where=Where(blade=odd.run, value=odd.ratio), blade=odd.run,
            times=f"{odd.ratio:.2g}", low=f"{odd.low:.2g}", high=f"{odd.high:.2g}",
        )
        for odd in odd_edges(fresh, step)
    ]  # fmt: skip
