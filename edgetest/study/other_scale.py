"""Which blade reads the same factor off all others at every stage, as one typed in another unit?"""

from collections import defaultdict
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
    middle, blade_of = _middles(readings)
    first = min((min(stages) for stages in middle.values()), default=0.0)
    found = {}
    for run, stages in middle.items():
        others = [each for name, each in middle.items() if blade_of[name] != blade_of[run]]
        if min(stages) == first and (odd := _odd(run, stages, others)):
            found[run] = odd
    blades = {blade_of[run] for run in found}
    if 2 * len(blades) >= len(set(blade_of.values())):
        return ()
    usual = [each for name, each in middle.items() if blade_of[name] not in blades]
    return tuple(odd for run, odd in found.items() if _apart(middle[run], usual))


def _middles(
    readings: Iterable[tuple[Any, str, float, float]],
) -> tuple[dict[Any, dict[float, float]], dict[Any, str]]:
    """The median reading of every run by its cuts, and the blade of every run."""
    values: dict[Any, dict[float, list[float]]] = defaultdict(lambda: defaultdict(list))
    blade_of: dict[Any, str] = {}
    for run, blade, cuts, value in readings:
        if value > 0:
            values[run][cuts].append(value)
            blade_of[run] = blade
    return {
        run: {cuts: median(here) for cuts, here in stages.items()} for run, stages in values.items()
    }, blade_of


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
