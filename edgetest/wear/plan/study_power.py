"""How often would the comparison show a true ratio of lives, for the runs that are planned?

The analysis is `compare_lives` itself. Where its interval is a least-squares t on these runs,
which three sets of made-up lives tell, the chance is exact (noncentral t); else studies are
simulated and handed to it (`one_ratio`: the same interval without what goes with it).
"""

from collections import Counter
from dataclasses import dataclass, replace
from math import inf, log, sqrt

import numpy as np
from scipy.special import chdtri, ndtr

from edgetest.errors import UnusableInput
from edgetest.stats.power import EXACT, Power, noncentral_power, power_by_count, power_by_width
from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.compare.one_ratio import one_ratio
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.curve.curve_lives import REACH
from edgetest.wear.plan.planned_runs import CONTROL, PlannedRuns

# Share of lives beyond reach below which a plan counts all lives as known; own choice.
SELDOM_BEYOND = 0.025
PROBES = 3
UNSAID = "no comparison of heat treatments"


@dataclass(frozen=True)
class LifeScatter:
    """Standard deviations of log life, natural logs.

    Attributes
    ----------
    blades : float
        Between blades of one heat treatment and batch that run once under one roll, readings
        left out.
    readings : float
        Of one run's life, from its readings.
    blocks : float
        Between rolls, boards or days.
    runs : float, optional
        Between runs of one blade under one roll, a part of `blades`; default: half of its
        variance.
    batches : float
        Between quench or temper batches of one heat treatment; 0 where it is a part of `blades`.
    """

    blades: float
    readings: float = 0.0
    blocks: float = 0.15
    runs: float | None = None
    batches: float = 0.0

    @property
    def again(self):
        """Scatter between runs of one blade."""
        return self.blades / sqrt(2) if self.runs is None else min(self.runs, self.blades)

    @property
    def apart(self):
        """Scatter between blades of one heat treatment that share no batch."""
        return float(np.hypot(self.blades, self.batches))

    def times(self, share):
        """So many times the scatter of blades, runs and batches; readings and rolls stay."""
        runs = None if self.runs is None else self.runs * share
        return replace(self, blades=self.blades * share, runs=runs, batches=self.batches * share)

    @property
    def total(self):
        """The same, readings included."""
        return float(np.hypot(self.apart, self.readings))


@dataclass(frozen=True)
class LifeSeen:
    """How a life comes to be known: from readings to the last stage, or from checks.

    Attributes
    ----------
    life : float
        Cuts that a blade of the reference is thought to last.
    last : float
        Cuts at the last stage; a life beyond `REACH` times it is only a least life.
    checks : tuple of float
        Stages of pass or fail checks or grades: a life is known to lie between two of them.
    """

    life: float = 1.0
    last: float = inf
    checks: tuple[float, ...] = ()

    def ends(self, log_life):
        """Ends of the log lives as the study would know them."""
        if self.checks:
            stages = np.unique(np.r_[0.0, self.checks])
            with np.errstate(divide="ignore"):
                edges = np.r_[np.log(stages), inf]
            place = np.searchsorted(edges, log_life)  # passes at edges[place - 1]
            return edges[place - 1], edges[place]
        beyond = log_life > log(REACH * self.last) if self.last < inf else np.zeros(1, bool)
        return np.where(beyond, log(min(self.last, 1e300)), log_life), np.where(
            beyond, inf, log_life
        )

    def all_known(self, ratio, scatter):
        """Whether next to no life is a bound or an interval."""
        if self.checks:
            return False
        longest = log(self.life) + max(log(ratio), 0.0)
        spread = float(np.hypot(scatter.total, scatter.blocks))
        room = (log(REACH * self.last) - longest) if self.last < inf else inf
        return bool(ndtr(-room / max(spread, 1e-9)) < SELDOM_BEYOND)


KNOWN = LifeSeen()


@dataclass(frozen=True)
class Interval:
    """The comparison's interval of the log ratio of second over first."""

    middle: float
    low: float
    high: float
    df: float | None
    method: str


