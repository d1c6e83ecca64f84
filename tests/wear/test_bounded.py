"""Comparisons in which some lives are only bounds."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.bounded import bounded_contrast
from edgetest.wear.compare import compare_lives
from edgetest.wear.contrast import pooled_t
from edgetest.wear.groups import Family

SINGLE = Family("sidak", 1)
A, B = np.log([400, 455, 430.0]), np.log([520, 590, 561.0])
NONE = np.zeros(3, dtype=bool)


def compare(bounds, lives=None):
    lives = np.r_[A, B] if lives is None else lives
    return compare_lives(list("abcdef"), list("AAABBB"), lives, censored=bounds)


def test_without_a_bound_it_is_the_t_interval():
    found = bounded_contrast((A, NONE), (B, NONE), one_scatter=True)
    t = pooled_t(A, B)
    # The grid of scatters is good to half a per cent of the half width.
    assert_allclose(found.limits(0.95, SINGLE), [t.low, t.high], atol=0.005 * t.half_width)
    assert_allclose(found.difference, t.difference, atol=1e-4)
    assert_allclose(found.probability_above(), t.probability_above(), atol=5e-4)


def test_a_bound_opens_the_interval_upwards():
    exact = compare([False] * 6)
    bound = compare([False] * 5 + [True])
    assert "life_is_a_bound" in bound.warnings
    assert bound.ratio.estimate > exact.ratio.estimate
    assert bound.ratio.high / bound.ratio.estimate > exact.ratio.high / exact.ratio.estimate
    assert bound.ratio.low > 0.9 * exact.ratio.low


def test_a_group_of_bounds_leaves_one_end_open():
    found = compare([False] * 3 + [True] * 3)
    assert found.ratio.high == np.inf
    assert 0 < found.ratio.low < np.exp(B.mean() - A.mean())
    assert found.groups[1].life.high == np.inf
    mirrored = compare([True] * 3 + [False] * 3)
    assert mirrored.ratio.low == 0
    json.dumps(found.to_dict(), allow_nan=False)


def test_nothing_but_bounds_cannot_tell():
    found = compare([True] * 6)
    assert found.practical.verdict == "cannot_tell"
    assert (found.ratio.low, found.ratio.high) == (0, np.inf)
    assert "stopped too early" in found.summary()
    json.dumps(found.to_dict(), allow_nan=False)


def test_a_later_bound_tells_more():
    early = compare([False] * 5 + [True], np.r_[A, B[:2], np.log(450)])
    late = compare([False] * 5 + [True], np.r_[A, B[:2], np.log(900)])
    assert late.ratio.estimate > early.ratio.estimate


@pytest.mark.slow
def test_coverage_with_a_third_of_the_lives_bounded():
    rng = np.random.default_rng(8)
    hits = []
    for _ in range(2000):
        lives = 0.15 * rng.standard_normal((2, 3)) + np.array([[0.0], [0.2]])
        bound = lives > 0.25
        if bound.all(axis=1).any():
            continue
        groups = [(np.minimum(x, 0.25), b) for x, b in zip(lives, bound, strict=True)]
        low, high = bounded_contrast(*groups, one_scatter=True).limits(0.95, SINGLE)
        hits.append(low < 0.2 < high)
    assert 0.935 < np.mean(hits) < 0.995
