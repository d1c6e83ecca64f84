"""Poisson-lognormal rates of groups: counts of replicates whose rates scatter about their group's.

Without scatter the limits are the exact ones, Garwood's for one rate and the conditional
binomial ones for the ratio of two; the scatter between replicates has a prior and is
integrated out, so no test beforehand decides whether they differ, and counts of zero need no
rule of their own.
"""

from dataclasses import dataclass
from functools import cached_property
from math import inf, log, sqrt

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate

# Values of the scatter that is integrated out, the step of log rates, and the step as a share of
# the standard deviation that the counts alone leave: half of each moves no end by 0.5 %.
SCATTERS, STEP, SHARE_OF_SD = 15, 0.04, 0.3
REACH = 13.0  # log rates either side of the totals' own: what lies beyond is below 1e-5
METHOD = "Poisson-lognormal, scatter of replicates with a prior"
WIDE = 6.0  # standard deviations that a replicate's own shift is followed to


@dataclass(frozen=True)
class ScatteredCounts:
    """Counts and exposures of a group's replicates, shape (n,) each."""

    count: np.ndarray
    exposure: np.ndarray

    @property
    def total(self):
        """All that was counted."""
        return float(np.sum(self.count))


def scattered_counts(count, exposure):
    """Checked counts of one group.

    Raises
    ------
    UnusableInput
        If a count is no count, or an exposure not above zero.
    """
    count, exposure = np.asarray(count, dtype=float), np.asarray(exposure, dtype=float)
    if not (count.shape == exposure.shape and count.ndim == 1 and count.size):
        what = f"{count.size} counts, {exposure.size} exposures"
        raise UnusableInput(what, "counts", "give one of each a replicate")
    if not (np.all(np.isfinite(count)) and np.all(count >= 0) and np.all(count == np.rint(count))):
        raise UnusableInput("a count is no whole number of 0 or more", "counts", "mend it")
    if not (np.all(np.isfinite(exposure)) and np.all(exposure > 0)):
        raise UnusableInput("an exposure is not above zero", "counts", "mend it")
    return ScatteredCounts(count, exposure)


@dataclass(frozen=True)
class _Side:
    """One group on a grid of log rates: likelihood and information for each scatter, (s, x)."""

    log_rate: np.ndarray
    likelihood: np.ndarray
    information: np.ndarray
    seen: np.ndarray  # (x,): rises from 0 to 1 where counts are expected
    total: float

    def density(self, power):
        """Posterior density on the grid with the prior information**power, summing to 1."""
        held = self.likelihood * self.information**power
        return held / held.sum(axis=1, keepdims=True)

    @cached_property
    def evidence(self):
        """Weight of each scatter; the prior of the rate is the same for all of them: flat in
        its log where counts are expected, the root of the rate (Jeffreys' of a count) below.
        """
        return (self.likelihood * np.sqrt(self.seen)).sum(axis=1)

    @cached_property
    def best(self):
        """The most likely log rate for each scatter, where something was counted."""
        return self.log_rate[np.argmax(self.likelihood, axis=1)]


def _step(groups):
    """Step of the grids, fine enough for the group with the most counts."""
    return min(STEP, SHARE_OF_SD / sqrt(max(counts.total for counts in groups) + 1))


def _side(counts, scatter, step):
    """Likelihood of a group's log rate for each scatter: each replicate's, smeared by its shift."""
    middle = log(max(counts.total, 0.5) / counts.exposure.sum())
    log_rate = middle + step * np.arange(-round(REACH / step), round(REACH / step) + 1)
    log_likelihood = np.zeros((len(scatter), len(log_rate)))
    information = np.zeros_like(log_likelihood)
    for y, e in zip(counts.count, counts.exposure, strict=True):
        mean = e * np.exp(log_rate)
        own = y * np.log(mean) - mean
        own = np.exp(own - own.max())
        for row, sd in enumerate(scatter):
            smeared = own
            if sd > 0:
                smeared = gaussian_filter1d(own, sd / step, mode="nearest", truncate=WIDE)
            log_likelihood[row] += np.log(np.maximum(smeared, 1e-300))
        information += mean / (1 + scatter[:, None] ** 2 * mean)
    return log_rate, log_likelihood, information


def _sides(groups, usual):
    """The groups on grids of their own, one scale of likelihood for all scatters."""
    scatter, prior = (np.zeros(1), np.ones(1)) if usual is None else usual.points(SCATTERS)
    sides, step = [], _step(groups)
    for counts in groups:
        log_rate, held, information = _side(counts, scatter, step)
        mean = np.multiply.outer(counts.exposure, np.exp(log_rate))
        seen = (mean / (1 + mean)).mean(axis=0)
        likelihood = np.exp(held - held.max())
        sides.append(_Side(log_rate, likelihood, information, seen, counts.total))
    weight = prior * np.prod([side.evidence for side in sides], axis=0)
    return sides, weight / weight.sum(), scatter


