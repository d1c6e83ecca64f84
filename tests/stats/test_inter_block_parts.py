"""Parts of the recovery of inter-block information, each against its definition."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq
from scipy.stats import norm
from scipy.stats import t as student

from edgetest.stats import inter_block
from edgetest.stats.inter_block import (
    BLOCKS,
    CONTROL,
    BlockedResults,
    MixtureContrast,
    recovered_contrast,
)
from edgetest.stats.multiple_comparisons import Family


def matrices(rows, worst):
    """Symmetric matrices whose eigenvalues reach from 1 down to `worst`, each another way."""
    rng = np.random.default_rng(rows)
    values = np.geomspace(1.0, worst, rows)
    found = []
    for _ in range(6):
        turn = np.linalg.qr(rng.standard_normal((rows, rows)))[0]
        found.append(7.0 * turn @ np.diag(values) @ turn.T)
    found = np.array(found)
    return (found + found.transpose(0, 2, 1)) / 2


@pytest.mark.parametrize("rows", [2, 3, 4])
@pytest.mark.parametrize("worst", [0.9, 1e-2, 1e-9])
def test_an_inverse_and_its_determinant_are_numpys(rows, worst):
    """Of a matrix that is nearly singular every way loses its condition's digits, and no more."""
    found = matrices(rows, worst)
    inverse, log_det = inter_block._inverse(found)
    assert_allclose(inverse, np.linalg.inv(found), rtol=1e-14 / worst, atol=1e-14 / worst)
    assert_allclose(log_det, -np.linalg.slogdet(found)[1], atol=1e-14 / worst)
    off = inverse @ found - np.eye(rows)
    assert np.abs(off).max() < 1e-14 / worst


@pytest.mark.parametrize(("rows", "worst", "asked"), [(2, 0.1, 0), (3, 0.1, 0), (4, 0.1, 1),
                                                      (2, 1e-8, 1), (3, 1e-8, 1)])  # fmt: skip
def test_elimination_is_asked_of_large_and_of_bad_matrices_alone(monkeypatch, rows, worst, asked):
    """One bad matrix among good ones is enough."""
    calls, plain = [], inter_block._by_elimination
    monkeypatch.setattr(inter_block, "_by_elimination", lambda m: calls.append(1) or plain(m))
    inter_block._inverse(np.array([*matrices(rows, 0.1), matrices(rows, worst)[0]]))
    assert len(calls) == asked


def test_an_elimination_tells_the_inverse_and_its_own_determinant():
    inverse, log_det = inter_block._by_elimination(np.array([np.diag([2.0, 5.0])]))
    assert_allclose(inverse[0], np.diag([0.5, 0.2]))
    assert_allclose(log_det, [-np.log(10)])
    assert_allclose(inter_block._two(np.array([[[3.0, 1.0], [4.0, 5.0]]])), [11.0])


def mixture(weight, centre, spread, df=6.0, level=0.95):
    parts = (np.array(part, dtype=float) for part in (weight, centre, spread))
    return MixtureContrast(*parts, df, level, "t, blocks weighed")


MIXTURES = {
    "two lumps far apart": ([0.5, 0.5], [-40.0, 60.0], [0.01, 0.02]),
    "a needle in a haystack": ([0.9, 0.1], [0.0, 0.3], [1e-5, 2.0]),
    "heavy tails": ([0.7, 0.2, 0.1], [0.1, 0.1, 0.2], [0.1, 1.0, 30.0]),
    "a light part far out": ([1.0 - 1e-6, 1e-6], [0.0, 1e3], [0.1, 0.1]),
}


@pytest.mark.parametrize("name", MIXTURES)
@pytest.mark.parametrize("share", [1e-7, 0.025, 0.4, 0.7, 0.9999])
def test_a_quantile_is_that_of_brents_method_on_the_distribution(name, share):
    weight, centre, spread = map(np.array, MIXTURES[name])
    below = lambda x: weight @ norm.cdf((x - centre) / spread) - share  # noqa: E731
    reach = 10 * spread.max() + 1
    expected = brentq(below, centre.min() - reach, centre.max() + reach, xtol=1e-12, rtol=1e-14)
    found = mixture(weight, centre, spread).quantile(share)
    sd = np.sqrt(weight @ (spread**2 + (centre - weight @ centre) ** 2))
    assert found == pytest.approx(expected, abs=1e-8 * sd)
    assert weight @ norm.cdf((found - centre) / spread) == pytest.approx(share, abs=1e-9)