def interval_of(runs, ends, se, *, level):
    """The interval that `compare_lives` gives lives of the planned runs.

    Parameters
    ----------
    runs : PlannedRuns
        Its first heat treatment is the reference, its second the one compared.
    ends : (array_like, array_like), shapes (runs,)
        Ends of each log life.
    se : float
        Standard uncertainty of each log life.
    level : float

    Returns
    -------
    Interval or None
        None where nothing is said of heat treatments, but of blades or batches alone.
    """
    first, second = runs.names[:2]
    lives = BladeLives(
        blade=runs.blade,
        treatment=runs.treatment,
        log_low=ends[0],
        log_high=ends[1],
        log_life_se=[se] * len(runs.blade) if se > 0 else None,
        batch=runs.batch,
        block=runs.block if runs.blocks > 1 else None,
    )
    asked = ComparisonOptions(control=runs.control, reference=first, level=level)
    try:
        ratio, speaks_of = one_ratio(lives, second, asked)
    except UnusableInput:  # a whole heat treatment without a life, or no second one left
        return None
    if speaks_of in ("blades", "batches"):
        return None
    with np.errstate(divide="ignore"):
        middle, low, high = np.log([ratio.estimate, ratio.low, ratio.high]).tolist()
    return Interval(middle, low, high, ratio.df, ratio.method)


@dataclass(frozen=True)
class ExactT:
    """A comparison that is a least-squares t: its df, multiple of the stderr, and method."""

    df: float
    unscaled: float  # variance of the difference over that of one life
    critical: float
    method: str

    def chances(self, shift, sd):
        """Chances to show a true log ratio `shift` at scatters `sd`, on the right side."""
        return noncentral_power(shift / (sd * sqrt(self.unscaled)), self.df, self.critical)

    def power(self, shift, sd):
        """The chance at one scatter, and how far the interval then reaches."""
        seen = sd * sqrt(chdtri(self.df, 0.5) / self.df)  # median of the scatter that is seen
        half = self.critical * sqrt(self.unscaled) * seen
        return Power(float(self.chances(shift, sd)), 0.0, EXACT, self.df, self.method, half)


def exact_t(runs, rng, *, level=0.95):
    """Whether the comparison of these runs is a least-squares t, and which one.

    Made-up lives are given to `compare_lives` and to least squares on heat treatment and
    block; where both agree to all digits, the power follows the noncentral t.

    Parameters
    ----------
    runs : PlannedRuns
    rng : numpy.random.Generator
    level : float

    Returns
    -------
    ExactT or None
    """
    own = runs.treatment != CONTROL
    if len(set(runs.blade[own].tolist())) < own.sum():
        return None  # blades cut again: a run is no replicate
    if runs.batch is not None and len(set(runs.batch[own].tolist())) < own.sum():
        return None  # batches that hold several blades: a blade is no replicate
    design, contrast = _least_squares(runs, own)
    df = int(own.sum()) - np.linalg.matrix_rank(design)
    if df < 1 or np.linalg.matrix_rank(design) < design.shape[1]:
        return None
    inverse = np.linalg.inv(design.T @ design)
    unscaled = float(contrast @ inverse @ contrast)
    multiples = []
    for _ in range(PROBES):
        log_life = 5 + 0.1 * rng.standard_normal(len(own))
        found = interval_of(runs, (log_life, log_life), 0.0, level=level)
        params = inverse @ (design.T @ log_life[own])
        residual = log_life[own] - design @ params
        stderr = sqrt(unscaled * float(residual @ residual) / df)
        if found is None or found.df != df or abs(found.middle - contrast @ params) > 1e-7:
            return None
        multiples.append((found.high - found.low) / 2 / stderr)
    if np.ptp(multiples) > 1e-6 * multiples[0]:
        return None
    return ExactT(float(df), unscaled, multiples[0], found.method)


def _least_squares(runs, own):
    """Design of heat treatments and blocks, and the contrast of the second with the first."""
    treatment = np.array([runs.names.index(t) for t in runs.treatment[own].tolist()])
    _, block = np.unique(runs.block[own], return_inverse=True)
    columns = [np.eye(len(runs.names))[treatment], np.eye(block.max() + 1)[block][:, 1:]]
    design = np.hstack(columns)
    contrast = np.zeros(design.shape[1])
    contrast[:2] = -1.0, 1.0
    return design, contrast


