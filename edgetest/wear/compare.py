"""Which heat treatment's blades last longer, by what factor, and how sure that is.

Blades are the replicates. Log lives per blade are compared with a t interval from the
scatter between blades; stations, photographs and repeated readings are inside a blade and
enter through `log_life_se` alone. Ratios are of median lives: a mean on the log scale.
"""

from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

import numpy as np
from scipy.special import ndtri

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.wear.answer import Comparison, Group, Pair, Ratio
from edgetest.wear.contrast import (
    by_design,
    contrast,
    hold_floor,
    pooled_t,
    student_cdf,
    welch_t,
    widen,
)
from edgetest.wear.groups import (
    BlockFit,
    Family,
    fit_blocks,
)
from edgetest.wear.replicates import Replicates, gather
from edgetest.wear.verdicts import (
    Practical,
    blades_to_settle,
    cap_probability,
    judge,
)

# Blade-to-blade SD of log life where nothing better is known; common practice, no source.
ASSUMED_SD = 0.15
UNEVEN = 3.0  # ratio of reading uncertainties within a study that is worth a warning


def compare_lives(
    blade,
    treatment,
    log_life,
    log_life_se=None,
    *,
    censored=None,
    batch=None,
    block=None,
    control=None,
    reference=None,
    margin=0.10,
    level=0.95,
    history=None,
    shared_se=0.0,
):
    """Compare heat treatments by the lives of their blades.

    Parameters
    ----------
    blade, treatment : array_like of str, shape (n,)
        One element a blade; a control blade has one element a block.
    log_life : array_like, shape (n,)
        Natural log of the life in cuts; nan for a blade without one (left out, and said).
    log_life_se : array_like, shape (n,), optional
        Within-blade standard uncertainty of `log_life` (readings and fit, without what all
        blades share); nan or None where unknown.
    censored : array_like of bool, shape (n,), optional
        True where `log_life` is only a least life: stopped before the limit and not
        extrapolated. An extrapolated life is an ordinary one with its larger uncertainty.
    batch : array_like of str, shape (n,), optional
        Quench or temper batch. Equal labels in two heat treatments mean the same batch.
    block : array_like of str, shape (n,), optional
        Rope roll, board or day under which the blade was cut.
    control : str, optional
        Name of the control blade, run once a block; it is no member of a heat treatment.
    reference : str, optional
        Heat treatment that the others are held against; default: first to appear.
    margin : float
        Relevant difference as a share of life, above 0.
    level : float
        Coverage of intervals.
    history : ShopHistory, optional
        Scatter of the shop's earlier studies; see `edgetest.wear.history`.
    shared_se : float
        Standard uncertainty of log life that all blades share (scale, law): it widens the
        lives and cancels in every ratio.

    Returns
    -------
    Comparison
        `ratio` is second over first (the reference): how many times as long. With more than
        two heat treatments the second is the one farthest above or below the reference and
        its interval is adjusted for that choice.

    Raises
    ------
    UnusableInput
        Lengths differ, fewer than two heat treatments, an unknown reference or control, a
        margin or level out of range.
    """
    if not (margin > 0 and np.isfinite(margin)):
        raise UnusableInput(f"{margin:g} is no margin", "margin", "give a share such as 0.10")
    if not 0.5 <= level < 1:
        raise UnusableInput(f"{level:g} is no level", "level", "give a share such as 0.95")
    replicates = gather(
        blade,
        treatment,
        log_life,
        log_life_se,
        censored=censored,
        batch=batch,
        block=block,
        control=control,
    )
    design = _lay_out(replicates, reference)
    groups = tuple(_group(design, name, level, shared_se) for name in design.names)
    first, *others = design.names
    second = max(others, key=lambda name: abs(design.mean(name) - design.mean(first)))
    return _answer(design, groups, first, second, margin, level, history)


