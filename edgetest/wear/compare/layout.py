"""How a study's replicates are laid out, and the contrast that its layout calls for.

The design chooses the interval of the ratio of lives, never a look at the scatter first, which
lowers its coverage (own choice, no source; tests/benchmarks/comparison_coverage.py):

    equal numbers                      pooled t: one scatter from all blades
    unequal numbers, three or more     Welch t: a scatter each
    unequal numbers, a group of two    t with guarded df: 1/df is the mean of 1/(n - 1), weighted
                                       by each group's share of the variance
    blocks alike, three or more        t within blocks; of pairs the paired t
    other blocks, or a control         t, blocks weighed / by the control (inter-block information)
    blocks, unequal numbers, in all    the same, each heat treatment by its own scatter
    or in a block and not made up for
    blades that ran in several blocks  mixed model, REML, Satterthwaite's df
    lives known to bounds              t by likelihood; of one scatter each joined by MOVER, within
                                       blocks averaged over the ratio of the two scatters
    more than two heat treatments      all pairs by the studentized range, each against the
                                       reference by Dunnett; own scatter: that pair's df, Sidak
    one blade in a group               reading uncertainty, of the blades alone, by the curves' df
    readings less sure than blades     reading uncertainty, normal: never a narrower interval

Runs of a blade are averaged; batches that hold several blades count once, and so do blocks that
held one heat treatment only. Such batches that stood in several blocks are as blades that ran in
several. Batches that hold every heat treatment are blocks where the blades share one roll. What
all blades share (scale, the law's power) cancels in the ratio but for the part in which the
groups differ.
"""

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from edgetest.doubts import Doubt
from edgetest.errors import UnusableInput
from edgetest.stats.censored_regression import censored_contrast
from edgetest.stats.contrast import Bounds, WiderOf, by_design, contrast, welch_t
from edgetest.stats.inter_block import BlockedResults
from edgetest.stats.multiple_comparisons import Family
from edgetest.stats.uneven_censored import uneven_censored_contrast
from edgetest.wear.compare.block_effects import BlockPlan, RunsPlan, plan_blocks, plan_runs
from edgetest.wear.compare.replicates import Replicates
from edgetest.wear.compare.shared_batches import doubt_of_blocks
from edgetest.wear.compare.shop_history import moderated_t

NO_SCATTER = 1e-9  # of log life: blades whose lives are the same to all digits
POOLED = "pooled t"
BY_READINGS = "reading uncertainty"
READINGS_WIDER = "reading uncertainty alone"  # the blades agree better than their readings can


@dataclass(frozen=True)
class Layout:
    """Replicates with the reference first, and the analysis that the blocks call for."""

    replicates: Replicates
    names: tuple[str, ...]
    blocks: BlockPlan | RunsPlan | None
    doubts: tuple[Doubt, ...]
    own_scatter: bool = False  # each heat treatment by its own scatter, as looks ask

    def lives(self, name):
        """Log lives of the group's replicates; of one that is no number, the middle or an end."""
        return self.replicates.log_life[self.replicates.of(name)]

    def exact(self, *names):
        """Whether all lives of these heat treatments are known."""
        return bool(self.replicates.exact[np.isin(self.replicates.treatment, names)].all())

    def level_of(self, name):
        """Mean log life of a group some of whose lives are intervals, as a contrast."""
        return _censored(self, {name: 1.0})

    def mean(self, name):
        """Mean log life of the group."""
        if self.exact(name):
            return float(self.lives(name).mean())
        found = self.level_of(name).difference
        return float(found if np.isfinite(found) else self.lives(name).mean())

    def variance(self, name):
        """Scatter between the group's replicates, squared; nan where they do not tell."""
        n = len(self.lives(name))
        if self.exact(name):
            return float(self.lives(name).var(ddof=1)) if n > 1 else np.nan
        stderr = self.level_of(name).stderr
        return float(stderr**2 * n) if np.isfinite(stderr) else np.nan

    def measurement(self, name):
        """Variance of the group's mean from within-blade uncertainty alone; nan if unknown."""
        se = self.replicates.log_life_se[self.replicates.of(name)]
        return float((se**2).sum() / len(se) ** 2) if (se > 0).all() else np.nan

    def law_u(self, name):
        """What one unit of each thing shared by the law does to the group's mean, signed (K,)."""
        return self.replicates.law_u[self.replicates.of(name)].mean(axis=0)

    @property
    def sizes(self):
        """Replicates in each heat treatment, reference first."""
        return tuple(len(self.lives(name)) for name in self.names)

    @property
    def balanced(self):
        """Whether all heat treatments have the same number of replicates."""
        return len(set(self.sizes)) == 1


