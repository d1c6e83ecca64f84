"""Recovery of inter-block information: what must come out whatever the blocks do."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import null_space
from scipy.special import ndtr
from scipy.stats import multivariate_normal, ttest_rel

from edgetest.stats.inter_block import (
    BLOCKS,
    CONTROL,
    BlockedResults,
    MixtureContrast,
    recovered_contrast,
)
from edgetest.stats.multiple_comparisons import Family

SINGLE = Family("sidak", 1)
NONE = np.array([])


def results(y, treatment, block, control_y=NONE, control_block=NONE):
    columns = (np.asarray(x) for x in (y, treatment, block, control_y))
    return BlockedResults(*columns, np.asarray(control_block, dtype=int))


def pairs(rng, n, sd_blocks):
    """One result of each of two treatments in n blocks."""
    block = sd_blocks * rng.standard_normal(n)
    return block + 0.1 * rng.standard_normal((2, n))


def test_complete_blocks_give_the_paired_t_interval():
    for n, sd_blocks in ((4, 0.0), (5, 0.1), (10, 0.5)):
        a, b = pairs(np.random.default_rng(n), n, sd_blocks)
        found = recovered_contrast(
            results(np.r_[a, b], np.repeat([0, 1], n), np.tile(range(n), 2)), 0, 1
        )
        ends = ttest_rel(b, a).confidence_interval(0.95)
        half = (ends.high - ends.low) / 2
        assert_allclose(found.limits(0.95, SINGLE), ends, atol=0.01 * half)
        assert found.df == n - 1


def test_a_control_that_repeats_to_all_digits_does_not_make_blades_surer():
    a, b = pairs(np.random.default_rng(1), 4, 0.1)
    block = np.tile(range(4), 2)
    drift = np.zeros(12), np.tile(range(4), 3)
    plain = recovered_contrast(results(np.r_[a, b], np.repeat([0, 1], 4), block), 0, 1)
    sure = recovered_contrast(results(np.r_[a, b], np.repeat([0, 1], 4), block, *drift), 0, 1)
    assert_allclose(sure.half_width, plain.half_width, rtol=0.01)


def test_blocks_that_differ_hugely_leave_what_stands_within_them():
    """Least squares within blocks, where the blocks' own means can tell nothing."""
    rng = np.random.default_rng(2)
    treatment, block = np.array([0, 1, 0, 2, 1, 2] * 2), np.repeat(range(6), 2)
    y = 0.1 * rng.standard_normal(12) + np.array([0.0, 9.0, -7.0, 4.0, -9.0, 8.0])[block]
    found = recovered_contrast(results(y, treatment, block), 0, 1)
    design = np.hstack([np.eye(6)[block], np.eye(3)[treatment][:, 1:]])
    params = np.linalg.lstsq(design, y, rcond=None)[0]
    assert_allclose(found.difference, params[6], atol=0.01)


def test_blocks_that_do_not_differ_leave_the_difference_of_means():
    treatment, block = np.array([0, 1, 0, 2, 1, 2] * 2), np.repeat(range(6), 2)
    noise = 0.1 * np.array([1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1]) * np.tile([1.0, -1.0], 6)
    y = noise + 0.2 * (treatment == 1)
    within = recovered_contrast(results(y, treatment, block), 0, 1)
    means = y[treatment == 1].mean() - y[treatment == 0].mean()
    assert abs(within.difference - means) < 0.3 * within.half_width


def test_a_control_tells_the_blocks_of_blades_that_never_met():
    rng = np.random.default_rng(3)
    drift = 0.3 * rng.standard_normal(10)
    treatment = np.repeat([0, 1], 5)
    y = drift + 0.2 * treatment + 0.05 * rng.standard_normal(10)
    control = drift + 0.02 * rng.standard_normal(10)
    alone = recovered_contrast(results(y, treatment, range(10)), 0, 1)
    told = recovered_contrast(results(y, treatment, range(10), control, range(10)), 0, 1)
    assert told.half_width < 0.4 * alone.half_width
    assert told.limits(0.95, SINGLE)[0] < 0.2 < told.limits(0.95, SINGLE)[1]


def test_widening_adds_variances_and_jointly_is_wider():
    a, b = pairs(np.random.default_rng(4), 5, 0.1)
    found = recovered_contrast(results(np.r_[a, b], [0] * 5 + [1] * 5, [*range(5)] * 2), 0, 1)
    wide = found.widened(0.3**2)
    assert_allclose(wide.half_width, np.hypot(1.96 * 0.3, found.half_width), rtol=0.1)
    low, high = found.limits(0.95, Family("sidak", 3))
    assert high - low > 2.2 * found.half_width
    assert_allclose(found.probability_above(found.difference), 0.5, atol=1e-6)