@dataclass(frozen=True)
class _Design:
    """Replicates with the reference first, and the block fit where blocks count."""

    replicates: Replicates
    names: tuple[str, ...]
    blocks: BlockFit | None
    warnings: tuple[str, ...]

    def lives(self, name):
        return self.replicates.log_life[self.replicates.of(name)]

    def mean(self, name):
        return float(self.lives(name).mean())

    def measurement(self, name):
        """Variance of the group's mean from within-blade uncertainty alone."""
        se = self.replicates.log_life_se[self.replicates.of(name)]
        return float((se**2).sum() / len(se) ** 2)

    @property
    def sizes(self):
        return tuple(len(self.lives(name)) for name in self.names)

    @property
    def balanced(self):
        return len(set(self.sizes)) == 1


def _lay_out(replicates, reference):
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
    warnings = list(replicates.warnings)
    blocks = None
    sizes = [int(replicates.of(name).sum()) for name in names]
    if (
        replicates.block is not None
        and not replicates.normalised
        and min(sizes) > 1
        and not replicates.censored.any()
    ):
        treatment = np.array([names.index(name) for name in replicates.treatment.tolist()])
        block = np.unique(replicates.block, return_inverse=True)[1]
        blocks = fit_blocks(treatment, block, replicates.log_life)
        if blocks is not None and not blocks.complete:
            warnings.append("incomplete_block")
        if blocks is not None and blocks.df < 1:
            blocks = None
    return _Design(replicates, tuple(names), blocks, tuple(warnings))


def _group(design, name, level, shared_se):
    """A heat treatment's median life: scatter by the design, floored at the measurement."""
    lives = design.lives(name)
    n = len(lives)
    floor = design.measurement(name)
    if n == 1:
        half_width = ndtri(0.5 + level / 2) * np.sqrt(floor) if floor > 0 else inf
        sd, method = None, "one blade, reading uncertainty"
    else:
        sd = float(lives.std(ddof=1))
        variance, df = sd**2, n - 1
        if design.balanced:
            variance = np.mean([design.lives(k).var(ddof=1) for k in design.names])
            df = (n - 1) * len(design.names)
        found = hold_floor(contrast(lives.mean(), variance / n, df, level, "t"), floor)
        half_width = float(found.half_width)
        method = "median, t on log lives"
    half_width = np.hypot(half_width, ndtri(0.5 + level / 2) * shared_se)
    value, low, high = np.exp(lives.mean() + half_width * np.array([0.0, -1.0, 1.0])).tolist()
    blades = design.replicates.blades[name]
    return Group(
        treatment=name,
        blades=blades,
        n=len(blades),
        replicates=n,
        life=Estimate(value, low, high, "cuts", level, method),
        sd_log_life=sd,
        log_life=float(lives.mean()),
    )


def _scope(design, *names):
    """What a ratio of these heat treatments speaks of."""
    if min(len(design.lives(name)) for name in names) == 1:
        return "blades"
    return "batches" if design.replicates.confounded else "heat_treatments"


def _between(design, first, second, level, rule=by_design):
    """Contrast of two heat treatments, by blades alone where a group has only one."""
    measurement = design.measurement(first) + design.measurement(second)
    control = _control_variance(design.replicates, first, second)
    if _scope(design, first, second) == "blades":
        difference = design.mean(second) - design.mean(first)
        variance = measurement + control if measurement > 0 else inf
        return contrast(difference, variance, inf, level, "reading uncertainty")
    if design.blocks is not None:
        found = _within_blocks(design, first, second, level)
    elif rule is by_design and design.balanced:
        found = _pooled_over_all(design, first, second, level)
    else:
        found = rule(design.lives(first), design.lives(second), level=level)
    if design.replicates.normalised:
        found = replace(found, method=f"{found.method}, control-normalised")
    return hold_floor(widen(found, control), measurement + control)


