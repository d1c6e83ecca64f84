"""Whole counts with groups: against closed forms and slow plain twins."""

import numpy as np
import pytest
from scipy.integrate import dblquad
from scipy.stats import norm

from edgetest.errors import UnusableInput
from edgetest.stats.regression import NormalPrior
from edgetest.stats.whole_counts import (
    CountPosterior,
    UsualSd,
    WholeCounts,
    _height,
    _summits,
    ends_of,
    fit_whole_counts,
    mean_of_counts,
    scatters,
)

FREE = NormalPrior(np.zeros(1), np.full(1, np.inf))
KNOWN = {"within": UsualSd(0.2, 0.0), "between": UsualSd(0.15, 0.0)}


def fit(count, group, broken_off=None, *, design=None, prior=FREE, **sds):
    count = np.array(count, float)
    off = np.zeros(len(count), bool) if broken_off is None else np.array(broken_off)
    design = np.ones((len(count), 1)) if design is None else design
    counts = WholeCounts(count, off, np.array(group))
    return fit_whole_counts(design, counts, prior=prior, **(sds or KNOWN))


def test_known_scatters_give_the_generalised_least_squares_mean():
    count, group = [190, 210, 250, 180, 220], [0, 0, 0, 1, 1]
    got = fit(count, group)
    y, members = np.log(count), np.eye(2)[group]
    inverse = np.linalg.inv(0.2**2 * np.eye(5) + 0.15**2 * members @ members.T)
    variance = 1 / inverse.sum()
    assert got.params[0, 0] == pytest.approx(variance * inverse.sum(axis=0) @ y, abs=2e-5)
    assert got.cov[0, 0, 0] == pytest.approx(variance, rel=1e-4)


def test_a_count_that_was_broken_off_weighs_as_the_integral_says():
    got = fit([20, 24], [0, 1], [False, True])
    m = np.linspace(2, 5, 6001)
    sd = np.hypot(0.2, 0.15)
    density = (norm.cdf((np.log(20.5) - m) / sd) - norm.cdf((np.log(19.5) - m) / sd)) * norm.sf(
        (np.log(24.5) - m) / sd
    )
    mean = np.sum(m * density) / density.sum()
    assert got.params[0, 0] == pytest.approx(mean, abs=0.02)  # summit against mean, skewed
    assert fit([20, 24], [0, 1]).params[0, 0] < got.params[0, 0]


def test_the_mean_of_whole_counts_is_that_of_the_rounded_log_normal():
    rng = np.random.default_rng(2)
    for middle, sd in ((0.1, 0.3), (1.2, 0.5), (3.4, 0.25)):
        drawn = np.maximum(np.rint(np.exp(middle + sd * rng.standard_normal(400_000))), 1)
        assert mean_of_counts(middle, sd) == pytest.approx(drawn.mean(), rel=3e-3)


def test_both_scatters_are_weighed_as_the_plain_integral_weighs_them():
    count, group = np.array([30, 34, 22, 25, 41]), np.array([0, 0, 1, 1, 2])
    sds = {"within": UsualSd(0.16, 0.4), "between": UsualSd(0.14, 0.4)}
    got = fit(count, group, **sds)
    y, members = np.log(count), np.eye(3)[group]

    def joint(u, v, power):
        s, t = 0.16 * np.exp(0.4 * u), 0.14 * np.exp(0.4 * v)
        cov = s**2 * np.eye(5) + t**2 * members @ members.T
        inverse = np.linalg.inv(cov)
        m = inverse.sum(axis=0) @ y / inverse.sum()
        rest = y - m
        log_like = -0.5 * (
            rest @ inverse @ rest + np.linalg.slogdet(cov)[1] + np.log(inverse.sum())
        )
        return np.exp(log_like - 0.5 * (u**2 + v**2)) * t**power

    total, first = (dblquad(joint, -3, 3, -3, 3, args=(k,), epsrel=1e-4)[0] for k in (0, 1))
    assert got.weight @ got.between == pytest.approx(first / total, rel=0.02)


def test_a_coefficient_with_a_prior_stays_there_where_nothing_tells_it():
    design = np.column_stack([np.ones(3), np.full(3, 0.5)])
    prior = NormalPrior(np.array([0.0, 1.7]), np.array([np.inf, 0.35]))
    got = fit([20, 22, 19], [0, 1, 2], design=design, prior=prior)
    slope = got.coefficient([0.0, 1.0])
    assert slope.value == pytest.approx(1.7, abs=1e-3)
    assert slope.high - slope.low == pytest.approx(2 * 1.96 * 0.35, rel=0.01)


