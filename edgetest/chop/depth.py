"""Depth per chop and its loss as chops add up, for each blade and for blades of a kind.

Depths are fitted on the log scale, so a loss is a percentage and a typical depth a median.
Blocks (boards, days) are fixed effects about their mean; blades are the replicates.
"""

from dataclasses import dataclass
from math import exp, sqrt

import numpy as np
from scipy.special import stdtr, stdtrit

from edgetest.chop.count_results import BladeRatio
from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.random_effects import fit_mixed

LEAST_DEPTHS = 5
DEPTH_UNIT = "mm per chop"
LOSS_UNIT = "% of depth lost per 100 chops"


@dataclass(frozen=True)
class DepthLine:
    """One blade's (or one heat treatment's) depth when fresh, half way, and its loss."""

    name: str
    scope: str
    blades: int
    depths: int
    fresh_mm: Estimate
    midway_mm: Estimate
    loss_pct_per_100_chops: Estimate | None

    def to_dict(self):
        """Plain values for JSON."""
        loss = self.loss_pct_per_100_chops
        return {
            "name": self.name,
            "scope": self.scope,
            "blades": self.blades,
            "depths": self.depths,
            "fresh_mm": self.fresh_mm.to_dict(),
            "midway_mm": self.midway_mm.to_dict(),
            "loss_pct_per_100_chops": loss.to_dict() if loss else None,
        }

    def summary(self):
        """The line as a maker reads it."""
        text = f"{self.name}: {self.fresh_mm.summary()} when fresh"
        if self.loss_pct_per_100_chops:
            text += f"; {self.loss_pct_per_100_chops.summary()}"
        return text


