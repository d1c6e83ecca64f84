"""How a study's replicates are laid out, and the contrast that its layout calls for."""

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.stats.contrast import by_design, contrast, pooled_t, widen
from edgetest.stats.multiple_comparisons import Family
from edgetest.wear.compare.block_effects import BlockFit, fit_blocks
from edgetest.wear.compare.bounded_blocks import LEAST_DF, blocked_contrast, known_df
from edgetest.wear.compare.bounded_lives import bounded_contrast, group_posterior, scale_grid
from edgetest.wear.compare.replicates import Replicates
from edgetest.wear.compare.shop_history import moderated_t

NO_SCATTER = 1e-9  # of log life: blades whose lives are the same to all digits


@dataclass(frozen=True)
class Layout:
    """Replicates with the reference first, and the block fit where blocks count."""

    replicates: Replicates
    names: tuple[str, ...]
    blocks: BlockFit | None
    doubts: tuple[Doubt, ...]
    bounds_in_blocks: bool = False  # bounds among the lives, compared within blocks

    def lives(self, name):
        """Log lives of the group's replicates."""
        return self.replicates.log_life[self.replicates.of(name)]

    def bounds(self, name):
        """Mask of the group's lives that are only bounds."""
        return self.replicates.censored[self.replicates.of(name)]

    def mean(self, name):
        """Mean log life of the group; where some are bounds, the median of what it may be."""
        lives, bounds = self.lives(name), self.bounds(name)
        if bounds.any() and not bounds.all() and len(lives) > 1:
            return float(posterior(self, name).quantile(0.5))
        return float(lives.mean())

    def variance(self, name):
        """Scatter between the group's replicates, squared; two or more of them."""
        lives, bounds = self.lives(name), self.bounds(name)
        if bounds.any() and not bounds.all():
            return posterior(self, name).sd ** 2
        return float(lives.var(ddof=1))

    def measurement(self, name):
        """Variance of the group's mean from within-blade uncertainty alone."""
        se = self.replicates.log_life_se[self.replicates.of(name)]
        return float((se**2).sum() / len(se) ** 2)

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


def posterior(design, name):
    """Posterior of a group's mean with bounds; balanced groups tell one scatter together."""
    members = design.names if design.balanced else (name,)
    groups = {k: (design.lives(k), design.bounds(k)) for k in members}
    sigma = scale_grid([lives for lives, _ in groups.values()])
    found = {k: group_posterior(*v, sigma) for k, v in groups.items() if not v[1].all()}
    return replace(found[name], log_mass=sum(part.log_mass for part in found.values()))


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
    doubts = list(replicates.doubts)
    blocks, with_bounds = None, False
    sizes = [int(replicates.of(name).sum()) for name in names]
    if replicates.block is not None and not replicates.normalised and min(sizes) > 1:
        treatment, block = _indices(replicates, names)
        blocks = fit_blocks(treatment, block, replicates.log_life)
        if blocks is not None and not blocks.complete:
            doubts.append(doubt("incomplete_block"))
        if blocks is not None and replicates.censored.any():
            with_bounds = known_df(treatment, block, replicates.censored) >= LEAST_DF
            doubts += [] if with_bounds else [doubt("blocks_not_used")]
            blocks = None
        if blocks is not None and blocks.df < 1:
            blocks = None
    return Layout(replicates, tuple(names), blocks, tuple(doubts), with_bounds)


def _indices(replicates, names):
    """Heat treatments and blocks as numbers from 0."""
    treatment = np.array([names.index(name) for name in replicates.treatment.tolist()])
    return treatment, np.unique(replicates.block, return_inverse=True)[1]


def scope(design, *names):
    """What a ratio of these heat treatments speaks of."""
    if min(len(design.lives(name)) for name in names) == 1:
        return "blades"
    return "batches" if design.replicates.confounded else "heat_treatments"


def between(design, first, second, level, rule=by_design):
    """Contrast of two heat treatments, by blades alone where a group has only one."""
    measurement = measurement_variance(design, first, second)
    known = known_variance(design, first, second)
    if scope(design, first, second) == "blades":
        difference = design.mean(second) - design.mean(first)
        variance = measurement + known if measurement > 0 else inf
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
    if found.stderr < NO_SCATTER:
        variance = measurement if measurement > 0 else inf
        found = contrast(found.difference, variance, inf, level, "reading uncertainty alone")
    if design.replicates.normalised:
        found = replace(found, method=f"{found.method}, control-normalised")
    return widen(found, known)


