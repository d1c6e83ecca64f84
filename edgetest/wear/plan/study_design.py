"""How many blades, stages, stations and readings a difference worth knowing takes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import log, sqrt

import numpy as np

from edgetest.wear.plan.beside_own import beside_own, own_of_bench, with_blades
from edgetest.wear.plan.design_result import (
    Curve,
    InBatches,
    Option,
    Otherwise,
    PlanWords,
    StudyPlan,
)
from edgetest.wear.plan.expected_wear import ExpectedWear, stage_se
from edgetest.wear.plan.planned_runs import (
    Bench,
    PlannedRuns,
    each_in,
    even_blocks,
    evenly_in,
    runs_with,
)
from edgetest.wear.plan.pooled_blades import MOST_BLADES, blades_by_curve, blades_to_tell
from edgetest.wear.plan.scatter_known import ScatterKnown, averaged, scatter_ends, scatter_nodes
from edgetest.wear.plan.study_power import KNOWN, UNSAID, LifeScatter, LifeSeen, exact_t, power_of

CURVE = tuple(range(2, 13))
SIMULATED_CURVE = (2, 3, 4, 5, 6, 8, 10, 12)
# Studies simulated a number of blades: a standard error of 1 to 2 points where lives are
# known (each one's chance given its width), 3 where studies are counted.
STUDIES, STUDIES_OWN = 150, 600
LIVES = PlanWords()
FEW_BATCHES = (2, 3)  # of each heat treatment, told where nobody named a batch
TIMES = (1, 2)  # that each blade may be cut, once in each block: told beside the study's own way
# Scatters that chances are averaged over where few degrees of freedom tell it; those of the
# study's own runs are simulated at fewer.
SCATTERS, SCATTERS_OWN = 40, 12
MOST_STUDIES = (len(SIMULATED_CURVE) + len(FEW_BATCHES) + len(TIMES)) * STUDIES + 2 * STUDIES_OWN


@dataclass(frozen=True)
class Goal:
    """What the test is to show: a true ratio, by what chance, at which level."""

    ratio: float = 1.25
    power: float = 0.8
    level: float = 0.95


@dataclass(frozen=True)
class Sampling:
    """Where and how often one blade is read.

    Attributes
    ----------
    cuts : array_like, shape (stages,)
        Stages at which the edge is read, cumulative cuts.
    stations : int
        Places along the edge at a stage.
    repeats : int
        Readings at each of them.
    """

    cuts: Sequence[float]
    stations: int = 3
    repeats: int = 1


@dataclass(frozen=True)
class Expected:
    """What is believed of blades, readings and rolls before a study.

    Attributes
    ----------
    scatter : LifeScatter
        Its `readings` are worked out from `wear` where that is given.
    wear : ExpectedWear, optional
        None where lives are not got from a curve: checks, grades, lives as typed.
    seen : LifeSeen
    sd_df : float, optional
        Degrees of freedom behind `scatter.blades` (history): chances are averaged over it.
    """

    scatter: LifeScatter
    wear: ExpectedWear | None = None
    seen: LifeSeen = KNOWN
    sd_df: float | None = None


@dataclass(frozen=True)
class PlannedLayout:
    """How the test is laid out: for any number of blades, and the study's own runs."""

    bench: Bench = field(default_factory=Bench)
    own: PlannedRuns | None = None