def test_columns_that_say_the_same_are_refused():
    free = NormalPrior(np.zeros(2), np.full(2, np.inf))
    with pytest.raises(UnusableInput, match="do not tell the blades"):
        fit([20, 22, 19], [0, 1, 2], design=np.ones((3, 2)), prior=free)


def test_a_count_of_one_is_anything_below_one_and_a_half():
    """Its likelihood is the normal law up to log 1.5; no count lies below nothing."""
    got = fit([1, 2, 3], [0, 1, 2])
    sd = np.hypot(0.2, 0.15)
    m = np.linspace(-2, 3, 20_001)
    chances = [
        norm.cdf((np.log(high) - m) / sd) - (norm.cdf((np.log(low) - m) / sd) if low else 0)
        for low, high in ((0, 1.5), (1.5, 2.5), (2.5, 3.5))
    ]
    density = np.prod(chances, axis=0)
    assert got.params[0, 0] == pytest.approx(m[np.argmax(density)], abs=0.01)


def test_what_the_data_know_nothing_of_widens_a_mean_count():
    """Large counts: the mean is exp(m + spread² / 2), m known to the root of both variances."""
    got = fit([400, 420, 390, 410], [0, 0, 1, 1])
    spread, own = np.hypot(0.2, 0.15), np.sqrt(got.cov[0, 0, 0])
    for extra in (0.0, 0.3):
        told = got.mean_count([1.0], extra_sd=extra)
        half = norm.ppf(0.975) * np.hypot(own, extra)
        middle = got.params[0, 0] + spread**2 / 2
        ends = np.log([told.value, told.low, told.high])
        assert ends == pytest.approx([middle, middle - half, middle + half], abs=0.01)


@pytest.mark.parametrize(("middle", "sd"), [(0.1, 0.3), (1.2, 0.5), (2.5, 0.2), (3.2, 0.4)])
def test_a_mean_count_is_the_sum_over_every_count(middle, sd):
    """Counts of 1, 2, …, each with the log-normal's chance between its halves."""
    counts = np.arange(1, 2000)
    chance = (
        norm.cdf((np.log(counts + 0.5) - middle) / sd)
        - np.r_[0.0, norm.cdf((np.log(counts[1:] - 0.5) - middle) / sd)]
    )
    expected = counts @ chance
    assert mean_of_counts(middle, sd) == pytest.approx(expected, rel=1e-4)
    many = mean_of_counts(np.array([[middle], [6.0]]), np.array([[sd], [0.1]]))
    assert many[:, 0] == pytest.approx([expected, np.exp(6.005)], rel=1e-4)
    assert mean_of_counts(900.0, 0.1) == pytest.approx(np.exp(700.0))


def test_counts_lie_within_half_a_count_and_broken_off_ones_above():
    counts = WholeCounts(np.array([1.0, 2.0, 20.0, 1.0]), np.array([False, False, True, True]),
                         np.zeros(4, int))  # fmt: skip
    low, high = ends_of(counts)
    assert np.exp(low) == pytest.approx([0.0, 1.5, 20.5, 1.5])
    assert np.exp(high) == pytest.approx([1.5, 2.5, np.inf, np.inf])


def test_places_of_the_grid_are_those_of_two_log_normals():
    s, t, log_prior = scatters(UsualSd(0.2, 0.4), UsualSd(0.15, 0.3))
    u, v = np.log(s / 0.2) / 0.4, np.log(t / 0.15) / 0.3
    assert sorted({round(x, 6) for x in u}) == pytest.approx(np.arange(-2.5, 2.6, 0.625))
    assert log_prior == pytest.approx(-(u**2 + v**2) / 2)
    assert len({*zip(s.tolist(), t.tolist(), strict=True)}) == 81
    one = scatters(UsualSd(0.2, 0.0), UsualSd(0.15, 0.3))
    assert one[0].tolist() == [0.2] * 9
    assert UsualSd(0.2).log_sd == 0.5