def _within_blocks(design, first, second, level):
    """Contrast from the least squares on heat treatment and block."""
    fit = design.blocks
    i, j = design.names.index(first), design.names.index(second)
    unscaled = fit.unscaled[i, i] + fit.unscaled[j, j] - 2 * fit.unscaled[i, j]
    difference = fit.effects[j] - fit.effects[i]
    return contrast(difference, fit.variance * unscaled, float(fit.df), level, "t within blocks")


def _pooled_over_all(design, first, second, level):
    """Balanced groups: one scatter from all of them, not of the two alone."""
    found = pooled_t(design.lives(first), design.lives(second), level=level)
    if len(design.names) == 2:
        return found
    n = design.sizes[0]
    variance = np.mean([design.lives(name).var(ddof=1) for name in design.names]) * 2 / n
    df = float((n - 1) * len(design.names))
    return contrast(found.difference, variance, df, level, found.method)


def _control_variance(replicates, first, second):
    """What the control's own uncertainty leaves in the difference: blocks not shared alike."""
    if not replicates.normalised:
        return 0.0
    share = np.zeros(len(replicates.treatment))
    for name, sign in ((first, -1.0), (second, 1.0)):
        share[replicates.of(name)] = sign / replicates.of(name).sum()
    # Blades of one block share one control run: their weights add before squaring.
    return float(
        sum(
            share[rows].sum() ** 2 * replicates.control_se[rows][0] ** 2
            for rows in (replicates.block == name for name in set(replicates.block.tolist()))
        )
    )


SINGLE = Family("sidak", 1)


def _family(design, first, second, everything):
    """The family a pair belongs to: all pairs (`everything`) or each against the reference.

    With one scatter for all (balanced groups, blocks): studentized range, Dunnett. With a
    scatter for each group: the range with the pair's own degrees of freedom, Sidak's bound.
    """
    count = len(design.names)
    blades = _scope(design, first, second) == "blades"
    if everything:
        pairs = count * (count - 1) // 2
        return Family("sidak", pairs) if blades else Family("range", count)
    one_scatter = design.balanced or design.blocks is not None
    if blades or not one_scatter:
        return Family("sidak", count - 1)
    reference, *others = design.sizes
    return Family("dunnett", count - 1, tuple(n / (n + reference) for n in others))


def _ratio(found, level, family=SINGLE):
    """Ratio of lives with its interval, jointly over the family."""
    half_width = family.quantile(level, float(found.df)) * found.stderr
    value, low, high = np.exp(found.difference + half_width * np.array([0.0, -1.0, 1.0])).tolist()
    df = float(found.df) if np.isfinite(found.df) else None
    names = {"range": ", adjusted for all pairs", "dunnett": ", adjusted for several groups"}
    adjusted = names.get(family.kind, names["dunnett"] if family.size > 1 else "")
    return Ratio(value, low, high, level, found.method + adjusted, df)


def _verdict(found, level, margin, family=SINGLE):
    """Verdict and the interval of the two one-sided tests."""
    wide, narrow = _ratio(found, level, family), _ratio(found, round(2 * level - 1, 12), family)
    ends = np.log([wide.low, wide.high, narrow.low, narrow.high])
    return judge(*ends.tolist(), margin), wide, narrow


def _pairs(design, level, margin):
    """All pairs and each against the reference, with adjusted intervals; () with two groups."""
    reference, *others = design.names
    if len(others) == 1:
        return ()
    rows = [(a, b, True, "all pairs") for a, b in combinations(design.names, 2)]
    rows += [(reference, b, False, f"against {reference}") for b in others]
    found = []
    for first, second, everything, label in rows:
        between = _between(design, first, second, level)
        family = _family(design, first, second, everything)
        verdict, wide, _ = _verdict(between, level, margin, family)
        found.append(Pair(first, second, wide, verdict, _scope(design, first, second), label))
    return tuple(found)


