"""Which blades have no life because their fresh edge has passed the limit, and which to choose?

What is left are the finest fresh edges: their lives say nothing of the heat treatments, nor how
many blades would.
"""

from dataclasses import replace
from math import ceil, floor, log10

from edgetest.doubts import Where, doubt
from edgetest.store.logs import READINGS
from edgetest.study.wear.choice import PASSED_FRESH

# What a comparison says of blades that were never cut: not true of those that were.
OF_TOO_FEW = ("one_blade_per_treatment", "one_blade_of_some")


def without_a_life(fit, runs):
    """Those of the runs whose fresh edge has passed the limit, in the order of the fit.

    Parameters
    ----------
    fit : StudyFit
    runs : collection of str
        Those that are compared; the control blade's are not.

    Returns
    -------
    tuple of str
    """
    return tuple(
        curve.blade
        for curve in fit.blades
        if curve.life is None
        and curve.blade in runs
        and any(one.code == PASSED_FRESH for one in curve.doubts)
    )


def limit_doubts(found, fit, limit, control):
    """One doubt a blade without a life, each with the limit to choose; none where all have one.

    Parameters
    ----------
    found : StudyReadings
    fit : StudyFit
    limit : float or None
        In the reading's unit; None where it is a multiple of the fresh reading.
    control : str or None

    Returns
    -------
    list of Doubt
    """
    runs = {each.run for each in found.used if each.blade != control}
    passed = without_a_life(fit, runs)
    if limit is None or not passed:
        return []
    fresh = {curve.blade: float(curve.predict(curve.cuts.min()).value[0])
             for curve in fit.blades if curve.blade in runs and len(curve.psi)}  # fmt: skip
    rises = fresh[passed[0]] > limit
    coarsest = (max if rises else min)(fresh.values())
    unit = READINGS.get(found.reading) or ""
    words = {
        "limit": f"{limit:g} {unit}".strip(),
        "beyond": "above" if rises else "below",
        "fresh": f"{_outwards(coarsest, rises):g} {unit}".strip(),
    }
    return [
        doubt("limit_within_fresh", where=Where(blade=run, value=fresh[run]), **words)
        for run in passed
    ]


def _outwards(value, up):
    """A reading to two digits, never nearer than it is."""
    step = 10.0 ** (floor(log10(value)) - 1) if value > 0 else 1.0
    return round((ceil if up else floor)(value / step) * step, 10)


def blades_passed(found, doubts):
    """Blade and heat treatment of each run that has no life.

    Parameters
    ----------
    found : StudyReadings
    doubts : sequence of Doubt
        Of `limit_doubts`.

    Returns
    -------
    tuple of (str, str)
    """
    runs = {one.where.blade for one in doubts}
    pairs = ((each.blade, each.heat_treatment) for each in found.used if each.run in runs)
    return tuple(dict.fromkeys(pairs))


def told_of_passed(comparison, found, doubts):
    """The comparison; of blades that were cut it does not say that they are wanting.

    Parameters
    ----------
    comparison : Comparison
    found : StudyReadings
    doubts : sequence of Doubt
        Of `limit_doubts`.

    Returns
    -------
    Comparison
    """
    if not doubts:
        return comparison
    cut: dict[str, set[str]] = {one.treatment: set(one.blades) for one in comparison.groups}
    for blade, treatment in blades_passed(found, doubts):
        cut.setdefault(treatment, set()).add(blade)
    said = comparison.doubts
    if all(len(blades) > 1 for blades in cut.values()):
        said = tuple(one for one in said if one.code not in OF_TOO_FEW)
    return replace(comparison, needed=None, doubts=said)