@dataclass(frozen=True)
class DepthFit:
    """Depth per chop of every blade and heat treatment, and their ratios half way."""

    blades: tuple[DepthLine, ...]
    treatments: tuple[DepthLine, ...]
    ratios: tuple[BladeRatio, ...]
    midway_chops: float
    sd_log_within: float
    sd_log_between: float | None
    level: float
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "blades": [line.to_dict() for line in self.blades],
            "treatments": [line.to_dict() for line in self.treatments],
            "ratios": [ratio.to_dict() for ratio in self.ratios],
            "midway_chops": self.midway_chops,
            "sd_log_within": self.sd_log_within,
            "sd_log_between": self.sd_log_between,
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a blade or heat treatment."""
        import pandas as pd

        return pd.DataFrame(
            {
                "name": line.name,
                "scope": line.scope,
                "depths": line.depths,
                "fresh_mm": line.fresh_mm.value,
                "fresh_low_mm": line.fresh_mm.low,
                "fresh_high_mm": line.fresh_mm.high,
                "loss_pct_per_100_chops": (
                    line.loss_pct_per_100_chops.value if line.loss_pct_per_100_chops else None
                ),
            }
            for line in (*self.blades, *self.treatments)
        )

    def summary(self):
        """The figures as a maker would read them out."""
        return "\n".join(line.summary() for line in (*self.blades, *self.treatments))


def fit_depths(
    blade, chop, depth_mm, *, block=None, treatment=None, against=None, through=None, level=0.95
):
    """Depth per chop against the chops made so far.

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
    against : str, optional
        Blade the others are compared with; the first where missing.
    through : array_like of bool, optional
        Chops that went through the piece, whose depth is only a lower bound: left out.
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
    data, doubts = _clean(blade, chop, depth_mm, block, treatment, through)
    names = list(dict.fromkeys(data.blade.tolist()))
    second = against or names[0]
    if second not in names:
        raise UnusableInput(f'blade "{second}" has no depths', "against", "name another")
    midway = float(data.hundreds.max() / 2)
    lines, ratios, sloped, spread = _blades(data, names, second, midway, level)
    kinds, more, between, about_kinds = _treatments(data, sloped, midway, level)
    doubts += [doubt("few_depths", where=Where(blade=b)) for b in names if b not in sloped]
    doubts += [doubt("one_blade", where=Where(blade=names[0]))] if len(names) == 1 else []
    return DepthFit(
        blades=tuple(lines),
        treatments=tuple(kinds),
        ratios=(*ratios, *more),
        midway_chops=100 * midway,
        sd_log_within=spread,
        sd_log_between=between,
        level=level,
        doubts=(*doubts, *about_kinds),
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
    variance: float
    method: str


def _clean(blade, chop, depth_mm, block, treatment, through):
    """Arrays without the chops that went through, and the columns of the blocks."""
    blade = np.asarray([str(name) for name in blade])
    chop = np.asarray(chop, dtype=float)
    depth = np.asarray(depth_mm, dtype=float)
    n = len(blade)
    if not chop.shape == depth.shape == (n,):
        raise UnusableInput(f"{n} blades, {depth.size} depths", "depths", "give one row a chop")
    for where, column in (("block", block), ("treatment", treatment), ("through", through)):
        if column is not None and len(column) != n:
            what = f"{len(column)} values for {n} depths"
            raise UnusableInput(what, where, "give one a chop")
    doubts = []
    keep = np.ones(n, dtype=bool)
    if through is not None:
        keep = ~np.asarray(through, dtype=bool)
        doubts += [
            doubt("depth_censored", where=Where(blade=b))
            for b in dict.fromkeys(blade[~keep].tolist())
        ]
    bad = keep & ~(np.isfinite(depth) & (depth > 0) & np.isfinite(chop) & (chop >= 0))
    if bad.any():
        row = int(np.flatnonzero(bad)[0])
        what = f"chop {row + 1} has depth {depth[row]:g} mm after {chop[row]:g} chops"
        raise UnusableInput(what, "depths", "give depths above zero; leave misses out")
    if keep.sum() < LEAST_DEPTHS:
        raise UnusableInput(f"{keep.sum()} depths", "depths", f"measure {LEAST_DEPTHS} or more")
    blocks = []
    if block is not None:
        labels = np.asarray([str(b) for b in block])[keep]
        for name in list(dict.fromkeys(labels.tolist()))[1:]:
            inside = (labels == name).astype(float)
            blocks.append(inside - inside.mean())
    if treatment is not None:
        treatment = np.asarray([str(t) for t in treatment])[keep]
    data = _Depths(blade[keep], chop[keep] / 100, np.log(depth[keep]), blocks, treatment)
    return data, doubts


def _blades(data, names, second, midway, level):
    """Every blade's own line and ratio by least squares, which have a loss, the scatter."""
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
    fit = _least_squares(data.log_depth, design)
    lines, middles = [], {}
    unit = np.eye(design.shape[1])
    for i, name in enumerate(names):
        slope = unit[len(names) + sloped.index(name)] if name in sloped else None
        depths = int(own[name].sum())
        line, middles[name] = _line(name, "blade", 1, depths, fit, unit[i], slope, midway, level)
        lines.append(line)
    ratios = [
        _ratio(name, second, "blades", fit, middles[name] - middles[second], level)
        for name in names
        if name != second
    ]
    return lines, ratios, sloped, sqrt(fit.variance)


def _least_squares(y, design):
    """Ordinary least squares with one residual variance."""
    if np.linalg.matrix_rank(design) < design.shape[1]:
        what = "blades and blocks cannot be told apart"
        raise UnusableInput(what, "depths", "chop every blade in every block, or drop the blocks")
    df = len(y) - design.shape[1]
    if df < 1:
        raise UnusableInput(f"{len(y)} depths", "depths", "measure more chops")
    inverse = np.linalg.inv(design.T @ design)
    params = inverse @ design.T @ y
    variance = float(np.sum((y - design @ params) ** 2)) / df
    return _Fit(params, variance * inverse, df, variance, f"log-linear fit, t with {df} df")


def _log_estimate(fit, contrast, unit, level):
    """Exp of a contrast with its t interval."""
    value = float(contrast @ fit.params)
    half = float(stdtrit(fit.df, 0.5 + level / 2)) * sqrt(float(contrast @ fit.cov @ contrast))
    return Estimate(exp(value), exp(value - half), exp(value + half), unit, level, fit.method)


def _line(name, scope, blades, depths, fit, start, slope, midway, level):
    """Figures of a blade or heat treatment, and the contrast of its depth half way."""
    middle = start if slope is None else start + midway * slope
    loss = None
    if slope is not None:
        kept = _log_estimate(fit, slope, "", level)
        loss = Estimate(
            100 * (1 - kept.value),
            100 * (1 - kept.high),
            100 * (1 - kept.low),
            LOSS_UNIT,
            level,
            fit.method,
        )
    line = DepthLine(
        name,
        scope,
        blades,
        depths,
        _log_estimate(fit, start, DEPTH_UNIT, level),
        _log_estimate(fit, middle, DEPTH_UNIT, level),
        loss,
    )
    return line, middle


def _ratio(first, second, scope, fit, contrast, level):
    """Depth of one over the other; `probability_less` is that the first cuts less deep."""
    estimate = _log_estimate(fit, contrast, "", level)
    se = sqrt(float(contrast @ fit.cov @ contrast))
    less = float(stdtr(fit.df, -float(contrast @ fit.params) / se))
    return BladeRatio(first, second, "depth per chop", estimate, less, scope, float(fit.df))


def _treatments(data, sloped, midway, level):
    """Heat treatments with two or more blades each, by the mixed model."""
    if data.treatment is None:
        return [], [], None, []
    blade, treatment = data.blade, data.treatment
    kinds = list(dict.fromkeys(treatment.tolist()))
    members = {
        kind: [b for b in dict.fromkeys(blade[treatment == kind].tolist()) if b in sloped]
        for kind in kinds
    }
    kinds = [kind for kind in kinds if len(members[kind]) >= 2]
    doubts = [
        doubt("one_blade_per_treatment", where=Where(value=kind))
        for kind, blades in members.items()
        if len(blades) < 2
    ]
    if not kinds:
        return [], [], None, doubts
    doubts += [doubt("few_blades", where=Where(value=k)) for k in kinds if len(members[k]) == 2]
    used = np.isin(blade, [b for kind in kinds for b in members[kind]])
    inside = [(treatment[used] == kind).astype(float) for kind in kinds]
    design = np.column_stack(
        inside
        + [column * data.hundreds[used] for column in inside]
        + [b[used] for b in data.blocks]
    )
    random = np.column_stack([np.ones(used.sum()), data.hundreds[used] - midway])
    mixed = fit_mixed(data.log_depth[used], design, blade[used], random)
    df = float(mixed.groups - len(kinds))
    method = f"mixed model, {mixed.groups} blades, t with {df:.0f} df"
    fit = _Fit(mixed.params, mixed.cov, df, mixed.sd_within**2, method)
    lines, middles = [], {}
    for i, kind in enumerate(kinds):
        start, slope = np.zeros(design.shape[1]), np.zeros(design.shape[1])
        start[i], slope[len(kinds) + i] = 1.0, 1.0
        depths = int(inside[i].sum())
        line, middles[kind] = _line(
            kind, "heat_treatment", len(members[kind]), depths, fit, start, slope, midway, level
        )
        lines.append(line)
    ratios = [
        _ratio(kind, kinds[0], "heat_treatments", fit, middles[kind] - middles[kinds[0]], level)
        for kind in kinds[1:]
    ]
    return lines, ratios, float(mixed.sd_between[0]), doubts