def _answer(design, groups, first, second, margin, level, history):
    """Put the headline pair's ratio, verdict, probabilities and doubts together."""
    found = _between(design, first, second, level)
    family = SINGLE if len(groups) == 2 else _family(design, first, second, False)
    verdict, wide, narrow = _verdict(found, level, margin, family)
    scope = _scope(design, first, second)
    edge = 1 + margin
    practical = Practical(
        margin=margin,
        verdict=verdict,
        low=narrow.low,
        high=narrow.high,
        level=narrow.level,
        reaches_margin=wide.low > edge or wide.high < 1 / edge,
    )
    longer = outlasts = None
    if scope != "blades":
        longer, outlasts = _probabilities(design, found, first, second, family)
    other = _other_interval(design, found, first, second, level, margin, family, verdict)
    return Comparison(
        first=first,
        second=second,
        groups=groups,
        ratio=wide,
        other_interval=other,
        with_history=None,
        probability_longer=longer,
        probability_next_blade_outlasts=outlasts,
        practical=practical,
        needed=_needed(design, found, first, second, verdict, margin, level),
        scope=scope,
        pairs=_pairs(design, level, margin),
        warnings=_doubts(design, found, scope, other),
    )


def _probabilities(design, found, first, second, family):
    """Of a longer mean life, and that the next blade of the second outlasts one of the first.

    Both from the t distribution, the first adjusted over the family, neither stated beyond
    what the degrees of freedom can bear.
    """
    df = float(found.df)
    t = float(found.difference / found.stderr) if found.stderr > 0 else 0.0
    longer = 0.5 + np.sign(t) * family.coverage(abs(t), df) / 2
    next_pair = found.stderr**2 + sum(design.lives(name).var(ddof=1) for name in (first, second))
    spread = np.sqrt(next_pair)
    outlasts = student_cdf(found.difference / spread if spread > 0 else np.nan, df)
    return cap_probability(float(longer), df), cap_probability(float(outlasts), df)


def _other_interval(design, found, first, second, level, margin, family, verdict):
    """The interval by the other rule for the scatter, where its verdict differs."""
    if _scope(design, first, second) == "blades" or design.blocks is not None:
        return None
    other = _between(design, first, second, level, welch_t if design.balanced else pooled_t)
    other_verdict, wide, _ = _verdict(other, level, margin, family)
    return wide if other_verdict != verdict else None


def _needed(design, found, first, second, verdict, margin, level):
    """Blades a side that would settle it, or that would allow a claim at all."""
    difference, stderr = float(found.difference), float(found.stderr)
    if _scope(design, first, second) == "blades":
        spread = float(np.hypot(stderr, ASSUMED_SD * np.sqrt(2))) if np.isfinite(stderr) else 1.0
        settle = blades_to_settle(difference, ASSUMED_SD, 8.0, spread, margin, level)
        return replace(settle, purpose="claim")
    if verdict != "cannot_tell" or stderr == 0:
        return None
    sizes = [len(design.lives(name)) for name in (first, second)]
    sd = stderr / np.sqrt(1 / sizes[0] + 1 / sizes[1])
    return blades_to_settle(
        difference, sd, float(found.df), stderr, margin, level, at_least=max(sizes) + 1
    )


def _doubts(design, found, scope, other):
    """Warning codes, those of the replicates first."""
    codes = list(design.warnings)
    se = design.replicates.log_life_se
    known = se[se > 0]
    if min(design.sizes) == 1:
        codes.append("one_blade_per_treatment")
    elif not design.balanced and design.blocks is None:
        codes.append("unbalanced")
    elif set(design.sizes) == {2}:
        codes.append("few_blades")
    if scope != "blades" and found.stderr == 0:
        codes.append("no_scatter")
    if scope != "blades" and found.floored and found.stderr > 0:
        codes.append("measurement_floor")
    if len(known) > 1 and known.max() > UNEVEN * known.min():
        codes.append("uneven_readings")
    if other is not None:
        codes.append("intervals_disagree")
    return tuple(dict.fromkeys(codes))