def lay_out(replicates, reference):
    """Order the heat treatments and decide what blocks have to say."""
    names = list(dict.fromkeys(replicates.treatment.tolist()))
    if len(names) < 2:
        what = f"{len(names)} heat treatment{'s' * (len(names) != 1)} with a life"
        raise UnusableInput(what, "treatment", "a comparison needs two")
    if reference is not None:
        if reference not in names:
            mend = f"name one of: {', '.join(names)}"
            raise UnusableInput(f'no heat treatment "{reference}"', "reference", mend)
        names.remove(reference)
        names.insert(0, reference)
    blocks: BlockPlan | RunsPlan | None = None
    codes: tuple[str, ...] = ()
    if replicates.block is not None and all(replicates.of(k).sum() > 1 for k in names):
        blocks, codes = plan_blocks(_in_blocks(replicates, names))
    elif replicates.runs is not None and replicates.runs.block is not None:
        blocks = plan_runs(_in_blocks(replicates.runs, names), replicates.runs.blade)
    doubts = [*replicates.doubts, *(doubt_of_blocks(code, replicates.doubts) for code in codes)]
    return Layout(replicates, tuple(names), blocks, tuple(doubts))


def _in_blocks(replicates, names):
    """The replicates and the control's runs, with numbers for heat treatments and blocks."""
    treatment = np.array([names.index(name) for name in replicates.treatment.tolist()])
    both = np.concatenate([replicates.block, replicates.control_block])
    block = np.unique(both, return_inverse=True)[1]
    n = len(treatment)
    return BlockedResults(
        replicates.log_life, treatment, block[:n], replicates.control_log_life, block[n:]
    )


def scope(design, *names):
    """What a ratio of these heat treatments speaks of."""
    if min(len(design.lives(name)) for name in names) == 1:
        return "blades"
    return design.replicates.shared or "heat_treatments"


def between(design, first, second, level, rule=by_design):
    """Contrast of two heat treatments, never narrower than their readings alone make it.

    By luck a few blades agree better than their readings can; an interval from their scatter is
    then too narrow (as the modified Hartung-Knapp interval holds its variance up: C. Röver,
    G. Knapp, T. Friede, BMC Med. Res. Methodol. 15 (2015) 99).
    """
    found = by_scatter(design, first, second, level, rule)
    if scope(design, first, second) == "blades":
        return found
    return _held_up(design, found, first, second, level)


def _held_up(design, found, first, second, level):
    """The contrast, of which no interval is narrower than that of the readings alone."""
    variance = measurement_variance(design, first, second)
    if not (variance > 0 and design.exact(first, second)):
        return found
    readings = contrast(found.difference, variance, inf, level, READINGS_WIDER)
    return WiderOf(found, readings.widened(known_variance(design, first, second)))


