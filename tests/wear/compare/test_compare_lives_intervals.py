"""Comparisons in which some lives are known to an interval only."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.compare.compare_lives import compare_lives as compare_blades
from edgetest.wear.compare.replicates import BladeLives
from tests.wear.columns import codes, compare_lives

A, B = np.log([400, 455, 430.0]), np.log([520, 590, 561.0])


def compare(bounds, lives=None):
    lives = np.r_[A, B] if lives is None else lives
    return compare_lives(list("abcdef"), list("AAABBB"), lives, censored=bounds)


def test_a_bound_opens_the_interval_upwards():
    exact = compare([False] * 6)
    bound = compare([False] * 5 + [True])
    assert "life_is_a_bound" in codes(bound)
    assert bound.ratio.estimate > exact.ratio.estimate
    assert bound.ratio.high / bound.ratio.estimate > exact.ratio.high / exact.ratio.estimate
    assert bound.ratio.low > 0.9 * exact.ratio.low


def test_a_group_of_bounds_leaves_one_end_open_and_is_told_as_at_least():
    found = compare([False] * 3 + [True] * 3)
    assert found.ratio.high == np.inf
    assert 1 < found.ratio.low < np.exp(B.mean() - A.mean())
    assert found.groups[1].life.high == np.inf
    assert f"B lasts at least {found.ratio.low:.2f} times as long as A" in found.summary()
    mirrored = compare([True] * 3 + [False] * 3)
    assert mirrored.ratio.low == 0
    assert found.to_dict()["ratio"]["estimate"] is None
    json.dumps(found.to_dict(), allow_nan=False)


def test_nothing_but_bounds_cannot_tell():
    found = compare([True] * 6)
    assert found.practical.verdict == "cannot_tell"
    assert (found.ratio.low, found.ratio.high) == (0, np.inf)
    assert "stopped too early" in found.summary()
    json.dumps(found.to_dict(), allow_nan=False)


def test_blades_that_were_dull_at_the_first_check_are_not_said_to_have_been_stopped():
    low = [np.log(340)] * 3 + [-np.inf] * 3
    high = [np.inf] * 3 + [np.log(210)] * 3
    found = compare_blades(
        BladeLives(blade=list("abcdef"), treatment=list("AAABBB"), log_low=low, log_high=high),
        ComparisonOptions(),
    )
    assert (found.ratio.low, found.ratio.high) == (0, np.inf)
    assert "stopped too early" not in found.summary()
    assert "have one known end alone" in found.summary()


def test_a_later_bound_tells_more():
    early = compare([False] * 5 + [True], np.r_[A, B[:2], np.log(450)])
    late = compare([False] * 5 + [True], np.r_[A, B[:2], np.log(900)])
    assert late.ratio.estimate > early.ratio.estimate


def pairs(rng, n, *, block_sd=0.3, sd=0.1):
    """Treatment and block indices and log lives of complete blocks; 1.2 times as long each."""
    treatment, block = np.repeat([0, 1], n), np.tile(np.arange(n), 2)
    log_life = 5 + np.log(1.2) * treatment + block_sd * rng.standard_normal(n)[block]
    return treatment, block, log_life + sd * rng.standard_normal(2 * n)


def test_blocks_take_the_medium_out_among_bounds_too():
    treatment, block, log_life = pairs(np.random.default_rng(7), 5)
    censored = np.arange(10) == 9
    found = compare_lives(range(10), treatment, log_life, censored=censored, block=block)
    without = compare_lives(range(10), treatment, log_life, censored=censored)
    width = [np.log(each.ratio.high / each.ratio.low) for each in (found, without)]
    assert width[0] < 0.7 * width[1]
    assert found.ratio.df == 3  # four blocks of two known lives, and one that tells a bound


@pytest.mark.parametrize("within", [True, False])
def test_narrow_intervals_give_what_lives_give(within):
    treatment, block, log_life = pairs(np.random.default_rng(9), 4)
    block = block if within else None
    known = compare_lives(range(8), treatment, log_life, block=block)
    lives = BladeLives(range(8), treatment, log_life - 0.005, log_life + 0.005, block=block)
    found = compare_blades(lives, ComparisonOptions())
    ends = [[np.log(each.ratio.low), np.log(each.ratio.high)] for each in (found, known)]
    assert_allclose(ends[0], ends[1], atol=0.003)
    assert "life_is_a_bound" not in codes(found)
    assert_allclose(found.groups[0].life.high, known.groups[0].life.high, rtol=0.01)
