"""Heat treatments of choppers in pairs: which blades stand for each, and one contrast of them.

Blades are the replicates: random-effects means, the scatter between blades of one heat
treatment integrated out with a prior. The rule follows from the number of blades alone; one
blade of a heat treatment speaks of that tool only.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from edgetest.chop.count_results import BladeRatio
from edgetest.stats.regression import log_contrast
from edgetest.stats.replicate_scatter import LEAST_REPLICATES, UsualScatter, group_means

# How blades hardened alike scatter, sd of the log: strokes and depth per chop; the log of the
# depth that 100 chops leave. No source; wide, so that two blades a side keep their level also
# where blades scatter by 0.3 (tests/benchmarks/chop_coverage.py).
STROKE_SCATTER = UsualScatter(median=0.2, log_sd=1.0)
LOSS_SCATTER = UsualScatter(median=0.05, log_sd=1.0)


@dataclass(frozen=True)
class BladeValues:
    """What is known of each blade on the log scale, and its covariance within the blades."""

    names: tuple[str, ...]
    value: np.ndarray
    cov: np.ndarray
    df: float

    def of(self, names):
        """The same of some blades."""
        place = [self.names.index(name) for name in names]
        return BladeValues(tuple(names), self.value[place], self.cov[np.ix_(place, place)], self.df)


@dataclass(frozen=True)
class TreatmentPair:
    """Two heat treatments, the blades that stand for each, and of how many pairs it is one."""

    first: str
    second: str
    first_blades: tuple[str, ...]
    second_blades: tuple[str, ...]
    pairs: int = 1

    @property
    def sizes(self):
        """Blades of either side."""
        return len(self.first_blades), len(self.second_blades)

    @property
    def replicated(self):
        """Whether both have blades enough to speak of heat treatments."""
        return min(self.sizes) >= LEAST_REPLICATES

    @property
    def one_each(self):
        """Whether one tool stands against one tool."""
        return self.sizes == (1, 1)

    @property
    def only(self):
        """The two blades, where it is one each."""
        return self.first_blades[0], self.second_blades[0]

    @property
    def scope(self):
        """What its ratios speak of."""
        return "heat_treatments" if self.replicated else "tools"

    def level(self, level):
        """Coverage of one interval so that all pairs together hold theirs (Šidák)."""
        return level ** (1 / self.pairs)

    def among(self, names):
        """The pair on the blades that have what is compared, or None where a side has none."""
        first = tuple(name for name in self.first_blades if name in names)
        second = tuple(name for name in self.second_blades if name in names)
        if not (first and second):
            return None
        return TreatmentPair(self.first, self.second, first, second, self.pairs)


def treatment_groups(names, treatment_of: Mapping[str, str], second):
    """Blades by heat treatment; that of the blade `second` comes first. One alone is none."""
    found: dict[str, list[str]] = {}
    for name in sorted(names, key=lambda one: treatment_of.get(one) != treatment_of.get(second)):
        if treatment_of.get(name):
            found.setdefault(treatment_of[name], []).append(name)
    return {kind: tuple(own) for kind, own in found.items()} if len(found) > 1 else {}


def pairs_of(groups):
    """Every heat treatment against the first of them."""
    reference, *others = groups or ("",)
    return tuple(
        TreatmentPair(kind, reference, groups[kind], groups[reference], len(others))
        for kind in others
    )


def compared(pair, blades, usual, quantity, level):
    """One heat treatment over another in a quantity known on the log scale.

    Parameters
    ----------
    pair : TreatmentPair
    blades : BladeValues
        Of these blades, and of others where there are any.
    usual : UsualScatter
    quantity : str
    level : float
        Coverage of all pairs together.

    Returns
    -------
    BladeRatio
    """
    names = (*pair.first_blades, *pair.second_blades)
    own, each = blades.of(names), pair.level(level)
    facts = {"scope": pair.scope, "blades": pair.sizes}
    if not pair.replicated:
        a, b = pair.sizes
        weights = np.concatenate([np.full(a, 1 / a), np.full(b, -1 / b)])
        tools = log_contrast(weights, own.value, own.cov, own.df)
        ratio = tools.factor("", each, "these tools only")
        return BladeRatio(
            pair.first, pair.second, quantity, ratio, tools.probability_below(), **facts
        )
    means = means_of(pair, own, usual)
    apart = means.difference(pair.first, pair.second)
    return BladeRatio(
        pair.first,
        pair.second,
        quantity,
        apart.factor("", each, method_between(pair)),
        apart.below(0.0),
        scatter=means.scatter,
        df=float(sum(pair.sizes) - 2),
        **facts,
    )


def means_of(pair, own, usual):
    """Means of a pair's heat treatments."""
    group = [pair.first] * pair.sizes[0] + [pair.second] * pair.sizes[1]
    return group_means(own.value, own.cov, group, usual, df=own.df)


def method_between(pair):
    """How a ratio of heat treatments was made, in words."""
    words = f"blades as replicates ({pair.sizes[0]} and {pair.sizes[1]}), scatter with a prior"
    return words if pair.pairs == 1 else f"{words}, Šidák for {pair.pairs} pairs"