def by_dense_matrices(found, first, second, within):
    """Median and 95 % ends by the formulas themselves: every S, ratio of two, B and C, V whole."""
    y = np.r_[found.y, found.control_y]
    count, n = found.treatments, len(found.y)
    kind = np.r_[found.treatment, np.full(len(found.control_y), count)]
    block = np.r_[found.block, found.control_block]
    x = np.eye(kind.max() + 1)[kind]
    control = CONTROL[::2] if len(y) > n else np.ones(1)
    own = np.hstack([np.eye(found.blocks)[found.block], np.eye(count)[found.treatment]])
    own = own if within else own[:, found.blocks :]
    params, _, rank, _ = np.linalg.lstsq(own, found.y, rcond=None)
    square, df = ((found.y - own @ params) ** 2).sum(), n - rank
    log_s, log_ratio = np.linspace(-2.0, 4.0, 40), np.linspace(-3.0, 3.0, 11)
    scale = np.sqrt(square / df) * np.exp(log_s)
    sd = np.repeat(scale[:, None], len(log_ratio), axis=1)[..., None] * np.ones(kind.max() + 1)
    even = np.sqrt((1 + np.exp(2 * log_ratio)) / 2)  # root mean square of 1 and the ratio
    sd[..., first] /= even
    sd[..., second] *= np.exp(log_ratio) / even
    i, j, b, c = (
        a.ravel() for a in np.meshgrid(range(len(scale)), range(11), BLOCKS, control, indexing="ij")
    )
    noise = np.where(kind < count, sd[i, j][:, kind] ** 2, c[:, None] ** 2)
    total = b[:, None, None] ** 2 * (block[:, None] == block) + noise[:, :, None] * np.eye(len(y))
    inverse = np.linalg.inv(total)
    cov = np.linalg.inv(x.T @ inverse @ x)
    effects = np.einsum("gij,jk,gkl,l->gi", cov, x.T, inverse, y, optimize=True)
    left = y - effects @ x.T
    evidence = -0.5 * (
        np.linalg.slogdet(total)[1] - np.linalg.slogdet(cov)[1]
        + np.einsum("gi,gij,gj->g", left, inverse, left)
    )  # fmt: skip

    def prior(grid):  # half-Cauchy about 0.1, each value standing for what lies about it
        edges = np.r_[0.0, np.sqrt(grid[1:] * grid[:-1]), 1.2 * grid[-1]]
        mass = np.diff(edges) / (1 + (grid / 0.1) ** 2)
        return mass / mass.sum()

    evidence = evidence.reshape(len(scale), 11, len(BLOCKS), len(control))
    most = evidence.max(axis=(2, 3), keepdims=True) if within else evidence.max()
    weight = np.exp(evidence - most) * prior(BLOCKS)[:, None] * prior(control)
    if within:  # given both scatters; their own weight by what is left of all blocks' means
        weight = weight / weight.sum(axis=(2, 3), keepdims=True)
        free = null_space(own.T)
        for i, j in np.ndindex(weight.shape[:2]):
            spread = free.T @ np.diag(sd[i, j][found.treatment] ** 2) @ free
            told = multivariate_normal(cov=spread).logpdf(free.T @ found.y)
            weight[i, j] *= np.exp(told)
    else:
        weight *= np.exp(0.1 * df * log_s)[:, None, None, None]
    weight = (weight / weight.sum()).ravel()
    asked = np.zeros(x.shape[1])
    asked[second], asked[first] = 1.0, -1.0
    centre, spread = effects @ asked, np.sqrt(np.einsum("i,gij,j->g", asked, cov, asked))
    at = np.linspace(-2, 2, 801)
    below = np.array([weight @ ndtr((v - centre) / spread) for v in at])
    return np.interp([0.025, 0.5, 0.975], below, at)