def power_of(runs, ratio, scatter, rng, *, seen=KNOWN, level=0.95, studies=400, step=None):
    """Chance that the comparison of the planned runs shows a true ratio of lives.

    Parameters
    ----------
    runs : PlannedRuns
        Its second heat treatment lasts `ratio` times as long as all others.
    ratio : float
        True ratio of lives, above 0.
    scatter : LifeScatter
    rng : numpy.random.Generator
    seen : LifeSeen
        How the lives come to be known.
    level : float
        Of the interval that is to leave out 1.
    studies : int
        Simulated ones, where the chance is not exact.
    step : callable(), optional
        Called after each simulated study.

    Returns
    -------
    Power
        With several heat treatments, of the interval adjusted for all that are held
        against the reference.
    """
    known = seen.all_known(ratio, scatter)
    if known:  # a bound or two among them could carry a study's estimate off to 0 or inf
        seen = LifeSeen(seen.life)
    exact = exact_t(runs, rng, level=level) if known else None
    if exact is not None:
        return exact.power(log(ratio), scatter.total)
    simulate = _simulate_known if known else _simulate_seen
    study = Simulated(runs, log(ratio), scatter, seen, level)
    return simulate(study, rng, studies, step)


@dataclass(frozen=True)
class Simulated:
    """What is simulated: the runs, the true log ratio, the scatter, and how lives are seen."""

    runs: PlannedRuns
    shift: float
    scatter: LifeScatter
    seen: LifeSeen
    level: float

    def interval(self, rng, *, shift):
        """The answer of one study with a true log ratio `shift`."""
        log_life = log(self.seen.life) + log_lives(self.runs, shift, self.scatter, rng)
        return interval_of(
            self.runs, self.seen.ends(log_life), self.scatter.readings, level=self.level
        )


def log_lives(runs, shift, scatter, rng):
    """Log lives of one study of the planned runs, about 0; those of the second lie higher.

    Blades, batches, runs, rolls and readings each add a normal deviation of their own.
    """
    _, blade = np.unique(runs.blade, return_inverse=True)
    _, block = np.unique(runs.block, return_inverse=True)
    own = np.where(runs.treatment == CONTROL, 0.0, sqrt(scatter.blades**2 - scatter.again**2))
    each = np.hypot(scatter.again, scatter.readings)
    of_batch = np.zeros(len(blade))
    if scatter.batches > 0:
        _, batch = np.unique(runs.blade if runs.batch is None else runs.batch, return_inverse=True)
        lucky = scatter.batches * rng.standard_normal(batch.max() + 1)[batch]
        of_batch = np.where(runs.treatment == CONTROL, 0.0, lucky)
    return (
        shift * (runs.treatment == runs.names[1])
        + of_batch
        + own * rng.standard_normal(blade.max() + 1)[blade]
        + scatter.blocks * rng.standard_normal(block.max() + 1)[block] * (block.max() > 0)
        + each * rng.standard_normal(len(blade))
    )


def _simulate_known(study, rng, studies, step):
    """Power where lives are known numbers.

    Moving a heat treatment's lives moves the estimate and leaves the interval's width, so
    studies without a difference tell of every difference.
    """
    middles, halves, method = np.full(studies, np.nan), np.full(studies, inf), UNSAID
    for i in range(studies):
        found = study.interval(rng, shift=0.0)
        if found is not None:
            middles[i], halves[i] = found.middle, (found.high - found.low) / 2
            method = found.method
        if step:
            step()
    return power_by_width(middles, halves, study.shift, method=method)


def _simulate_seen(study, rng, studies, step):
    """Power where some lives are bounds or intervals: studies that leave out 1, counted."""
    shown, methods = np.zeros(studies, dtype=bool), Counter[str]()
    for i in range(studies):
        found = study.interval(rng, shift=study.shift)
        if found is not None:
            shown[i] = found.low > 0 if study.shift > 0 else found.high < 0
            methods[found.method] += 1
        if step:
            step()
    method = methods.most_common(1)[0][0] if methods else UNSAID
    return power_by_count(shown, method=method)
