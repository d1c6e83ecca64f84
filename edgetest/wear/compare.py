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
from edgetest.wear.bounded import bounded_contrast, group_posterior, scale_grid
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

    def bounds(self, name):
        """Mask of the group's lives that are only bounds."""
        return self.replicates.censored[self.replicates.of(name)]

    def mean(self, name):
        lives, bounds = self.lives(name), self.bounds(name)
        if bounds.any() and not bounds.all() and len(lives) > 1:
            return float(_posterior(self, name).quantile(0.5))
        return float(lives.mean())

    def variance(self, name):
        """Scatter between the group's replicates, squared; two or more of them."""
        lives, bounds = self.lives(name), self.bounds(name)
        if bounds.any() and not bounds.all():
            return _posterior(self, name).sd ** 2
        return float(lives.var(ddof=1))

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


def _posterior(design, name):
    """Posterior of a group's mean with bounds; balanced groups tell one scatter together."""
    members = design.names if design.balanced else (name,)
    groups = {k: (design.lives(k), design.bounds(k)) for k in members}
    sigma = scale_grid([lives for lives, _ in groups.values()])
    found = {k: group_posterior(*v, sigma) for k, v in groups.items() if not v[1].all()}
    return replace(found[name], log_mass=sum(part.log_mass for part in found.values()))


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
    lives, bounds = design.lives(name), design.bounds(name)
    n = len(lives)
    floor = design.measurement(name)
    if bounds.any():
        return _bounded_group(design, name, level)
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
    ends = lives.mean() - half_width, lives.mean() + half_width
    return _named_group(design, name, lives.mean(), ends, level, method, sd)


def _bounded_group(design, name, level):
    """A heat treatment's median life where some or all lives are bounds."""
    lives, bounds = design.lives(name), design.bounds(name)
    if bounds.all():
        ends = lives.min(), inf
        return _named_group(design, name, lives.mean(), ends, level, "least lives only", None)
    found = _posterior(design, name)
    tail = (1 - level) / 2
    ends = found.quantile([tail, 1 - tail])
    method = "median, lognormal with bounds"
    return _named_group(design, name, design.mean(name), ends, level, method, found.sd)


def _named_group(design, name, log_life, ends, level, method, sd):
    """Group from its log life and the ends of its interval."""
    value, low, high = np.exp([log_life, *ends]).tolist()
    blades = design.replicates.blades[name]
    return Group(
        treatment=name,
        blades=blades,
        n=len(blades),
        replicates=len(design.lives(name)),
        life=Estimate(value, low, high, "cuts", level, method),
        sd_log_life=sd,
        log_life=float(log_life),
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
        found = contrast(difference, variance, inf, level, "reading uncertainty")
        return _open_ends(design, first, second, found)
    if design.bounds(first).any() or design.bounds(second).any():
        return _with_bounds(design, first, second, level)
    if design.blocks is not None:
        found = _within_blocks(design, first, second, level)
    elif rule is by_design and design.balanced:
        found = _pooled_over_all(design, first, second, level)
    else:
        found = rule(design.lives(first), design.lives(second), level=level)
    if design.replicates.normalised:
        found = replace(found, method=f"{found.method}, control-normalised")
    return hold_floor(widen(found, control), measurement + control)


def _with_bounds(design, first, second, level):
    """Contrast where some lives are bounds; one-sided where a whole group is."""
    groups = [(design.lives(name), design.bounds(name)) for name in (first, second)]
    unknown = [bounds.all() for _, bounds in groups]
    if not any(unknown):
        return bounded_contrast(*groups, one_scatter=design.balanced)
    known = [name for name, whole in zip((first, second), unknown, strict=True) if not whole]
    variance, df = inf, 1.0
    if known and not design.bounds(known[0]).any():
        df = float(len(design.lives(known[0])) - 1)
        variance = design.variance(known[0]) * sum(1 / len(lives) for lives, _ in groups)
    difference = design.mean(second) - design.mean(first)
    found = contrast(difference, variance, df, level, "least lives of a whole group")
    return _open_ends(design, first, second, found)


def _open_ends(design, first, second, found):
    """Open the end that a bound leaves open: a longer second or a longer first life."""
    return replace(
        found,
        open_high=bool(design.bounds(second).any()),
        open_low=bool(design.bounds(first).any()),
    )


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
    value, low, high = np.exp([float(found.difference), *found.limits(level, family)]).tolist()
    df = float(found.df) if np.isfinite(found.df) else None
    names = {"range": ", adjusted for all pairs", "dunnett": ", adjusted for several groups"}
    adjusted = names.get(family.kind, names["dunnett"] if family.size > 1 else "")
    return Ratio(value, low, high, level, found.method + adjusted, df)


def _verdict(found, level, margin, family=SINGLE):
    """Verdict and the interval of the two one-sided tests."""
    wide, narrow = _ratio(found, level, family), _ratio(found, round(2 * level - 1, 12), family)
    wide_ends = found.limits(wide.level, family)
    narrow_ends = found.limits(narrow.level, family)
    return judge(*wide_ends, *narrow_ends, margin), wide, narrow


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
    if scope != "blades" and np.isfinite(found.stderr):
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
    longer = float(found.probability_above())
    if family.size > 1:
        t = float(found.difference / found.stderr) if found.stderr > 0 else 0.0
        longer = 0.5 + np.sign(t) * family.coverage(abs(t), df) / 2
    next_pair = found.stderr**2 + design.variance(first) + design.variance(second)
    spread = np.sqrt(next_pair)
    outlasts = student_cdf(found.difference / spread if spread > 0 else np.nan, df)
    return cap_probability(longer, df), cap_probability(float(outlasts), df)


def _other_interval(design, found, first, second, level, margin, family, verdict):
    """The interval by the other rule for the scatter, where its verdict differs."""
    bounds = design.bounds(first).any() or design.bounds(second).any()
    if _scope(design, first, second) == "blades" or design.blocks is not None or bounds:
        return None
    other = _between(design, first, second, level, welch_t if design.balanced else pooled_t)
    other_verdict, wide, _ = _verdict(other, level, margin, family)
    return wide if other_verdict != verdict else None


def _needed(design, found, first, second, verdict, margin, level):
    """Blades a side that would settle it, or that would allow a claim at all."""
    difference, stderr = float(found.difference), float(found.stderr)
    if _scope(design, first, second) == "blades":
        spread = float(np.hypot(min(stderr, 1.0), ASSUMED_SD * np.sqrt(2)))
        settle = blades_to_settle(difference, ASSUMED_SD, 8.0, spread, margin, level)
        return replace(settle, purpose="claim")
    if verdict != "cannot_tell" or not 0 < stderr < inf:
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
