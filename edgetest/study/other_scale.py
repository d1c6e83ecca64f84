"""Which blade reads the same factor off all others at every stage, as one typed in another unit?"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log
from statistics import median
from typing import Any

# All our choice. Invented honest tests whose fresh edges and lives both scatter by a factor 1.65 (a
# standard deviation), one heat treatment lasting three times as long, are asked in under 1 of 1000.
FAR = 5.0  # times, in the middle of the stages; blades at equal cuts differ by a factor 3 at most
EACH = 2.5  # times, at every stage: an edge that was left coarse or keen converges below it
NEAREST = 2.0  # times, off the nearest of the other blades
SAME = 4.0  # times, between the largest factor and the least: a loupe's divisions are coarse
WORN = 1.5  # times, that the others change meanwhile: unworn, one finer edge would do the same
LEAST_OTHERS = 2  # blades; of two nobody knows which is right


@dataclass(frozen=True)
class OddRun:
    """A run whose readings all lie about one factor off the others'."""

    run: Any
    factor: float  # below 1 where it reads less
    stages: int

    @property
    def words(self):
        """The factor as one says it: "1/20", "25 times"."""
        much = self.factor if self.factor > 1 else 1 / self.factor
        shown = f"{float(f'{much:.2g}'):g}"
        return f"{shown} times" if self.factor > 1 else f"1/{shown}"


def odd_runs(readings: Iterable[tuple[Any, str, float, float]]) -> tuple[OddRun, ...]:
    """The runs that read about the same factor off all others, the fresh edge too.

    Parameters
    ----------
    readings : iterable of (hashable, str, float, float)
        Run, its blade, the cuts and the reading; those not above 0 are passed over.

    Returns
    -------
    tuple of OddRun
        Empty where they would be half of the blades or more: nobody knows then which are right.
    """
    values, blade_of = _by_run(readings)
    far = _far_when_fresh(values, blade_of)
    if not far:
        return ()
    middle = {
        run: {cuts: median(here) for cuts, here in stages.items()} for run, stages in values.items()
    }
    found = {}
    for run in far:
        others = [each for name, each in middle.items() if blade_of[name] != blade_of[run]]
        if odd := _odd(run, middle[run], others):
            found[run] = odd
    blades = {blade_of[run] for run in found}
    if 2 * len(blades) >= len(set(blade_of.values())):
        return ()
    usual = [each for name, each in middle.items() if blade_of[name] not in blades]
    return tuple(odd for run, odd in found.items() if _apart(middle[run], usual))


def _far_when_fresh(
    values: dict[Any, dict[float, list[float]]], blade_of: dict[Any, str]
) -> list[Any]:
    """The runs whose fresh edge may read far off the others'."""
    first = min((min(stages) for stages in values.values()), default=0.0)
    fresh = {run: median(stages[first]) for run, stages in values.items() if first in stages}
    runs_of, ordered = Counter(blade_of[run] for run in fresh), sorted(fresh.values())
    return [
        run for run, value in fresh.items() if not _usual(value, ordered, runs_of[blade_of[run]])
    ]


def _usual(value: float, ordered: Sequence[float], own: int) -> bool:
    """Whether a value is not far off the median of others, whichever `own` of all are left out.

    That median lies between two of the ordered values: without a run of its own no list is made
    for each, and the work grows with the rows alone.
    """
    low = ordered[max((len(ordered) - own - 1) // 2, 0)]
    high = ordered[min((len(ordered) - own) // 2 + own, len(ordered) - 1)]
    return max(value / low, high / value) < EACH


def _by_run(
    readings: Iterable[tuple[Any, str, float, float]],
) -> tuple[dict[Any, dict[float, list[float]]], dict[Any, str]]:
    """The readings of every run by their cuts, and the blade of every run."""
    values: dict[Any, dict[float, list[float]]] = defaultdict(lambda: defaultdict(list))
    blade_of: dict[Any, str] = {}
    for run, blade, cuts, value in readings:
        if value > 0:
            values[run][cuts].append(value)
            blade_of[run] = blade
    return values, blade_of


def _odd(
    run: Any, stages: dict[float, float], others: Sequence[dict[float, float]]
) -> OddRun | None:
    """What is found of one run beside the others; None where it is as blades are."""
    off, usual = [], []
    for cuts in sorted(stages):
        here = [other[cuts] for other in others if cuts in other]
        if len(here) >= LEAST_OTHERS:
            usual.append(median(here))
            off.append(log(stages[cuts] / usual[-1]))
        elif not usual:
            return None  # the fresh edge stands alone
    if len(off) < 2 or abs(log(usual[-1] / usual[0])) < log(WORN):
        return None
    way = 1 if off[0] > 0 else -1
    least, most = sorted((way * min(off), way * max(off)))
    if least < log(EACH) or most - least > log(SAME) or median(map(abs, off)) < log(FAR):
        return None
    return OddRun(run, exp(median(off)), len(off))


def _apart(stages: dict[float, float], usual: Sequence[dict[float, float]]) -> bool:
    """Whether a run lies off the nearest of the usual ones too, at every stage they share."""
    for cuts, value in stages.items():
        near = [abs(log(value / other[cuts])) for other in usual if cuts in other]
        if near and min(near) < log(NEAREST):
            return False
    return True