def test_what_blocks_and_control_tell_is_that_of_the_whole_covariance():
    rng = np.random.default_rng(8)
    drift = np.array([0.2, -0.15, 0.1, 0.0, -0.2])
    block, treatment = np.array([0, 0, 1, 1, 2, 3, 4]), np.array([0, 1, 0, 0, 1, 1, 2])
    y = drift[block] + 0.3 * (treatment == 1) + 0.05 * rng.standard_normal(7)
    control_block = np.array([1, 2, 2, 3, 4])
    control = drift[control_block] + 0.03 * rng.standard_normal(5)
    few = results(y, treatment, block, control, control_block)
    found = recovered_contrast(few, 0, 1)
    expected = by_dense_matrices(few, 0, 1, within=False)
    half = (expected[2] - expected[0]) / 2
    assert found.method == "t, blocks by the control"
    assert_allclose(found.difference, expected[1], atol=0.02 * half)
    assert_allclose(found.limits(0.95, SINGLE), expected[[0, 2]], atol=0.04 * half)


def test_few_blades_in_unlike_blocks_name_no_control_where_none_ran():
    y = [0.1, 0.3, 0.2, 0.5, 0.0]
    few = results(y, [0, 0, 0, 1, 1], [0, 2, 1, 2, 0])
    assert recovered_contrast(few, 0, 1).method == "t, blocks weighed"


def test_learned_within_blocks_it_is_that_of_the_whole_covariance_too():
    rng = np.random.default_rng(9)
    block, treatment = np.repeat(range(4), 3), np.array([0, 1, 1, 0, 0, 1, 2, 1, 0, 2, 2, 1])
    drift = np.array([0.2, -0.15, 0.1, 0.0])
    y = drift[block] + 0.3 * (treatment == 1) + 0.05 * rng.standard_normal(12)
    many = results(y, treatment, block)
    found = recovered_contrast(many, 0, 1)
    expected = by_dense_matrices(many, 0, 1, within=True)
    half = (expected[2] - expected[0]) / 2
    assert found.method == "t, blocks weighed"
    assert found.df == 12 - 4 - 2
    assert_allclose(found.difference, expected[1], atol=0.01 * half)
    assert_allclose(found.limits(0.95, SINGLE), expected[[0, 2]], atol=0.02 * half)


def test_blocks_are_counted_with_those_that_hold_the_control_alone():
    assert results([1.0, 2.0], [0, 1], [0, 1]).blocks == 2
    assert results([1.0, 2.0], [0, 1], [0, 1], [3.0], [4]).blocks == 5
    assert results([1.0, 2.0, 3.0], [0, 2, 1], [0, 1, 1]).treatments == 3


def test_blades_that_agree_to_a_millionth_leave_a_number():
    """Of blocks that differ and blades that hardly do, the least scatters are lost in rounding."""
    treatment, block = np.array([0, 0, 1, 1, 0, 1]), np.array([0, 1, 1, 2, 3, 4])
    y = 5.7 + 0.2 * treatment + 2e-6 * np.array([1, -1, 1, -1, 0, 0])
    found = recovered_contrast(results(y, treatment, block), 0, 1)
    low, high = found.limits(0.95, SINGLE)
    assert low < 0.2 < high
    assert high - low < 1e-3


def test_a_weight_that_is_no_number_leaves_no_number():
    parts = np.array([np.nan, 0.5]), np.array([0.0, 1.0]), np.array([1.0, 1.0])
    found = MixtureContrast(*parts, 3.0, 0.95, "")
    assert np.isnan(found.difference)
    assert np.isnan(found.half_width)


def of_layout(text, y=None):
    """Results of blocks told as "AAB ABB": two blocks, the first with two results of A."""
    rows = [("AB".index(name), i) for i, block in enumerate(text.split()) for name in block]
    treatment, block = np.array(rows).T
    return results(np.zeros(len(rows)) if y is None else y, treatment, block)


@pytest.mark.parametrize(
    ("layout", "even"),
    [("AB AB AB", True), ("AAB ABB", True), ("AB A B", True), ("AAAB ABBB", True),
     ("AAAB BB", False), ("AAABB B", False), ("AAB B AB", False), ("AAB AB", False)],
)  # fmt: skip
def test_equal_numbers_stand_in_the_blocks_alike_where_they_can_swap_names(layout, even):
    assert of_layout(layout).even is even


def test_a_lone_result_beside_three_is_held_no_surer_than_its_treatment_scatters():
    """One B beside three A decides; of intervals by one scatter for both 80 of 100 held."""
    rng = np.random.default_rng(20261129)
    sd = np.where(of_layout("AAAB BB").treatment == 0, 0.05, 0.3)
    held = []
    for _ in range(100):
        few = of_layout("AAAB BB", sd * rng.standard_normal(6))
        low, high = recovered_contrast(few, 0, 1).limits(0.95, SINGLE)
        held.append(low <= 0 <= high)
    assert np.mean(held) >= 0.88