def by_scatter(design, first, second, level, rule=by_design):
    """Contrast of two heat treatments, by blades alone where a group has only one."""
    known = known_variance(design, first, second)
    if scope(design, first, second) == "blades":
        by_runs = _by_runs(design, first, second, level)
        return by_runs or _between_blades(design, first, second, level).widened(known)
    if not design.exact(first, second):
        return _censored(design, {first: -1.0, second: 1.0}).widened(known)
    if design.blocks is not None:
        place = design.names.index
        found = design.blocks.contrast(place(first), place(second), level)
    elif rule is by_design and design.own_scatter:
        found = welch_t(design.lives(first), design.lives(second), level=level)
    elif rule is by_design and design.balanced and design.exact(*design.names):
        found = _pooled_over_all(design, first, second, level)
    else:
        found = rule(design.lives(first), design.lives(second), level=level)
        if len(design.names) > 2 and found.method == POOLED:  # not over all of them
            found = replace(found, method=f"{POOLED} of the two compared")
    if found.stderr < NO_SCATTER:
        found = _by_readings(design, first, second, level)
    return found.widened(known)


def _by_runs(design, first, second, level):
    """Two blades compared by the scatter of their runs; None where neither ran twice."""
    runs = design.replicates.runs
    pair = design.replicates.of(first) | design.replicates.of(second)
    if runs is None or pair.sum() != 2:
        return None
    of_runs = lay_out(_runs_of(runs, (first, second)), first)
    if scope(of_runs, first, second) != "blades":
        found = by_scatter(of_runs, first, second, level)
        found = replace(found, method=f"{found.method}, of runs")
        return _held_up(of_runs, found, first, second, level)
    values = [of_runs.lives(name) for name in (first, second)]
    several = max(values, key=len)
    if len(several) < 2 or not of_runs.exact(first, second):
        return None
    variance = several.var(ddof=1) * (1 + 1 / len(several))  # one blade ran once
    difference = float(values[1].mean() - values[0].mean())
    found = contrast(difference, variance, len(several) - 1.0, level, "pooled t, of runs")
    found = found.widened(known_variance(of_runs, first, second))
    return _held_up(of_runs, found, first, second, level)


def _between_blades(design, first, second, level):
    """Two blades compared by their readings, or by the ends of their lives."""
    if not design.exact(first, second):
        return _bounds_of_blades(design, first, second, level)
    return _by_readings(design, first, second, level)


def _bounds_of_blades(design, first, second, level):
    """Two blades, of a curve one of which has no end: what can be said at the least.

    A bound that a curve gave holds the readings' doubt already.
    """
    pair = design.replicates
    ends = []
    for name in (first, second):
        rows = pair.of(name)
        by_curve = np.where(
            pair.exact[rows], pair.log_life_se[rows] > 0, ~np.isnan(pair.own_low[rows])
        )
        variance = (pair.log_life_se[rows] ** 2).sum() / rows.sum() ** 2
        known = variance if by_curve.all() else inf
        ends.append((pair.log_low[rows].mean(), pair.log_high[rows].mean(), known))
    (low1, high1, variance1), (low2, high2, variance2) = ends
    return Bounds(low2 - high1, high2 - low1, float(np.sqrt(variance1 + variance2)), level)


def _runs_of(runs, names):
    """Runs of the named heat treatments as replicates, without what is said of them already."""
    rows = np.isin(runs.treatment, names)
    columns = ["blade", "treatment", "log_low", "log_high", "log_life_se", "life_df", "law_u"]
    columns += ["covariate", "covariate_u", "own_low", "own_high"]
    columns += [] if runs.block is None else ["block"]
    return replace(runs, **{c: getattr(runs, c)[rows] for c in columns}, doubts=())


def _by_readings(design, first, second, level):
    """Contrast by what the readings alone leave unsure; no interval where that is unknown."""
    variance = measurement_variance(design, first, second)
    difference = design.mean(second) - design.mean(first)
    df = design.replicates.life_df[np.isin(design.replicates.treatment, (first, second))].min()
    return contrast(difference, variance if variance > 0 else inf, float(df), level, BY_READINGS)


