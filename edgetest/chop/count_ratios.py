"""Blades, and heat treatments with blades as replicates, compared on fitted chop counts."""

from dataclasses import replace
from math import isfinite
from typing import NamedTuple

import numpy as np

from edgetest.chop.count_results import BladeRatio
from edgetest.chop.treatment_pairs import (
    STROKE_SCATTER,
    BladeValues,
    compared,
    pairs_of,
    treatment_groups,
)
from edgetest.estimate import Estimate
from edgetest.stats.rates import poisson_ratio

# Below so many chops in all the exact Poisson interval is the floor; no source.
SMALL_COUNT = 10


class BladeStrokes(NamedTuple):
    """What a comparison needs of a blade beside the fit: its strokes, and the cm² they cut."""

    blade: str
    chops: float
    area_cm2: float


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
    rates : sequence of BladeRate or BladeStrokes
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


def treatment_ratios(names, treatment_of, rates, fit, *, second, exact, level):
    """Chops of heat treatments compared, their blades the replicates where there are enough.

    Parameters
    ----------
    names : sequence of str
        Blades in the order of the design's first columns.
    treatment_of : mapping of str to str
        Heat treatment by blade; blades without one stand aside.
    rates, fit, exact
        As for `blade_ratio`.
    second : str
        Blade whose heat treatment the others are compared with.
    level : float

    Returns
    -------
    tuple of BladeRatio
    """
    groups = treatment_groups(names, treatment_of, second)
    params, cov = fit.params[: len(names)], fit.cov[: len(names), : len(names)]
    blades = BladeValues(tuple(names), params, cov, float(fit.df_interval))
    found = []
    for pair in pairs_of(groups):
        if pair.one_each:
            a, b = pair.only
            one = blade_ratio(a, b, rates, fit, exact=exact, level=pair.level(level))
            found.append(replace(one, first=pair.first, second=pair.second, scope="tools", df=None))
        else:
            found.append(compared(pair, blades, STROKE_SCATTER, "chops", level))
    return tuple(found)