def _with_bounds(design, first, second, level):
    """Contrast where some lives are bounds; one-sided where a whole group is."""
    groups = [(design.lives(name), design.bounds(name)) for name in (first, second)]
    unknown = [bounds.all() for _, bounds in groups]
    if design.bounds_in_blocks:
        lives, names = design.replicates, design.names
        treatment, block = _indices(lives, names)
        found = blocked_contrast(
            treatment,
            block,
            lives.log_life,
            lives.censored,
            names.index(first),
            names.index(second),
        )
        if found is not None:
            return found
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


def one_scatter(design, first, second):
    """Pooled variance between replicates, its df, and 1/n1 + 1/n2 (or the blocks' like)."""
    if design.blocks is not None:
        return design.blocks.variance, float(design.blocks.df), _unscaled(design, first, second)
    sizes = np.array([n for n in design.sizes if n > 1])
    unscaled = sum(1 / len(design.lives(name)) for name in (first, second))
    if len(sizes) == 0:
        return 0.0, 0.0, unscaled
    variances = np.array([design.variance(k) for k in design.names if len(design.lives(k)) > 1])
    df = float((sizes - 1).sum())
    return float((sizes - 1) @ variances / df), df, unscaled


def _unscaled(design, first, second):
    """Variance of the difference over that between blades, within blocks."""
    i, j = design.names.index(first), design.names.index(second)
    unscaled = design.blocks.unscaled
    return float(unscaled[i, i] + unscaled[j, j] - 2 * unscaled[i, j])


def with_history(design, first, second, level, history):
    """The contrast with the study's scatter moderated by the shop's; None among bounds."""
    if design.bounds(first).any() or design.bounds(second).any():
        return None
    variance, df, unscaled = one_scatter(design, first, second)
    difference = design.mean(second) - design.mean(first)
    if design.blocks is not None:
        effects = design.blocks.effects
        difference = effects[design.names.index(second)] - effects[design.names.index(first)]
    found = moderated_t(difference, unscaled, variance, df, history, level)
    return widen(found, known_variance(design, first, second))


def known_variance(design, first, second):
    """Variance of the difference that the scatter between blades does not hold."""
    control = _control_variance(design.replicates, first, second)
    return control + float(((design.law_u(second) - design.law_u(first)) ** 2).sum())


def measurement_variance(design, first, second):
    """Variance of the difference from within-blade uncertainty alone."""
    return design.measurement(first) + design.measurement(second)


def _within_blocks(design, first, second, level):
    """Contrast from the least squares on heat treatment and block."""
    fit = design.blocks
    i, j = design.names.index(first), design.names.index(second)
    difference = fit.effects[j] - fit.effects[i]
    variance = fit.variance * _unscaled(design, first, second)
    return contrast(difference, variance, float(fit.df), level, "t within blocks")


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
    # Blades of one block share one control run: their weights add before squaring. A blade
    # that ran in several blocks has none of its own, and its weight stands alone.
    n = len(share)
    block = np.arange(n) if replicates.block is None else replicates.block
    rows = (block == name for name in np.unique(block))
    return float(sum(share[r].sum() ** 2 * replicates.control_se[r][0] ** 2 for r in rows))


SINGLE = Family("sidak", 1)


def family_of(design, first, second, everything):
    """The family a pair belongs to: all pairs (`everything`) or each against the reference.

    With one scatter for all (balanced groups, blocks): studentized range, Dunnett. With a
    scatter for each group: the range with the pair's own degrees of freedom, Sidak's bound.
    """
    count = len(design.names)
    blades = scope(design, first, second) == "blades"
    if everything:
        pairs = count * (count - 1) // 2
        return Family("sidak", pairs) if blades else Family("range", count)
    one_scatter = design.balanced or design.blocks is not None
    if blades or not one_scatter:
        return Family("sidak", count - 1)
    reference, *others = design.sizes
    return Family("dunnett", count - 1, tuple(n / (n + reference) for n in others))
