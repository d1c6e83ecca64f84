"""Blades, and heat treatments with blades as replicates, compared on fitted chop counts."""

from math import isfinite, sqrt

import numpy as np

from edgetest.chop.count_results import BladeRatio
from edgetest.estimate import Estimate
from edgetest.stats.rates import poisson_ratio
from edgetest.stats.regression import LogContrast

# Below so many chops in all the exact Poisson interval is the floor; no source.
SMALL_COUNT = 10


def method_of(fit):
    """The words for how an interval was made."""
    if not isfinite(fit.df_interval):
        return "Poisson regression"
    return (
        f"Poisson regression, dispersion {fit.dispersion:.2f} ({fit.spread}),"
        f" t with {fit.df_interval:.3g} df"
    )


def widest(estimate, exact):
    """The regression's value with the wider of its interval and the exact one about it."""
    return Estimate(
        estimate.value,
        min(estimate.low, estimate.value * exact.low / exact.value),
        max(estimate.high, estimate.value * exact.high / exact.value),
        estimate.unit,
        estimate.level,
        f"{estimate.method}; not narrower than exact Poisson",
    )


def blade_ratio(first, second, rates, fit, *, exact, level):
    """Two blades compared on the billets they severed.

    Parameters
    ----------
    first, second : str
        Names of blades in `rates`.
    rates : sequence of BladeRate
        In the order of the design's first columns.
    fit : RateFit
    exact : bool
        Whether nothing but the blades is fitted, so that the exact interval applies where
        counts are small or the spread is Poisson's.
    level : float

    Returns
    -------
    BladeRatio
    """
    names = [rate.blade for rate in rates]
    contrast = np.zeros(len(fit.params))
    contrast[names.index(first)], contrast[names.index(second)] = 1.0, -1.0
    log_ratio = fit.contrast(contrast)
    ratio = log_ratio.factor("", level, method_of(fit))
    a, b = (rates[names.index(name)] for name in (first, second))
    by_chance = not isfinite(fit.df_interval)
    if exact and (by_chance or min(a.chops, b.chops) < SMALL_COUNT):
        known = poisson_ratio(a.chops, a.area_cm2, b.chops, b.area_cm2, level=level)
        ratio = known if by_chance else widest(ratio, known)
    less = log_ratio.probability_below()
    return BladeRatio(first, second, "chops", ratio, less, "blades", fit.df_interval)


def treatment_ratios(names, treatment_of, fit, *, level):
    """Heat treatments compared by pooled t with their blades as replicates, where there are enough.

    The standard error is the larger of what the scatter between blades says (pooled t) and
    what the billets alone say, so that two blades alike by luck do not look certain.

    Parameters
    ----------
    names : sequence of str
        Blades in the order of the design's first columns.
    treatment_of : mapping of str to str
        Heat treatment by blade.
    fit : RateFit
    level : float

    Returns
    -------
    list of BladeRatio
        Each treatment with two or more blades over the first.
    """
    groups = tuple(dict.fromkeys(treatment_of[name] for name in names))
    members = {g: [i for i, n in enumerate(names) if treatment_of[n] == g] for g in groups}
    out = []
    for first in groups[1:]:
        a, b = members[first], members[groups[0]]
        if min(len(a), len(b)) < 2:
            continue
        contrast = np.zeros(len(fit.params))
        contrast[a], contrast[b] = 1 / len(a), -1 / len(b)
        squares = sum(float(np.var(fit.params[m]) * len(m)) for m in (a, b))
        df = float(len(a) + len(b) - 2)
        between = squares / df * (1 / len(a) + 1 / len(b))
        known = fit.contrast(contrast)
        log_ratio = LogContrast(known.value, max(sqrt(between), known.stderr), df)
        ratio = log_ratio.factor("", level, f"t on blades, {df:.0f} df, log scale")
        less = log_ratio.probability_below()
        out.append(BladeRatio(first, groups[0], "chops", ratio, less, "heat_treatments", df))
    return out