def test_parts_that_weigh_less_than_rounding_do_not_enter_a_quantile():
    """One part in 10 to the 16 at the most: no share that is asked could tell it."""
    whole = mixture([1.0, 1e-16, 2e-16, 0.0], [0.1, 1e3, 0.2, 5.0], [0.1, 0.3, 0.2, 1e-9])
    weight, centre, spread = whole._parts
    assert weight.tolist() == [1.0, 2e-16]
    assert centre.tolist() == [0.1, 0.2]
    assert spread.tolist() == [0.1, 0.2]


def test_one_normal_alone_has_the_normals_interval():
    one = mixture([1.0], [0.3], [0.2], df=6.0)
    assert one.difference == pytest.approx(0.3)
    assert one.half_width == pytest.approx(norm.ppf(0.975) * 0.2, rel=1e-9)
    assert one.stderr == pytest.approx(one.half_width / student.ppf(0.975, 6))
    assert one.probability_above() == pytest.approx(norm.sf(-1.5))
    assert one.probability_above(0.5) == pytest.approx(norm.sf(1.0))
    for count in (1, 4):
        z = norm.ppf((1 + 0.9 ** (1 / count)) / 2)
        ends = one.limits(0.9, Family("sidak", count))
        assert_allclose(ends, [0.3 - 0.2 * z, 0.3 + 0.2 * z], rtol=1e-9)
    assert_allclose(one.widened(0.0225).spread, [0.25])
    assert replace(one, level=0.8).half_width == pytest.approx(norm.ppf(0.9) * 0.2, rel=1e-9)


@pytest.mark.parametrize("df", [3, 8, 60])
def test_within_blocks_the_scatters_weigh_as_their_squares_do(df):
    """With the prior 1/S the sum of squares over S² is a chi-square: its two first moments."""
    sd, mass = inter_block._scatter_nodes(0.7, df, True)
    assert mass.sum() == pytest.approx(1.0)
    squares = 0.7 / sd**2
    assert mass @ squares == pytest.approx(df, rel=1e-4)
    assert mass @ squares**2 == pytest.approx(df * (df + 2), rel=5e-4)
    assert sd.min() > np.sqrt(0.7 / df) * np.exp(-4.0)


@pytest.mark.parametrize(("df", "high"), [(1, 7.0), (2, 6.0), (4, 3.0)])
def test_beside_the_blocks_the_scatters_are_held_back_by_a_tenth(df, high):
    """Even in the log of S but for exp(df/10 · log S), from e^-4 up to e^(12/df), e^7 at most."""
    sd, mass = inter_block._scatter_nodes(0.7, df, False)
    x, k = np.log(sd / np.sqrt(0.7 / df)), 0.1 * df
    assert (x > -4.0).all()
    assert (x < high).all()
    assert_allclose([x.min(), x.max()], [-4.0, high], atol=0.003 * (high + 4))
    whole = np.exp(k * high) - np.exp(-4 * k)
    mean = (high * np.exp(k * high) + 4 * np.exp(-4 * k)) / whole - 1 / k
    assert mass @ x == pytest.approx(mean, rel=1e-9)


def test_no_scatter_below_a_hundred_thousandth_is_tried():
    """Blades that repeat to all digits; those that scatter by ten of it are tried as they are."""
    sd, mass = inter_block._scatter_nodes(0.0, 40, True)
    assert_allclose(sd, 1e-5)
    assert mass.sum() == pytest.approx(1.0)
    sd, mass = inter_block._scatter_nodes(40 * 1e-8, 40, True)
    assert mass @ sd**-2.0 == pytest.approx(1e8, rel=1e-6)


def test_each_scatter_tried_weighs_what_lies_about_it_under_a_half_cauchy():
    """Of 0.1 and 0.4: up to their middle in log, 0.2, and from there to 1.2 times the last."""
    mass = inter_block._prior(np.array([0.1, 0.4]))
    parts = np.array([0.2 / (1 + 1), (0.48 - 0.2) / (1 + 16)])
    assert_allclose(mass, parts / parts.sum())
    for tried in (BLOCKS, CONTROL):  # a tenth of the scale and less, ten times it and more
        assert tried[0] <= 0.01
        assert tried[-1] >= 1.0
        assert np.ptp(np.diff(np.log(tried))) < 1e-9