def _quantile(x, density, share):
    """Where the integral of a density on an even grid reaches a share, by cubic spline."""
    held = np.flatnonzero(density > 1e-14 * density.max())
    kept = slice(max(held[0] - 2, 0), held[-1] + 3)
    cumulative = CubicSpline(x[kept], density[kept]).antiderivative()
    ends = cumulative(x[kept])
    place = int(np.searchsorted(ends, share * ends[-1]))
    low, high = x[kept][max(place - 1, 0)], x[kept][place]
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if cumulative(middle) < share * ends[-1] else (low, middle)
    return float((low + high) / 2)


def _share_below(x, density, value):
    """Share of the integral of a density on an even grid that lies below a value, by spline."""
    cumulative = CubicSpline(x, density).antiderivative()
    return float(cumulative(np.clip(value, x[0], x[-1])) / cumulative(x[-1]))


def scattered_rate(group, usual, *, unit="", level=0.95, per=1.0):
    """Mean rate of a group whose replicates scatter: all that was counted, with its interval.

    Parameters
    ----------
    group : ScatteredCounts
    usual : UsualScatter or None
        Prior of the standard deviation of log rates between replicates; None: they have one.
    unit : str
        Unit of the rate as it is printed.
    level : float
        Coverage; with no count at all the one-sided upper bound at this level.
    per : float
        The rate is given per this much exposure.

    Returns
    -------
    Estimate

    References
    ----------
    .. [1] N. E. Breslow, "Extra-Poisson variation in log-linear models", Appl. Statist. 33
       (1984) 38-44: the Poisson-lognormal model.
    .. [2] F. Garwood, Biometrika 28 (1936) 437-442: its lower limit is a quantile of
       gamma(count), its upper of gamma(count + 1); here the prior of the rate is information
       to the power 0 and 1, which is the same without scatter.
    """
    (side,), weight, scatter = _sides([group], usual)
    tail = (1 - level) / 2 if group.total else 1 - level
    mean = scatter**2 / 2  # of log-normal rates, above the median's log
    high = _quantile(side.log_rate, _shifted(side, 1.0, mean, weight), 1 - tail)
    low = -inf
    if group.total:
        low = _quantile(side.log_rate, _shifted(side, 0.0, mean, weight), tail)
    low, high = (per * float(np.exp(end)) for end in (low, high))
    value = per * group.total / float(group.exposure.sum())
    return Estimate(value, low, high, unit, level, METHOD)


def _shifted(side, power, shift, weight):
    """Density of the log rate with each scatter's shift, over all scatters."""
    rows = zip(weight, shift, side.density(power), strict=True)
    return sum(w * np.interp(side.log_rate - by, side.log_rate, row) for w, by, row in rows)


@dataclass(frozen=True)
class RatesCompared:
    """Ratio of two rates, the posterior median of the scatter, and the chance of less than 1."""

    ratio: Estimate
    scatter: float
    below: float


def scattered_ratio(first, second, usual, *, level=0.95):
    """Ratio of the rates of two groups whose replicates scatter.

    Parameters
    ----------
    first, second : ScatteredCounts
    usual : UsualScatter or None
        Prior of the standard deviation of log rates between replicates, one for both groups;
        None: there is no such scatter, and the limits are the conditional exact ones.
    level : float
        Coverage.

    Returns
    -------
    RatesCompared
        An end of the ratio is open (0 or infinite) where one group has no count.

    Raises
    ------
    UnusableInput
        If nothing was counted in either: nothing can be said about their ratio.
    """
    if first.total + second.total == 0:
        raise UnusableInput("both counts are zero", "ratio of rates", "chop more")
    (a, b), weight, scatter = _sides([first, second], usual)
    tail, apart = (1 - level) / 2, a.log_rate[0] - b.log_rate[0]
    step = a.log_rate[1] - a.log_rate[0]
    steps = apart + step * np.arange(1 - len(b.log_rate), len(a.log_rate))

    def apart_by(power_a, power_b):
        pairs = zip(a.density(power_a), b.density(power_b)[:, ::-1], strict=True)
        return sum(w * np.convolve(p, q) for w, (p, q) in zip(weight, pairs, strict=True))

    low = _quantile(steps, apart_by(0.0, 1.0), tail) if first.total else -inf
    high = _quantile(steps, apart_by(1.0, 0.0), 1 - tail) if second.total else inf
    value = inf
    if second.total:
        value = float(np.exp(weight @ (a.best - b.best))) if first.total else 0.0
    order = np.argsort(scatter)
    middle = scatter[order][np.searchsorted(np.cumsum(weight[order]), 0.5 - 1e-12)]
    ratio = Estimate(value, float(np.exp(low)), float(np.exp(high)), "", level, METHOD)
    return RatesCompared(ratio, float(middle), _share_below(steps, apart_by(0.5, 0.5), 0.0))