def _censored(design, weights):
    """Contrast of groups some of whose lives are intervals; within blocks where there are any."""
    in_blocks = isinstance(design.blocks, BlockPlan)
    members = design.names if design.balanced or in_blocks else tuple(weights)
    rows = np.isin(design.replicates.treatment, members)
    group = np.array([members.index(k) for k in design.replicates.treatment[rows].tolist()])
    columns = np.eye(len(members))[group]
    asked = np.array([weights.get(name, 0.0) for name in members])
    compared = len(weights) > 1
    if compared and in_blocks:
        block = design.blocks.results.block[rows]
        columns = np.hstack([columns, np.eye(block.max() + 1)[block][:, 1:]])
        asked = np.r_[asked, np.zeros(columns.shape[1] - len(asked))]
    own = compared and not (design.blocks.results.even if in_blocks else design.balanced)
    low, high = design.replicates.log_low[rows], design.replicates.log_high[rows]
    if own and in_blocks:
        pair = np.array([members.index(name) for name in weights])
        which = np.where(group == pair[0], 0, np.where(group == pair[1], 1, 2))
        return uneven_censored_contrast(columns, low, high, asked, which)
    return censored_contrast(columns, low, high, asked, scatter=group if own else None)


def one_scatter(design, first, second):
    """Pooled variance between replicates, its df, and 1/n1 + 1/n2 (or the blocks' like)."""
    fit = design.blocks.fit if design.blocks else None
    if fit is not None:
        place = design.names.index
        return fit.variance, float(fit.df), fit.unscaled_difference(place(first), place(second))
    unscaled = sum(1 / len(design.lives(name)) for name in (first, second))
    found = [(len(design.lives(k)) - 1, design.variance(k)) for k in design.names]
    told = [(df, variance) for df, variance in found if df > 0 and np.isfinite(variance)]
    if not told:
        return 0.0, 0.0, unscaled
    df = float(sum(df for df, _ in told))
    return float(sum(part * variance for part, variance in told) / df), df, unscaled


def with_history(design, first, second, level, history):
    """The contrast with the study's scatter moderated by the shop's; None among intervals."""
    if not design.exact(first, second) or (design.blocks and design.blocks.fit is None):
        return None
    variance, df, unscaled = one_scatter(design, first, second)
    difference = design.mean(second) - design.mean(first)
    found = moderated_t(difference, unscaled, variance, df, history, level)
    found = found.widened(known_variance(design, first, second))
    return _held_up(design, found, first, second, level)


def known_variance(design, first, second):
    """Variance of the difference that the scatter between blades does not hold: the law's."""
    return float(((design.law_u(second) - design.law_u(first)) ** 2).sum())


def measurement_variance(design, first, second):
    """Variance of the difference from within-blade uncertainty alone; nan where unknown."""
    return design.measurement(first) + design.measurement(second)


def _pooled_over_all(design, first, second, level):
    """Balanced groups: one scatter from all of them, not of the two alone."""
    n = design.sizes[0]
    variance = np.mean([design.lives(name).var(ddof=1) for name in design.names]) * 2 / n
    df = float((n - 1) * len(design.names))
    return contrast(design.mean(second) - design.mean(first), variance, df, level, POOLED)


SINGLE = Family("sidak", 1)


def family_of(design, first, second, everything):
    """The family a pair belongs to: all pairs (`everything`) or each against the reference.

    With one scatter for all (balanced groups, complete blocks): studentized range, Dunnett.
    With a scatter for each group: the range with the pair's own degrees of freedom, Sidak's
    bound. With blocks weighed, or one blade: Sidak's bound.
    """
    count = len(design.names)
    weighed = design.blocks is not None and design.blocks.weighed
    if weighed or scope(design, first, second) == "blades":
        return Family("sidak", count * (count - 1) // 2 if everything else count - 1)
    if everything:
        return Family("range", count)
    one_scatter = (design.balanced and not design.own_scatter) or design.blocks is not None
    if not one_scatter:
        return Family("sidak", count - 1)
    reference, *others = design.sizes
    return Family("dunnett", count - 1, tuple(n / (n + reference) for n in others))
