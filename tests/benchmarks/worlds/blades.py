"""Populations of blades: lives drawn first, curves scaled to them, medians known."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import numpy as np
from scipy import stats

from tests.benchmarks.worlds.shapes import Edge, Shape

MANY = 4001
SEED = 20250117
NAMES = ("temper 180", "temper 210", "temper 240", "temper 270")


@dataclass(frozen=True)
class Treatment:
    """Blades of one heat treatment: log life symmetric about log_median, SD sd.

    With df the scatter is that of t with df degrees of freedom, scaled to the SD.
    """

    name: str
    log_median: float
    sd: float
    df: float
    shape: Shape
    memory: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def log_lives(self, rng, k):
        """Log lives of k blades on a roll of median hardness."""
        if self.df:
            z = rng.standard_t(self.df, k) / np.sqrt(self.df / (self.df - 2.0))
        else:
            z = rng.standard_normal(k)
        return self.log_median + self.sd * z

    def many(self):
        """A large fixed draw: log lives as a column (evenly spread) and their curves."""
        if "many" not in self.memory:
            rng = np.random.default_rng(SEED)
            levels = (rng.permutation(MANY) + 0.5) / MANY
            if self.df:
                z = stats.t.ppf(levels, self.df) / np.sqrt(self.df / (self.df - 2.0))
            else:
                z = stats.norm.ppf(levels)
            lives = (self.log_median + self.sd * z)[:, None]
            self.memory["many"] = lives, self.shape(rng, MANY)
        return self.memory["many"]


def median_log_width(treatment, cuts):
    """Median of the log width over blades at each of the cuts."""
    lives, curve = treatment.many()
    cuts = np.atleast_1d(np.asarray(cuts, dtype=float))
    known = treatment.memory.setdefault("widths", {})
    for one in cuts:
        if one not in known:
            known[one] = float(np.median(curve.log_width(one / np.exp(lives))))
    return np.array([known[one] for one in cuts])


def _time_at(curve, log_width):
    """Lives at which each curve first reaches the log width (inf where it never does)."""
    low, high = np.full((MANY, 1), np.log(1e-7)), np.full((MANY, 1), np.log(64.0))
    never = curve.log_width(np.exp(high)) < log_width
    for _ in range(48):
        middle = (low + high) / 2.0
        reached = curve.log_width(np.exp(middle)) >= log_width
        low, high = np.where(reached, low, middle), np.where(reached, middle, high)
    return np.where(never, np.inf, high)


def median_log_life_at(treatment, width):
    """Median over blades of the log of the cuts to each of the widths (inf: half never)."""
    lives, curve = treatment.many()
    widths = np.atleast_1d(np.asarray(width, dtype=float))
    known = treatment.memory.setdefault("lives", {})
    for one in widths:
        if one not in known:
            known[one] = float(np.median(lives + _time_at(curve, np.log(one))))
    return np.array([known[one] for one in widths])


def pairs_of(treatments, values):
    """Later less earlier: a value for two treatments, a dict by (later, earlier) for more."""
    if len(treatments) == 2:
        gap = values[1] - values[0]
        return float(gap) if np.ndim(gap) == 0 else gap
    return {
        (treatments[j].name, treatments[i].name): values[j] - values[i]
        for i, j in combinations(range(len(treatments)), 2)
    }


def differences(treatments, median, at):
    """Differences between treatments of a median that is a function of cuts or width."""
    values = [median(one, at) for one in treatments]
    if np.ndim(at) == 0:
        values = [float(one[0]) for one in values]
    with np.errstate(invalid="ignore"):
        return pairs_of(treatments, values)


def draw_edge(rng):
    """Limit, fresh width and its scatter of one study."""
    return Edge(
        limit=float(rng.choice([10.0, 12.0, 12.0, 15.0])),
        fresh=rng.uniform(1.5, 4.0),
        fresh_sd=rng.uniform(0.02, 0.08),
    )


def draw_scatters(rng, k, scatter):
    """SD of the log life of each of k treatments; scatter: a number, "unequal" or None."""
    if scatter == "unequal":
        small = rng.uniform(0.05, 0.12)
        sds = np.full(k, small)
        sds[rng.integers(k)] = min(0.3, small * rng.uniform(2.0, 3.5))
        return sds
    return np.full(k, rng.uniform(0.05, 0.3) if scatter is None else float(scatter))


def draw_treatments(rng, shapes, ratios, scatter=None, df=0.0, median=None):
    """Treatments with the ratios (each over the first) of median lives.

    Parameters
    ----------
    shapes
        One shape a treatment.
    ratios
        Ratios of the second and later treatments over the first.
    scatter, df
        SD of log life (see `draw_scatters`) and degrees of freedom (0: normal).
    median
        Range of the geometric mean of the median lives, from which it is drawn.
    """
    logs = np.log(np.concatenate([[1.0], np.atleast_1d(ratios)]))
    gaps = logs - logs.mean()
    low, high = median or (150.0, 1200.0)
    centre = rng.uniform(np.log(low), np.log(high))
    sds = draw_scatters(rng, len(logs), scatter)
    return tuple(
        Treatment(NAMES[i], float(centre + gaps[i]), float(sds[i]), df, shapes[i])
        for i in range(len(logs))
    )


def true_log_ratio(treatments):
    """Log ratio(s) of the median lives, exact by the symmetry of the log lives."""
    return pairs_of(treatments, [one.log_median for one in treatments])