def results(y, treatment, block, control_y=(), control_block=()):
    return BlockedResults(
        np.array(y), np.array(treatment), np.array(block),
        np.array(control_y, dtype=float), np.array(control_block, dtype=int),
    )  # fmt: skip


FEW = results(
    [0.3, 0.1, 0.9, 0.4, 0.2, 0.7, 0.5], [0, 1, 0, 2, 1, 1, 2], [0, 0, 1, 1, 2, 2, 3],
    [0.2, 0.1, 0.6, 0.4], [0, 2, 2, 4],
)  # fmt: skip


@pytest.mark.parametrize("with_control", [True, False])
def test_sums_by_blocks_give_what_the_whole_covariance_gives(with_control):
    """Effects, their covariance, and the restricted likelihood's change from place to place."""
    told = FEW if with_control else replace(FEW, control_y=np.zeros(0),
                                            control_block=np.zeros(0, int))  # fmt: skip
    s, b, c = np.array([0.1, 0.3, 0.2]), np.array([0.2, 0.05, 1.5]), np.array([0.1, 0.2, 0.03])
    c = c if with_control else np.ones(3)
    own_sd = s[:, None] * np.array([1.0, 3.0, 0.5])  # of each treatment
    evidence, effects, cov = inter_block._generalised_least_squares(told, own_sd, b, c)
    y = np.r_[told.y, told.control_y]
    kind = np.r_[told.treatment, np.full(len(told.control_y), 3)]
    block = np.r_[told.block, told.control_block]
    x, log_likelihood = np.eye(kind.max() + 1)[kind], []
    for k in range(3):
        noise = np.array([*own_sd[k], c[k]])[kind] ** 2
        total = b[k] ** 2 * (block[:, None] == block) + np.diag(noise)
        inverse = np.linalg.inv(total)
        own = np.linalg.inv(x.T @ inverse @ x)
        best = own @ x.T @ inverse @ y
        left = y - x @ best
        assert_allclose(effects[k], best, rtol=1e-9)
        assert_allclose(cov[k], own, rtol=1e-8)
        log_dets = np.linalg.slogdet(total)[1] - np.linalg.slogdet(own)[1]
        log_likelihood.append(-0.5 * (log_dets + left @ inverse @ left))
    assert_allclose(np.diff(evidence), np.diff(log_likelihood), rtol=1e-9)


def test_what_is_left_within_blocks_and_about_the_treatments():
    """Two blocks of two: of the four differences one is left; about the treatments two are."""
    told = results([1.0, 2.0, 3.0, 6.0], [0, 1, 0, 1], [0, 0, 1, 1])
    square, df = inter_block._within(told)  # differences 1 and 3: (3 - 1)² / 4
    assert (square, df) == (pytest.approx(1.0), 1)
    square, df = inter_block._about_treatments(told)  # 1, 3 about 2 and 2, 6 about 4
    assert (square, df) == (pytest.approx(2 + 8), 2)
    assert inter_block._about_treatments(results([1.0, 2.0], [0, 1], [0, 1]))[1] == 1


@pytest.mark.parametrize(("pairs", "within"), [(3, False), (4, True)])
def test_three_degrees_of_freedom_within_blocks_are_enough(pairs, within):
    """From three the scatter is learned within blocks alone: the paired t. Below, not so."""
    a, b = np.array([0.1, 0.5, 0.2, 0.7])[:pairs], np.array([0.4, 0.6, 0.6, 0.9])[:pairs]
    told = results(np.r_[a, b], np.repeat([0, 1], pairs), np.tile(range(pairs), 2))
    found = recovered_contrast(told, 0, 1, level=0.9)
    assert found.level == 0.9
    assert found.df == (pairs - 1 if within else 2 * pairs - 2)
    t_half = student.ppf(0.95, pairs - 1) * (b - a).std(ddof=1) / np.sqrt(pairs)
    assert (found.half_width == pytest.approx(t_half, rel=0.01)) == within
