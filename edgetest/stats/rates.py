"""Exact intervals for counts: events on an exposure, two of them compared, and shares.

A count of zero gives a one-sided upper bound at the stated level, because 'none seen'
leaves only one question: how many could it still be. The two-sided limits are statsmodels';
it is imported when a count is asked about, because loading it takes most of a second.
"""

from math import inf, log

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate


def _checked(count, exposure, where):
    """Count and exposure as numbers that an interval can be made of."""
    if not (np.isfinite(count) and count >= 0 and float(count).is_integer()):
        raise UnusableInput(f"{count:g} is not a count", where, "give a whole number, 0 or more")
    if not (np.isfinite(exposure) and exposure > 0):
        raise UnusableInput(f"exposure {exposure:g}", where, "give an exposure above zero")
    return float(count), float(exposure)


def poisson_rate(count, exposure, *, unit="", level=0.95, per=1.0, where="count"):
    """Rate of events per `per` units of exposure, with Garwood's exact Poisson interval.

    Parameters
    ----------
    count : int
        Events seen.
    exposure : float
        Length, area or number of chops in which they were looked for, > 0.
    unit : str
        Unit of the rate as it is printed.
    level : float
        Coverage.
    per : float
        The rate is given per this much exposure.
    where : str
        What an error names.

    Returns
    -------
    Estimate
        Two-sided exact interval; for a count of zero the one-sided upper bound
        -log(1 - level) / exposure, about 3 / exposure at 95 %.

    Raises
    ------
    UnusableInput
        If count is no count or exposure is not above zero.

    References
    ----------
    .. [1] F. Garwood, "Fiducial limits for the Poisson distribution", Biometrika 28 (1936)
       437-442.
    """
    count, exposure = _checked(count, exposure, where)
    scale = per / exposure
    if count == 0:
        bound = -log(1 - level) * scale
        return Estimate(0.0, 0.0, bound, unit, level, "exact Poisson, upper bound")
    from statsmodels.stats.rates import confint_poisson

    low, high = confint_poisson(count, 1.0, method="exact-c", alpha=1 - level)
    method = "exact Poisson (Garwood)"
    return Estimate(count * scale, float(low * scale), float(high * scale), unit, level, method)


def poisson_ratio(count_a, exposure_a, count_b, exposure_b, *, level=0.95):
    """Rate a over rate b, conditional exact interval: the sum of the counts is held.

    Parameters
    ----------
    count_a, exposure_a, count_b, exposure_b : float
        Counts and exposures of the two.
    level : float
        Coverage.

    Returns
    -------
    Estimate
        Ratio (dimensionless); open ends are 0 and infinity.

    Raises
    ------
    UnusableInput
        If both counts are zero: nothing can be said about their ratio.

    References
    ----------
    .. [1] E. L. Lehmann, Testing Statistical Hypotheses, 2nd ed. (1986), section 4.5.
    """
    count_a, exposure_a = _checked(count_a, exposure_a, "count_a")
    count_b, exposure_b = _checked(count_b, exposure_b, "count_b")
    if count_a + count_b == 0:
        raise UnusableInput("both counts are zero", "ratio of rates", "chop more")
    low, high = _clopper_pearson(count_a, count_a + count_b, level)
    odds = exposure_b / exposure_a
    value = inf if count_b == 0 else count_a / count_b * odds
    upper = inf if high == 1 else high / (1 - high) * odds
    return Estimate(value, low / (1 - low) * odds, upper, "", level, "exact conditional Poisson")


def _clopper_pearson(hits, trials, level):
    """Clopper-Pearson limits of a share."""
    from statsmodels.stats.proportion import proportion_confint

    low, high = proportion_confint(hits, trials, alpha=1 - level, method="beta")
    return float(low), float(high)


def share(hits, trials, *, level=0.95):
    """Hits out of trials (near misses, chops that chipped) with the Clopper-Pearson interval.

    Returns
    -------
    Estimate
        Share between 0 and 1; with no hits the one-sided upper bound
        1 - (1 - level)**(1 / trials), about 3 / trials at 95 %; with nothing but hits the
        lower bound of the same kind.

    Raises
    ------
    UnusableInput
        If hits are not between 0 and trials.
    """
    if not 0 <= hits <= trials or trials <= 0:
        what = f"{hits:g} of {trials:g}"
        raise UnusableInput(what, "share", "give hits between 0 and the number of trials")
    if hits == 0:
        bound = 1 - (1 - level) ** (1 / trials)
        return Estimate(0.0, 0.0, bound, "", level, "exact binomial, upper bound")
    if hits == trials:
        bound = (1 - level) ** (1 / trials)
        return Estimate(1.0, bound, 1.0, "", level, "exact binomial, lower bound")
    low, high = _clopper_pearson(hits, trials, level)
    return Estimate(hits / trials, low, high, "", level, "exact binomial (Clopper-Pearson)")
