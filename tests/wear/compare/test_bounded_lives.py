"""Comparisons in which some lives are only bounds."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize
from scipy.special import stdtrit
from scipy.stats import norm

from edgetest.stats.contrast import contrast, pooled_t
from edgetest.stats.multiple_comparisons import Family
from edgetest.wear.compare.block_effects import fit_blocks
from edgetest.wear.compare.bounded_blocks import blocked_contrast
from edgetest.wear.compare.bounded_lives import bounded_contrast
from tests.wear.columns import codes, compare_lives

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
    assert "life_is_a_bound" in codes(bound)
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


def pairs(rng, n, *, block_sd=0.3, sd=0.1, others=1):
    """Treatment and block indices and log lives of complete blocks; 1.2 times as long each."""
    treatment, block = np.repeat(np.arange(1 + others), n), np.tile(np.arange(n), 1 + others)
    log_life = 5 + np.log(1.2) * treatment + block_sd * rng.standard_normal(n)[block]
    return treatment, block, log_life + sd * rng.standard_normal(len(treatment))


@pytest.mark.parametrize("others", [1, 2])
def test_without_bounds_it_is_the_t_within_blocks(others):
    treatment, block, log_life = pairs(np.random.default_rng(3), 4, others=others)
    fit = fit_blocks(treatment, block, log_life)
    unscaled = fit.unscaled[0, 0] + fit.unscaled[1, 1] - 2 * fit.unscaled[0, 1]
    plain = contrast(
        fit.effects[1] - fit.effects[0], fit.variance * unscaled, float(fit.df), 0.95, ""
    )
    found = blocked_contrast(treatment, block, log_life, np.zeros(len(block), bool), 0, 1)
    assert found.df == fit.df
    assert_allclose(found.difference, plain.difference, atol=1e-9)
    # Between the grid's differences the chance is taken as straight: 0.1 % of the half width.
    ends = plain.low, plain.high
    assert_allclose(found.limits(0.95, SINGLE), ends, atol=1e-3 * plain.half_width)
    assert_allclose(found.probability_above(), plain.probability_above(), atol=1e-4)


def test_a_bound_in_a_block_opens_its_side_and_leaves_the_other():
    treatment, block, log_life = pairs(np.random.default_rng(4), 5)
    second = int(np.argmax(np.where(treatment == 1, log_life, -np.inf)))
    censored = np.arange(10) == second
    lives = blocked_contrast(treatment, block, log_life, np.zeros(10, bool), 0, 1)
    bounds = blocked_contrast(treatment, block, log_life, censored, 0, 1)
    assert bounds.df == lives.df - 1
    assert bounds.limits(0.95, SINGLE)[1] > lives.limits(0.95, SINGLE)[1]
    swapped = blocked_contrast(1 - treatment, block, log_life, censored, 0, 1)
    assert_allclose(swapped.limits(0.95, SINGLE), [-x for x in bounds.limits(0.95, SINGLE)[::-1]],
                    atol=1e-3)  # fmt: skip


def test_its_fall_is_that_of_the_likelihood():
    treatment, block, log_life = pairs(np.random.default_rng(5), 5)
    censored = np.zeros(10, bool)
    censored[[7, 9]] = True
    found = blocked_contrast(treatment, block, log_life, censored, 0, 1)

    def lost(params, held=None):
        free = params if held is None else np.r_[params, held]
        mean = free[1:6][block] + free[6] * treatment
        z = (log_life - mean) / np.exp(free[0])
        return -np.where(censored, norm.logsf(z), norm.logpdf(z) - free[0]).sum()

    start = np.r_[-2.0, log_life[:5], 0.2]
    best = minimize(lost, start, method="BFGS", options={"gtol": 1e-8})
    assert_allclose(found.difference, best.x[6], atol=1e-5)
    high = found.limits(0.95, SINGLE)[1]
    there = minimize(lost, best.x[:6], args=(high,), method="BFGS", options={"gtol": 1e-8})
    t = np.sqrt(found.df * np.expm1(2 * (there.fun - best.fun) / 8))
    assert_allclose(t, stdtrit(found.df, 0.975), rtol=1e-3)


def test_blocks_with_nothing_known_and_too_few_lives():
    treatment, block, log_life = pairs(np.random.default_rng(6), 4)
    censored = np.isin(block, [3])  # both blades of one block ran on
    found = blocked_contrast(treatment, block, log_life, censored, 0, 1)
    three = block < 3
    without = blocked_contrast(
        treatment[three], block[three], log_life[three], np.zeros(6, bool), 0, 1
    )
    assert_allclose(found.limits(0.95, SINGLE), without.limits(0.95, SINGLE), atol=1e-9)
    assert blocked_contrast(treatment, block, log_life, block > 1, 0, 1) is None


def test_the_comparison_uses_blocks_among_bounds_or_says_why_not():
    treatment, block, log_life = pairs(np.random.default_rng(7), 5)
    censored = np.arange(10) == 9
    found = compare_lives(range(10), treatment, log_life, censored=censored, block=block)
    assert found.ratio.method == "t within blocks, with bounds"
    assert "blocks_not_used" not in codes(found)
    without = compare_lives(range(10), treatment, log_life, censored=censored)
    width = [np.log(each.ratio.high / each.ratio.low) for each in (found, without)]
    assert width[0] < width[1]
    few = block < 2
    told = compare_lives(
        range(4), treatment[few], log_life[few], censored=[False] * 3 + [True], block=block[few]
    )
    assert "blocks_not_used" in codes(told)
    assert told.ratio.method == "lognormal with bounds"
