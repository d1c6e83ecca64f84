"""A normal from values known exactly or only between bounds, against scipy's censored fit."""

import numpy as np
import pytest
from scipy.stats import CensoredData, norm

from edgetest.stats.censoring import LAWS, Lives, fit_line


def fitted(low, high):
    """Mean and standard deviation of the normal, from the line of one group."""
    n = len(low)
    lives = Lives(np.array(low), np.array(high), np.zeros(n, int), np.ones(n))
    slope, height = fit_line(LAWS["lognormal"], lives, 1).theta
    return height / slope, 1 / slope


def test_exact_values_give_their_mean_and_standard_deviation():
    x = np.array([58.0, 60.0, 61.0, 63.0])
    assert fitted(x, x) == pytest.approx((x.mean(), x.std()), rel=1e-8)


@pytest.mark.parametrize(("seed", "n"), [(1, 12), (2, 30), (3, 100)])
def test_brackets_and_open_ends_meet_scipys_maximum(seed, n):
    # Invented hardness readings: two fifths known as a bracket of 5, those above 60 as such.
    rng = np.random.default_rng(seed)
    low = rng.normal(58, 2.5, n)
    high = low.copy()
    bracket = rng.random(n) < 0.4
    low[bracket] = 5 * np.floor(high[bracket] / 5)
    high[bracket] = low[bracket] + 5
    above = high > 60
    low[above], high[above] = 60, np.inf
    between = bracket & ~above
    theirs = norm.fit(
        CensoredData(
            uncensored=low[low == high],
            right=low[above],
            interval=np.column_stack([low[between], high[between]]),
        )
    )
    # Its simplex stops within 1e-4 of the maximum.
    assert fitted(low, high) == pytest.approx(theirs, abs=1e-3)
