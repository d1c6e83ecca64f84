"""Depth per chop and its loss as chops add up: least squares a blade, random-effects means a kind.

Depths are fitted on the log scale, so a loss is a percentage and a typical depth a median.
Blocks (boards, days) are fixed effects about their mean; blades are the replicates.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from edgetest.chop.count_results import BladeRatio
from edgetest.chop.depth_results import DepthFit, DepthLine
from edgetest.chop.loss_contrast import loss_compared
from edgetest.chop.treatment_pairs import (
    LOSS_SCATTER,
    STROKE_SCATTER,
    BladeValues,
    compared,
    pairs_of,
    treatment_groups,
)
from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.regression import log_contrast
from edgetest.stats.replicate_scatter import LEAST_REPLICATES, group_means

LEAST_DEPTHS = 5
DEPTH = "depth per chop"
DEPTH_UNIT = "mm per chop"
LOSS_UNIT = "% of depth lost per 100 chops"


@dataclass(frozen=True)
class SingleChops:
    """Measured depths, one element a chop.

    Parameters
    ----------
    blade : sequence of str, length n
        Blade of each measured chop.
    chop : array_like, shape (n,)
        Chops the edge had made before this one.
    depth_mm : array_like, shape (n,)
        Depth of the cut, mm.
    block : sequence of str, optional
        Board or day of each chop.
    treatment : sequence of str, optional
        Heat treatment of the chop's blade.
    through : array_like of bool, optional
        Chops that went through the piece, whose depth is only a lower bound: left out.
    """

    blade: Sequence[str]
    chop: Sequence[float]
    depth_mm: Sequence[float]
    block: Sequence[str] | None = None
    treatment: Sequence[str] | None = None
    through: Sequence[bool] | None = None


def fit_depths(chops, *, against=None, level=0.95):
    """Depth per chop against the chops made so far, by log-linear regression.

    Blades by least squares; heat treatments with two blades or more by the means of their
    blades' figures, the scatter between blades integrated out.

    Parameters
    ----------
    chops : SingleChops
    against : str, optional
        Blade the others are compared with; the first where missing.
    level : float
        Coverage of the intervals.

    Returns
    -------
    DepthFit

    Raises
    ------
    UnusableInput
        If a depth is not above zero or too few are left to fit.
    """
    data, doubts = _clean(chops)
    names = list(dict.fromkeys(data.blade.tolist()))
    second = against or names[0]
    if second not in names:
        raise UnusableInput(f'blade "{second}" has no depths', "against", "name another")
    midway = float(data.hundreds.max() / 2)
    fit, blades = _least_squares(data, names, level)
    sloped = [one.name for one in blades if one.slope is not None]
    doubts += [doubt("few_depths", where=Where(blade=b)) for b in names if b not in sloped]
    doubts += [doubt("one_blade", where=Where(blade=names[0]))] if len(names) == 1 else []
    lines, ratios = _figures(fit, blades, second, midway)
    groups = treatment_groups(sloped, _treatment_of(data), second)
    kinds, between = _kinds(fit, blades, groups, midway)
    more = _between_kinds(fit, blades, groups, midway)
    return DepthFit(
        blades=tuple(lines),
        treatments=tuple(kinds),
        ratios=(*ratios, *more),
        midway_chops=100 * midway,
        sd_log_within=fit.sd_within,
        sd_log_between=between,
        level=level,
        doubts=tuple(doubts),
    )


@dataclass(frozen=True)
class _Depths:
    """Depths to fit: blade, hundreds of chops, log depth, block columns, heat treatment."""

    blade: np.ndarray
    hundreds: np.ndarray
    log_depth: np.ndarray
    blocks: list[np.ndarray]
    treatment: np.ndarray | None


@dataclass(frozen=True)
class _Fit:
    """Coefficients, covariance and degrees of freedom of either kind of fit."""

    params: np.ndarray
    cov: np.ndarray
    df: float
    sd_within: float
    method: str
    level: float

    def contrast(self, weights):
        """A contrast of the coefficients."""
        return log_contrast(weights, self.params, self.cov, self.df)

    def estimate(self, weights, unit):
        """Exp of a contrast with its t interval."""
        return self.contrast(weights).factor(unit, self.level, self.method)


@dataclass(frozen=True)
class _Subject:
    """A blade or heat treatment in a fit, with the contrasts of its fresh depth and its slope."""

    name: str
    scope: str
    blades: int
    depths: int
    fresh: np.ndarray
    slope: np.ndarray | None

    def after(self, hundreds):
        """The contrast of its log depth after some hundreds of chops."""
        return self.fresh if self.slope is None else self.fresh + hundreds * self.slope


def _clean(chops):
    """Arrays without the chops that went through, and what that leaves to doubt."""
    blade = np.asarray([str(name) for name in chops.blade])
    chop = np.asarray(chops.chop, dtype=float)
    depth = np.asarray(chops.depth_mm, dtype=float)
    n = len(blade)
    if not chop.shape == depth.shape == (n,):
        raise UnusableInput(f"{n} blades, {depth.size} depths", "depths", "give one row a chop")
    for where in ("block", "treatment", "through"):
        column = getattr(chops, where)
        if column is not None and len(column) != n:
            what = f"{len(column)} values for {n} depths"
            raise UnusableInput(what, where, "give one a chop")
    through = np.zeros(n, bool) if chops.through is None else np.asarray(chops.through, dtype=bool)
    cut = dict.fromkeys(blade[through].tolist())
    doubts = [doubt("depth_censored", where=Where(blade=name)) for name in cut]
    keep = ~through
    bad = keep & ~(np.isfinite(depth) & (depth > 0) & np.isfinite(chop) & (chop >= 0))
    if bad.any():
        row = int(np.flatnonzero(bad)[0])
        what = f"chop {row + 1} has depth {depth[row]:g} mm after {chop[row]:g} chops"
        raise UnusableInput(what, "depths", "give depths above zero; leave misses out")
    if keep.sum() < LEAST_DEPTHS:
        raise UnusableInput(f"{keep.sum()} depths", "depths", f"measure {LEAST_DEPTHS} or more")
    block, treatment = (
        None if column is None else np.asarray([str(word) for word in column])[keep]
        for column in (chops.block, chops.treatment)
    )
    blocks = [] if block is None else _block_columns(block)
    return _Depths(blade[keep], chop[keep] / 100, np.log(depth[keep]), blocks, treatment), doubts


def _block_columns(block):
    """A column about its mean for every block but the first."""
    inside = [(block == name).astype(float) for name in list(dict.fromkeys(block.tolist()))[1:]]
    return [column - column.mean() for column in inside]


def _least_squares(data, names, level):
    """Ordinary least squares: every blade its own line, one residual variance."""
    own = {name: data.blade == name for name in names}
    sloped = [
        name
        for name in names
        if own[name].sum() >= LEAST_DEPTHS and np.ptp(data.hundreds[own[name]]) > 0
    ]
    design = np.column_stack(
        [own[name].astype(float) for name in names]
        + [np.where(own[name], data.hundreds, 0.0) for name in sloped]
        + data.blocks
    )
    if np.linalg.matrix_rank(design) < design.shape[1]:
        what = "blades and blocks cannot be told apart"
        raise UnusableInput(what, "depths", "chop every blade in every block, or drop the blocks")
    df = len(design) - design.shape[1]
    if df < 1:
        raise UnusableInput(f"{len(design)} depths", "depths", "measure more chops")
    inverse = np.linalg.inv(design.T @ design)
    params = inverse @ design.T @ data.log_depth
    variance = float(np.sum((data.log_depth - design @ params) ** 2)) / df
    method = f"log-linear fit, t with {df} df"
    fit = _Fit(params, variance * inverse, df, sqrt(variance), method, level)
    unit = np.eye(design.shape[1])
    slopes = {name: unit[len(names) + i] for i, name in enumerate(sloped)}
    return fit, [
        _Subject(name, "blade", 1, int(own[name].sum()), unit[i], slopes.get(name))
        for i, name in enumerate(names)
    ]


def _treatment_of(data):
    """Heat treatment of each blade that has one."""
    if data.treatment is None:
        return {}
    return dict(zip(data.blade.tolist(), data.treatment.tolist(), strict=True))


def _values(fit, blades, contrast):
    """One figure of each blade with a loss, and their covariance."""
    own = [one for one in blades if one.slope is not None]
    weights = np.array([contrast(one) for one in own])
    cov = weights @ fit.cov @ weights.T
    return BladeValues(tuple(one.name for one in own), weights @ fit.params, cov, fit.df)


def _kinds(fit, blades, groups, midway):
    """Line of each heat treatment with blades enough, and how its blades scatter half way."""
    groups = {kind: own for kind, own in groups.items() if len(own) >= LEAST_REPLICATES}
    if not groups:
        return [], None
    group = [kind for kind, own in groups.items() for _ in own]
    names = [blade for own in groups.values() for blade in own]

    def means(contrast, usual):
        own = _values(fit, blades, contrast).of(names)
        return group_means(own.value, own.cov, group, usual, df=own.df)

    fresh = means(lambda one: one.fresh, STROKE_SCATTER)
    middle = means(lambda one: one.after(midway), STROKE_SCATTER)
    slope = means(lambda one: one.slope, LOSS_SCATTER)
    counts = {one.name: one.depths for one in blades}
    lines = []
    for kind, own in groups.items():
        method = f"mean of {len(own)} blades, scatter with a prior"
        kept = slope.mean(kind).factor("", fit.level, method)
        lines.append(
            DepthLine(
                kind,
                "heat_treatment",
                len(own),
                sum(counts[name] for name in own),
                fresh.mean(kind).factor(DEPTH_UNIT, fit.level, method),
                middle.mean(kind).factor(DEPTH_UNIT, fit.level, method),
                _loss(kept, method, fit.level),
            )
        )
    return lines, middle.scatter


def _between_kinds(fit, blades, groups, midway):
    """Depth half way and loss of every heat treatment against the first."""
    if not groups:
        return []
    middle = _values(fit, blades, lambda one: one.after(midway))
    slope = _values(fit, blades, lambda one: one.slope)
    found = []
    for pair in pairs_of(groups):
        depth = compared(pair, middle, STROKE_SCATTER, DEPTH, fit.level)
        found.append(replace(depth, at_chops=100 * midway))
        found.append(loss_compared(pair, slope, fit.level))
    return found


def _loss(kept, method, level):
    """What is lost, in percent, of what is kept."""
    value, low, high = (100 * (1 - share) for share in (kept.value, kept.high, kept.low))
    return Estimate(value, low, high, LOSS_UNIT, level, method)


def _figures(fit, subjects, second, midway):
    """Lines of the subjects, and the ratios of the others' depth half way to that of `second`."""
    lines = [_line(fit, one, midway) for one in subjects]
    middle = {one.name: one.after(midway) for one in subjects}
    ratios = [
        _ratio(fit, one, second, middle[one.name] - middle[second])
        for one in subjects
        if one.name != second
    ]
    return lines, ratios


def _line(fit, subject, midway):
    """Figures of a blade or heat treatment."""
    loss = None
    if subject.slope is not None:
        loss = _loss(fit.estimate(subject.slope, ""), fit.method, fit.level)
    return DepthLine(
        subject.name,
        subject.scope,
        subject.blades,
        subject.depths,
        fit.estimate(subject.fresh, DEPTH_UNIT),
        fit.estimate(subject.after(midway), DEPTH_UNIT),
        loss,
    )


def _ratio(fit, first, second, contrast):
    """Depth of one over the other; `probability_less` is that the first cuts less deep."""
    less = fit.contrast(contrast).probability_below()
    ratio, scope = fit.estimate(contrast, ""), f"{first.scope}s"
    return BladeRatio(first.name, second, DEPTH, ratio, less, scope, float(fit.df))