def test_the_penalised_likelihood_and_its_slopes_are_those_of_differences():
    design = np.column_stack([np.ones(4), [0.0, 1.0, 0.0, 1.0], np.eye(2)[[0, 0, 1, 1]]])
    counts = WholeCounts(np.array([1.0, 3.0, 6.0, 4.0]), np.array([False, False, False, True]),
                         np.zeros(4, int))  # fmt: skip
    s, mean = np.array([0.3, 0.7]), np.array([0.8, 0.2, 0.0, 0.0])
    precision = np.array([[0.0, 4.0, 9.0, 9.0], [1.0, 2.0, 5.0, 5.0]])
    params = np.array([[0.9, 0.3, 0.1, -0.2], [1.4, -0.1, 0.0, 0.3]])

    def told(at):
        return _height(design, ends_of(counts), s, at, mean, precision)

    value, gradient, bend = told(params)
    low, high = np.exp(ends_of(counts))
    for k in (0, 1):
        middle = design @ params[k]
        with np.errstate(divide="ignore"):
            chance = norm.cdf((np.log(high) - middle) / s[k]) - norm.cdf(
                (np.log(low) - middle) / s[k]
            )
        pull = (precision[k] * (params[k] - mean) ** 2).sum() / 2
        assert value[k] == pytest.approx(np.log(chance).sum() - pull, rel=1e-9)
    for i, h in enumerate(1e-5 * np.eye(4)):
        ahead, behind = told(params + h), told(params - h)
        assert gradient[:, i] == pytest.approx((ahead[0] - behind[0]) / 2e-5, rel=1e-5, abs=1e-6)
        assert bend[:, i] == pytest.approx(-(ahead[1] - behind[1]) / 2e-5, rel=1e-4, abs=1e-5)


def test_the_places_weigh_by_laplaces_method():
    """Summit, less half the log of the curvature, less the log of t for each group."""
    count, group = np.array([3.0, 5.0, 2.0, 6.0]), np.array([0, 0, 1, 1])
    got = fit(count, group, within=UsualSd(0.3, 0.4), between=UsualSd(0.2, 0.4))
    counts = WholeCounts(count, np.zeros(4, bool), group)
    design, logs, places = np.column_stack([np.ones(4), np.eye(2)[group]]), [], (0, 13, 40, 77)
    _, _, log_prior = scatters(UsualSd(0.3, 0.4), UsualSd(0.2, 0.4))
    for k in places:
        precision = np.array([[0.0, got.between[k] ** -2, got.between[k] ** -2]])
        s = got.within[[k]]
        at, bend, height = _summits(design, ends_of(counts), s, np.zeros(3), precision)
        assert at[0, 0] == pytest.approx(got.params[k, 0], abs=1e-5)
        _, slope, _ = _height(design, ends_of(counts), s, at, np.zeros(3), precision)
        assert slope[0] == pytest.approx(np.zeros(3), abs=1e-3)
        assert got.cov[k, 0, 0] == pytest.approx(np.linalg.inv(bend[0])[0, 0])
        logs.append(height[0] - np.linalg.slogdet(bend[0])[1] / 2 - 2 * np.log(got.between[k])
                    + log_prior[k])  # fmt: skip
    assert np.diff(np.log(got.weight[list(places)])) == pytest.approx(np.diff(logs), rel=1e-6)
    assert got.weight.sum() == pytest.approx(1.0)


def test_one_place_of_the_grid_has_the_normals_ends():
    one = CountPosterior(np.ones(1), np.array([[1.0, 2.0]]), np.diag([0.04, 0.09])[None],
                         np.array([0.2]), np.array([0.15]))  # fmt: skip
    told = one.coefficient([1.0, 1.0], level=0.9, unit="x", method="m")
    half = norm.ppf(0.95) * 0.13**0.5
    assert (told.value, told.low, told.high) == pytest.approx((3.0, 3 - half, 3 + half), rel=2e-3)
    assert (told.unit, told.level, told.method) == ("x", 0.9, "m")
    two = CountPosterior(np.array([0.9, 0.1]), np.array([[0.0], [5.0]]), np.full((2, 1, 1), 1e-8),
                         np.full(2, 0.2), np.full(2, 0.15))  # fmt: skip
    assert two.coefficient([1.0]).value == pytest.approx(0.0, abs=1e-3)
    assert two.coefficient([1.0]).high == pytest.approx(5.0, abs=1e-3)
    assert two.coefficient([1.0], level=0.7).high == pytest.approx(0.0, abs=1e-3)
