"""How likely is a reading, were the steel so hard? Brackets and numbers, one tester's bias."""

from math import inf, sqrt

import numpy as np
from scipy.special import ndtr

from edgetest.steel.steel_seen import HardnessSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.surely import high_of, low_of

_BIAS_Z, BIAS_W = np.polynomial.hermite_e.hermegauss(5)
BIAS_W = BIAS_W / BIAS_W.sum()
# Spread of readings that are wrong outright (a slip of the pen, a worn file, scale under it) about
# the true hardness: a file or two, seldom the whole set. Our choice, no source.
MISREAD_HRC = 12.0
AGAIN_U_HRC = 0.7  # of a coupon's readings that no number of them takes away; our choice


def biases(tables: SteelTables):
    """What all readings of one file set or tester are off by together, HRC, shape (5,)."""
    return _BIAS_Z * tables.row("reading", "shared")["u_hrc"]


def pooled(readings):
    """Readings of one place as few as they say anything new: each once, numbers as their mean.

    Brackets that overlap are one bracket; what does not overlap stays apart.
    """
    readings = dict.fromkeys(readings)
    numbers = [one for one in readings if one.low_hrc == one.high_hrc and not one.by_files]
    found = numbers
    if len(numbers) > 1:
        mean = sum(low_of(one) for one in numbers) / len(numbers)
        if max(abs(low_of(one) - mean) for one in numbers) <= 3 * numbers[0].u_hrc:
            u = sqrt(numbers[0].u_hrc ** 2 / len(numbers) + AGAIN_U_HRC**2)
            found = [HardnessSeen(mean, mean, numbers[0].where, False, u)]
    brackets = [one for one in readings if one not in numbers]
    return found + _intersections(brackets)


def _intersections(brackets):
    """Overlapping brackets as their common part."""
    kept: list[HardnessSeen] = []
    for one in brackets:
        for i, other in enumerate(kept):
            low, high = max(low_of(one), low_of(other)), min(high_of(one), high_of(other))
            if low < high:
                kept[i] = HardnessSeen(
                    None if low == -inf else low, None if high == inf else high, one.where
                )
                break
        else:
            kept.append(one)
    return kept


def reading_likelihood(readings, mean, sd, tables: SteelTables):
    """Likelihood of one place's readings for a normal hardness, shape (*mean.shape, biases).

    Contradictory readings are not averaged in hardness: their likelihoods are, as either may
    be the true one (a linear opinion pool). A reading may be wrong outright.
    """
    wrong = tables.row("reading", "wrong")["chance"]
    feel = tables.row("reading", "file")["u_hrc"]
    bias = biases(tables)
    found = pooled(readings)
    total = 0.0
    for one in found:
        low, high = low_of(one), high_of(one)
        if low == high:
            s = np.hypot(sd, one.u_hrc)[..., None]
            z = (low - bias - mean[..., None]) / s
            own = np.exp(-0.5 * z * z) / (s * sqrt(2 * np.pi))
            off = (low - mean[..., None]) / MISREAD_HRC
            astray = np.exp(-0.5 * off * off) / (MISREAD_HRC * sqrt(2 * np.pi))
        else:
            s = np.hypot(sd, feel)[..., None]
            own = ndtr((high + bias - mean[..., None]) / s) if high < inf else 1.0
            own = own - (ndtr((low + bias - mean[..., None]) / s) if low > -inf else 0.0)
            ends = ndtr((np.array([low, high]) - mean[..., None]) / MISREAD_HRC)
            astray = (ends[..., 1] - ends[..., 0])[..., None]
        total = total + (1 - wrong) * np.maximum(own, 0) + wrong * astray
    return total / len(found)


def bins_of(mean, sd, edges):
    """Share of a normal hardness in each bin between edges, last axis the bins."""
    below = ndtr((np.asarray(edges) - mean[..., None]) / sd[..., None])
    ends = np.ones((*mean.shape, 1))
    return np.diff(below, axis=-1, prepend=0 * ends, append=ends)
