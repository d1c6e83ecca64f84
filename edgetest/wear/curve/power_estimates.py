"""The powers of a study's wear law: each heat treatment's, their mean, and whether they differ."""

from math import log

import numpy as np

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.estimate import Estimate
from edgetest.wear.curve.law_lives import df_with_power
from edgetest.wear.curve.treatment_powers import PRIOR_SD

NOT_IDENTIFIED = 0.75  # of the prior's interval: readings that leave p so wide say little about it


def power_estimates(fitted, treatments, level, spare, said_as=None):
    """Powers by heat treatment, their mean, and what is doubtful about them.

    Parameters
    ----------
    fitted : Fitted
    treatments : sequence of str, length T
        Names in the order of the numbers that the blades carry.
    level : float
    spare : int
        Stages beyond parameters in the study: degrees of freedom of the readings' part.
    said_as : dict of str to str, optional
        Those that are held against each other, each with what sentences call it; else all.

    Returns
    -------
    powers : dict of str to Estimate
    common : Estimate or None
    doubts : tuple of Doubt
    """
    if fitted.log_power is None:
        return {}, None, ()
    if fitted.power_set:
        p = float(np.exp(fitted.log_power[0]))
        each = Estimate(p, p, p, "", level, "set by hand")
        return dict.fromkeys(treatments, each), each, ()
    method = f"hierarchical normal prior about {np.exp(fitted.prior_mean):g}"
    found = fitted.powers
    quantile = [_quantile(var, level, spare) for var in np.diag(found.cov)]
    powers = {
        name: _estimate(fitted.log_power[t], found.cov[t, t], quantile[t], level, method)
        for t, name in enumerate(treatments)
    }
    if len(treatments) == 1:
        common = powers[treatments[0]]
    else:
        at, var = fitted.prior_mean + found.common, found.common_var
        common = _estimate(at, var, _quantile(var, level, spare), level, method)
    vague = NOT_IDENTIFIED * 2 * _quantile(PRIOR_SD**2, level, spare) * PRIOR_SD
    codes = ["power_not_identified"] if _any_wider(powers, vague) else []
    doubts = doubts_of(codes, where=Where(value=common.value))
    said_as = dict(zip(treatments, treatments, strict=True)) if said_as is None else said_as
    named = [
        f"{said_as[name]}: {powers[name].summary()}" if name in said_as else ""
        for name in treatments
    ]
    return powers, common, doubts + _differing(fitted, named, spare)


def _quantile(var, level, spare):
    """Quantile of a log power's error; what the prior knows has no degrees of freedom to lose."""
    from scipy.special import stdtrit

    return float(stdtrit(df_with_power(max(spare - 1, 1), 0.0, var, var), 0.5 + level / 2))


def _estimate(log_power, var, quantile, level, method):
    half = quantile * np.sqrt(var)
    value, low, high = np.exp(log_power + half * np.array([0.0, -1.0, 1.0])).tolist()
    return Estimate(value, low, high, "", level, method)


def _any_wider(powers, widest):
    return any(log(each.high / each.low) > widest for each in powers.values())


def _differing(fitted, named, spare):
    """The two heat treatments whose powers lie furthest apart, where 95 % leave out 0.

    `named` has each with its power in words, "" where it is held against none. Of several pairs
    the furthest is told as what it is: each alone has its 95 %.
    """
    cov, furthest = fitted.power_cov, (0.0, 0, 0)
    held = [t for t, words in enumerate(named) if words]
    for t in held:
        for s in (one for one in held if one < t):
            var = max(cov[t, t] + cov[s, s] - 2 * cov[s, t], 1e-300)
            apart = abs(fitted.log_power[t] - fitted.log_power[s]) / np.sqrt(var)
            furthest = max(furthest, (float(apart), s, t))
    apart, s, t = furthest
    quantile = _quantile(fitted.power_cov[t, t], 0.95, spare)
    if apart <= quantile:
        return ()
    far = abs(fitted.log_power[t] - fitted.log_power[s])
    ends = np.exp(far * (1 + quantile / apart * np.array([0.0, -1.0, 1.0])))
    times, low, high = (f"{end:.3g}" for end in ends.tolist())
    pairs = len(held) * (len(held) - 1) // 2
    of_pairs = f"; the furthest apart of {pairs} pairs" if pairs > 1 else ""
    words = {"first": named[s], "second": named[t], "of_pairs": of_pairs}
    return (doubt("shapes_differ", times=times, low=low, high=high, **words),)


def against_power(fitted, free, spare):
    """Whether the readings speak against the power that was set (99 %).

    Parameters
    ----------
    fitted, free : Fitted
        With the power set, and with powers estimated.
    spare : int

    Returns
    -------
    tuple of Doubt
    """
    for t, log_power in enumerate(free.log_power):
        var = free.power_cov[t, t]
        if abs(log_power - fitted.log_power[t]) > _quantile(var, 0.99, spare) * np.sqrt(var):
            return (doubt("power_misfits", where=Where(value=float(np.exp(log_power)))),)
    return ()


def power_root(power_cov):
    """Root (T, T) of the covariance of the log powers, a row a heat treatment."""
    values, vectors = np.linalg.eigh(power_cov)
    return vectors * np.sqrt(np.maximum(values, 0.0))