@dataclass
class _Search:
    """Chances of one layout at one goal, each worked out once."""

    goal: Goal
    layout: PlannedLayout
    expected: Expected
    rng: np.random.Generator
    step: Callable | None = None
    exact: dict = field(default_factory=dict)

    def exact_at(self, n):
        """The exact t with n blades of each, None where there is none."""
        if n not in self.exact:
            runs = runs_with(self.layout.bench, n)
            self.exact[n] = exact_t(runs, self.rng, level=self.goal.level)
        return self.exact[n]

    @cached_property
    def by_formula(self):
        """Whether lives and layout are such that the chance is exact."""
        known = self.expected.seen.all_known(self.goal.ratio, self.expected.scatter)
        return known and self.exact_at(4) is not None

    @cached_property
    def curve(self):
        """Chances by the number of blades."""
        numbers = CURVE if self.by_formula else SIMULATED_CURVE
        return Curve(numbers, tuple(self._power(runs_with(self.layout.bench, n)) for n in numbers))

    def _power(self, runs, studies=None, scatter=None):
        return power_of(
            runs,
            self.goal.ratio,
            scatter or self.expected.scatter,
            self.rng,
            seen=self.expected.seen,
            level=self.goal.level,
            studies=studies or STUDIES,
            step=self.step,
        )

    @cached_property
    def own(self):
        """The chance of the study's own runs, None where it has none."""
        return None if self.layout.own is None else self._power(self.layout.own, STUDIES_OWN)

    @cached_property
    def own_alike(self):
        """How many of each the own runs have, where they are laid out as the bench; else None."""
        return None if self.by_formula else own_of_bench(self.layout.bench, self.layout.own)

    @cached_property
    def told(self):
        """The chances by number, those of the study's own runs among them where alike."""
        curve = self.curve  # before the own runs: which of both is first decides what is drawn
        if self.own_alike is None or self.own.method == UNSAID:
            return curve
        return Curve((*curve.blades, self.own_alike), (*curve.powers, self.own))

    def own_averaged(self):
        """The same chance averaged over the scatter; None where the own runs tell nothing."""
        own, scatter = self.layout.own, self.expected.scatter
        if own is None or min(own.blades) < 2:
            return None
        each = max(STUDIES_OWN // SCATTERS_OWN, 1)
        shares = scatter_nodes(self.expected.sd_df, SCATTERS_OWN).tolist()
        powers = [self._power(own, each, scatter.times(share)) for share in shares]
        return None if powers[0].method == UNSAID else averaged(powers)

    def otherwise(self, found):
        """The chances of the study's own blades laid out in other ways; `found` is their own."""
        own, again = self.layout.own, self.layout.bench.runs
        if own is None or found is None or min(own.blades) < 2 or found.method == UNSAID:
            return ()
        others = [times for times in TIMES if not times == again == own.blocks]
        named = own.batch is not None and own.blocks > 1
        return tuple(
            Otherwise(times, self._power(each_in(own, times)), named and times == 1)
            for times in others
        )

    def even(self, otherwise):
        """The chances of the own blades over numbers of blocks that they divide over.

        Of runs that divide already there are none; in one block it is that of `otherwise`.
        """
        own = self.layout.own
        numbers = () if own is None or min(own.blades) < 2 else even_blocks(own)
        one = {each.times: each.power for each in otherwise if each.times == 1}
        return (one if 1 in numbers else {}) | {
            n: self._power(evenly_in(own, n)) for n in numbers if n > 1
        }

    def in_batches(self, blades):
        """The chance of so many blades in few batches, where their batches are not named."""
        if not blades or (self.layout.own is not None and self.layout.own.batch is not None):
            return ()
        told = ((n, runs_with(self.layout.bench, blades, n)) for n in FEW_BATCHES if n < blades)
        return tuple(InBatches(blades, n, self._power(runs)) for n, runs in told)

    def blades(self, sd):
        """Blades of each heat treatment for the chance wished for; None beyond reach.

        Of several scatters `sd` the chances are averaged.
        """
        goal = self.goal
        if not self.by_formula:
            middle = self.expected.scatter.total
            found = blades_by_curve(goal, self.told, middle, sd)
            if self.own_alike and np.ndim(sd) == 0 and np.isclose(sd, middle):
                return beside_own(found, self.own_alike, self.own, goal.power)
            return found

        def short(n):
            exact = self.exact_at(n)
            shift = log(goal.ratio)
            return exact is None or exact.chances(shift, np.asarray(sd)).mean() < goal.power

        low, high = 1, 2
        while short(high):
            if high >= MOST_BLADES:
                return None
            low, high = high, min(2 * high, MOST_BLADES)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if short(middle) else (low, middle)
        return high


def plan_study(goal, layout, sampling, expected, rng, *, words=LIVES, step=None):
    """Plan a comparison of heat treatments, by the analysis that will compare them.

    Parameters
    ----------
    goal : Goal
    layout : PlannedLayout
    sampling : Sampling
    expected : Expected
    rng : numpy.random.Generator
        Of the made-up lives that tell the analysis, and of simulated studies.
    words : PlanWords
    step : callable(), optional
        Called after each simulated study; there are at most `MOST_STUDIES`.

    Returns
    -------
    StudyPlan

    Raises
    ------
    UnusableInput
        A ratio of 1 or not above 0, a scatter not above 0, a power not between level's error
        and 1, a limit that the law does not reach.
    """
    blades_to_tell(goal.ratio, expected.scatter.blades, power=goal.power, level=goal.level)
    expected = replace(expected, scatter=_with_readings(sampling, expected))
    search = _Search(goal, layout, expected, rng, step)
    chosen = _option(search, sampling)
    own = layout.own.blades if layout.own else ()
    few = min(own, default=0)
    found = StudyPlan(
        ratio=float(goal.ratio),
        power=goal.power,
        level=goal.level,
        sd_blades=expected.scatter.apart,
        chosen=chosen,
        curve=search.curve,
        options=tuple(dict.fromkeys([chosen, *_other_ways(search, sampling)])),
        as_planned=search.own,
        blades_planned=own,
        treatments=layout.bench.treatments,
        words=words,
        batches_planned=layout.own.batches if layout.own else (),
        in_batches=search.in_batches(few if few > 1 else chosen.blades),
        sd_batches=expected.scatter.batches or None,
    )
    # After all else: another way to lay it out leaves every other number as it was drawn.
    found = replace(found, otherwise=search.otherwise(found.as_planned))
    even, known = search.even(found.otherwise), _known(search, chosen.reading_se)
    found = replace(found, known=known, even=even)
    held = beside_own(chosen.blades, search.own_alike, known and known.own, goal.power)
    return found if held == chosen.blades else with_blades(found, held)


def _known(search, reading_se):
    """How surely the scatter is known; None where nobody says."""
    df, apart = search.expected.sd_df, search.expected.scatter.apart
    if not df:
        return None
    low, high = (apart * scatter_ends(df)).tolist()
    middle, least, most = (
        search.blades(float(np.hypot(sd, reading_se))) for sd in (apart, low, high)
    )
    own = search.own_averaged()
    return ScatterKnown(float(df), apart, low, high, middle, least, most, own)


def _with_readings(sampling, expected):
    """The scatter with what the readings at these stages and stations add."""
    if expected.wear is None:
        return expected.scatter
    cv = expected.wear.reading_cv / sqrt(sampling.stations * sampling.repeats)
    se = stage_se(np.asarray(sampling.cuts, float), replace(expected.wear, reading_cv=cv))
    return replace(expected.scatter, readings=float(se))


def _option(search, sampling):
    """What one way to read a blade needs."""
    scatter = _with_readings(sampling, search.expected)
    sd, df = scatter.total, search.expected.sd_df
    if df:
        sd = np.hypot(scatter.apart * scatter_nodes(df, SCATTERS), scatter.readings)
    blades, bench = search.blades(sd), search.layout.bench
    a_blade = len(sampling.cuts) * sampling.stations * sampling.repeats * bench.runs
    return Option(
        stages=len(sampling.cuts),
        stations=sampling.stations,
        repeats=sampling.repeats,
        reading_se=scatter.readings,
        sd_log_life=scatter.total,
        blades=blades,
        readings=bench.treatments * blades * a_blade if blades else None,
    )


def _other_ways(search, sampling):
    """Fewer and more stations, and half of the stages; none where no curve is read."""
    if search.expected.wear is None:
        return
    stations = sampling.stations
    for other in sorted({max(1, stations // 2), 2 * stations, 3 * stations}):
        yield _option(search, replace(sampling, stations=other))
    cuts = np.asarray(sampling.cuts)
    half = np.unique(np.r_[cuts[::2], cuts[-1]])
    if len(half) >= 4:
        yield _option(search, replace(sampling, cuts=tuple(half.tolist())))
