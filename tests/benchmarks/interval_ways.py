"""Which other ways to an interval does the comparison's own have to beat?"""

from dataclasses import replace

import numpy as np

from edgetest.stats.contrast import Contrast, contrast, pooled_t, quantile


def stations_as_blades(first, second):
    """The mistake: every station counted as a replicate."""
    flat = [x.reshape(len(x), -1) for x in (first, second)]
    return pooled_t(*flat)


def readings_alone(first, second, se):
    """Fixed effect: the reading uncertainty as if blades did not differ."""
    n = first.shape[-1], second.shape[-1]
    difference = second.mean(axis=-1) - first.mean(axis=-1)
    variance = np.full_like(difference, se**2 * (1 / n[0] + 1 / n[1]))
    return contrast(difference, variance, np.inf, 0.95, "readings alone")


def normal_reml(first, second, se):
    """Variance between blades by REML (balanced, known reading variance), normal quantile."""
    found = pooled_t(first, second)
    least = se**2 * (1 / first.shape[-1] + 1 / second.shape[-1])
    return contrast(found.difference, np.maximum(found.stderr**2, least), np.inf, 0.95, "REML")


def hold_floor(found, variance):
    """Interval kept from being narrower than the readings alone would make it."""
    half = np.maximum(found.half_width, quantile(np.inf, found.level) * np.sqrt(variance))
    return replace(found, half_width=half)


def bootstrap(rng, first, second, studies=4000, draws=400):
    """Percentile bootstrap over blades."""
    first, second = first[:studies], second[:studies]
    means = []
    for group in (first, second):
        n = group.shape[-1]
        pick = rng.integers(n, size=(draws, n))
        means.append(group[:, pick].mean(axis=-1))
    low, high = np.quantile(means[1] - means[0], [0.025, 0.975], axis=1)
    middle, half = (low + high) / 2, (high - low) / 2
    return Contrast(middle, half / 1.96, np.inf, half, 0.95, "bootstrap")


def covers(found, truth):
    """Share of intervals that hold the truth."""
    return 100 * np.mean((found.low <= truth) & (truth <= found.high))


def factor(found):
    """Median factor of an interval: how far up (and down) from the ratio it reaches."""
    return np.exp(np.median(found.half_width))
